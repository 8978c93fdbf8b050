import type { GapReading, RockerReading, Surface } from "../readings/reading.js";
import { isEstimable, rowSpace } from "./linear/rowSpace.js";
import type { RowSpace } from "./linear/rowSpace.js";
import { middleShare } from "./model/equations.js";
import type { Neck } from "../neck/neck.js";
import { fretPlace, stationAt } from "./model/stations.js";
import type { Station, Usable } from "./model/stations.js";

/** Rank is judged by tolerance: singular values below this share of the largest count as zero. */
const RANK_TOLERANCE = 1e-9;

/** The places of a line whose heights against each other the readings fix without any help of a prior, in order along the neck. */
export type DeterminedPlaces = { readonly line: string; readonly surface: Surface; readonly stations: readonly number[]; readonly loose: readonly number[] };

/**
 * Which places of a line on one surface are determined (each surface has a datum of its own: the height of crowns over the wood is not read): heights, offsets and tilts are all taken as wholly unknown, and a height counts
 * when its deviation from the chord of two others is fixed by the readings that are bounded on both sides.
 * With several unconnected groups the one with most places is taken; the rest is `loose`.
 */
export function determinedPlaces(neck: Neck, usable: Usable, line: string, surface: Surface): DeterminedPlaces {
  const { rows, stations, columns } = equationsOfLine(neck, usable, line, surface);
  if (rows.length === 0) return { line, surface, stations: [], loose: stations };
  const space = rowSpace(rows.map((row) => dense(row, columns)), RANK_TOLERANCE);
  const chosen = largestGroup(space, columns, stations.map((station) => usable.stations[station]?.xMm ?? NaN));
  return { line, surface, stations: stations.filter((_, index) => chosen.includes(index)), loose: stations.filter((_, index) => !chosen.includes(index)) };
}

/** A reading that is bounded on both sides fixes its gap; an open one only limits it. */
export function isBounded(reading: GapReading | RockerReading): boolean {
  if ("deltaMm" in reading) return Number.isFinite(reading.deltaMm.high) && Number.isFinite(reading.deltaMm.low);
  return reading.gap.kind === "exact" || Number.isFinite(reading.gap.highMm);
}

type Entry = readonly [column: number, value: number];

function equationsOfLine(neck: Neck, usable: Usable, line: string, surface: Surface): { rows: readonly (readonly Entry[])[]; stations: readonly number[]; columns: number } {
  const settings = usable.settings.filter((setting) => setting.path.kind === "along" && setting.path.line === line && setting.surface === surface);
  const rockers = surface === "fretTops" ? usable.rockers.filter((rocker) => rocker.line === line) : [];
  const touched = [
    ...settings.flatMap((setting) => setting.readings.map((reading) => stationAt(usable.stations, reading.place))),
    ...rockers.flatMap((rocker) => rocker.frets.map((fret) => stationAt(usable.stations, fretPlace(neck, fret)))),
  ];
  const stations = [...new Set(touched)].sort((a, b) => a - b);
  const column = (station: number): number => stations.indexOf(station);
  const scale = spanMm(usable.stations);
  const gaps = settings.flatMap((setting, index) => setting.readings.filter(isBounded).map((reading): readonly Entry[] => {
    const free = stations.length + 2 * index;
    return [[column(stationAt(usable.stations, reading.place)), -1], [free, 1], [free + 1, reading.place.xMm / scale]];
  }));
  const deltas = rockers.filter(isBounded).map((rocker): readonly Entry[] => {
    const r = middleShare(neck, rocker.frets);
    const [near = -1, middle = -1, far = -1] = rocker.frets.map((fret) => column(stationAt(usable.stations, fretPlace(neck, fret))));
    return [[near, -(1 - r)], [middle, 1], [far, -r]];
  });
  return { rows: [...gaps, ...deltas], stations, columns: stations.length + 2 * settings.length };
}

function largestGroup(space: RowSpace, columns: number, xs: readonly number[]): readonly number[] {
  const everything = groupOn(space, columns, xs, 0, xs.length - 1);
  if (everything.length === xs.length) return everything;
  let best = everything;
  for (let first = 0; first < xs.length; first++) {
    for (let last = first + 1; last < xs.length; last++) {
      const group = groupOn(space, columns, xs, first, last);
      if (group.length > best.length) best = group;
    }
  }
  return best.length > 2 ? best : [];
}

/** The places whose deviation from the chord of `first` and `last` is fixed, those two included. */
function groupOn(space: RowSpace, columns: number, xs: readonly number[], first: number, last: number): readonly number[] {
  const [from = 0, to = 1] = [xs[first], xs[last]];
  const fixed = [...xs.keys()].filter((index) => {
    if (index === first || index === last) return true;
    const t = ((xs[index] ?? NaN) - from) / (to - from);
    return isEstimable(space, dense([[index, 1], [first, t - 1], [last, -t]], columns));
  });
  return fixed.length > 2 ? fixed : [];
}

function dense(row: readonly Entry[], columns: number): number[] {
  const values = Array.from({ length: columns }, () => 0);
  for (const [at, value] of row) values[at] = (values[at] ?? 0) + value;
  return values;
}

function spanMm(stations: readonly Station[]): number {
  return Math.max(1, stations.at(-1)?.xMm ?? 1);
}
