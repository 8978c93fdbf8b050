import type { GapReading, RockerReading, Surface } from "../readings/reading.js";
import { isEstimable, rowSpace } from "./linear/rowSpace.js";
import type { RowSpace } from "./linear/rowSpace.js";
import type { Neck } from "../neck/neck.js";
import { feetMm, mannerOf } from "./model/paths.js";
import { fretPlace, stationAt } from "./model/stations.js";
import type { PlacedSetting, Station, Usable } from "./model/stations.js";

/** Rank is judged by tolerance: singular values below this share of the largest count as zero. */
const RANK_TOLERANCE = 1e-9;

/** The places of a line whose heights against each other the readings fix without any help of a prior, in order along the neck. */
export type DeterminedPlaces = { readonly line: string; readonly surface: Surface; readonly stations: readonly number[]; readonly loose: readonly number[] };

/**
 * Which places of a line on one surface are determined (each surface has a datum of its own: the height of crowns over the wood is not read): heights, offsets and tilts are all taken as wholly unknown, and a height counts
 * when its deviation from the chord of two others is fixed by the readings that are bounded on both sides.
 * With several unconnected groups the one with most places is taken; the rest is `loose`.
 */
export function determinedPlaces(neck: Neck, usable: Usable, line: string, surface: Surface, survey = 0): DeterminedPlaces {
  const { rows, stations, columns, weights } = equationsOfLine(neck, usable, line, surface, survey);
  if (rows.length === 0) return { line, surface, stations: [], loose: stations };
  const space = rowSpace(rows.map((row) => dense(row, columns)), RANK_TOLERANCE);
  const chosen = largestGroup(space, columns, stations.map((station) => usable.stations[station]?.xMm ?? NaN), weights);
  return { line, surface, stations: stations.filter((_, index) => chosen.includes(index)), loose: stations.filter((_, index) => !chosen.includes(index)) };
}

/** A reading that is bounded on both sides fixes its gap; an open one only limits it. */
export function isBounded(reading: GapReading | RockerReading): boolean {
  if ("deltaMm" in reading) return Number.isFinite(reading.deltaMm.high) && Number.isFinite(reading.deltaMm.low);
  return reading.gap.kind === "exact" || Number.isFinite(reading.gap.highMm);
}

type Entry = readonly [column: number, value: number];

/** A line's places and the bounded readings on it: columns are the heights at the places, then offset and tilt of each setting. */
type LineEquations = { readonly rows: readonly (readonly Entry[])[]; readonly stations: readonly number[]; readonly columns: number; readonly weights: readonly number[] };

function equationsOfLine(neck: Neck, usable: Usable, line: string, surface: Surface, survey: number): LineEquations {
  const read = readOnLine(neck, usable, line, surface, survey);
  const stationOf = (xMm: number): number => stationAt(usable.stations, { xMm });
  const underDials = new Set(read.dials.flatMap(({ near, middle, far }) => [middle, near, far]).map(stationOf));
  const underOthers = new Set([...read.settings.flatMap(({ readings }) => readings.map(({ place }) => place.xMm)), ...read.rockers.flatMap(({ near, middle, far }) => [near, middle, far])].map(stationOf));
  const stations = [...new Set([...underDials, ...underOthers])].sort((a, b) => a - b);
  const column = (xMm: number): number => stations.indexOf(stationOf(xMm));
  const middles = [...read.dials, ...read.rockers.filter(({ isFixed }) => isFixed)];
  return {
    rows: [...gapEntries(read.settings, column, stations.length, spanMm(usable.stations)), ...middles.map((three) => middleEntries(three, column))],
    stations, columns: stations.length + 2 * read.settings.length,
    weights: stations.map((station) => (underDials.has(station) && !underOthers.has(station) ? DIAL_WEIGHT : 1)),
  };
}

/** Three places, mm from the nut, whose middle height over the chord of the outer two was read. */
type ThreePlaces = { readonly near: number; readonly middle: number; readonly far: number };

type ReadOnLine = { readonly settings: readonly PlacedSetting[]; readonly dials: readonly ThreePlaces[]; readonly rockers: readonly (ThreePlaces & { /** What it found is bounded on both sides. */ readonly isFixed: boolean })[] };

/** What was read along one line on one surface: of dial bars what is bounded, of rockers also what only limits. */
function readOnLine(neck: Neck, usable: Usable, line: string, surface: Surface, survey: number): ReadOnLine {
  const onLine = usable.settings.filter((setting) => (setting.survey ?? 0) === survey && setting.path.kind === "along" && setting.path.line === line && setting.surface === surface);
  const rockers = surface === "fretTops" ? usable.rockers.filter((rocker) => rocker.line === line && (rocker.survey ?? 0) === survey) : [];
  return {
    settings: onLine.filter((setting) => mannerOf(setting) === "edge"),
    dials: onLine.filter((setting) => mannerOf(setting) === "dial").flatMap((setting) => setting.readings.filter(isBounded).map((reading): ThreePlaces => {
      const [near, far] = feetMm(neck, setting, reading) ?? [NaN, NaN];
      return { near, middle: reading.place.xMm, far };
    })),
    rockers: rockers.map((rocker) => {
      const [near = NaN, middle = NaN, far = NaN] = rocker.frets.map((fret) => fretPlace(neck, fret).xMm);
      return { near, middle, far, isFixed: isBounded(rocker) };
    }),
  };
}

/** A bounded gap: offset and tilt of its setting less the height under it. */
function gapEntries(settings: readonly PlacedSetting[], column: (xMm: number) => number, places: number, scaleMm: number): readonly (readonly Entry[])[] {
  return settings.flatMap(({ readings }, index) => readings.filter(isBounded).map(({ place }): readonly Entry[] => {
    const free = places + 2 * index;
    return [[column(place.xMm), -1], [free, 1], [free + 1, place.xMm / scaleMm]];
  }));
}

function middleEntries({ near, middle, far }: ThreePlaces, column: (xMm: number) => number): readonly Entry[] {
  const r = (middle - near) / (far - near);
  return [[column(near), -(1 - r)], [column(middle), 1], [column(far), -r]];
}

/** A place that only a dial bar touched weighs less than one read under an edge, so that its short span does not take the chord over. */
const DIAL_WEIGHT = 0.1;

function largestGroup(space: RowSpace, columns: number, xs: readonly number[], weights: readonly number[]): readonly number[] {
  const weightOf = (group: readonly number[]): number => group.reduce((sum, index) => sum + (weights[index] ?? 1), 0);
  const everything = groupOn(space, columns, xs, 0, xs.length - 1);
  if (everything.length === xs.length) return everything;
  let best = everything;
  for (let first = 0; first < xs.length; first++) {
    for (let last = first + 1; last < xs.length; last++) {
      const group = groupOn(space, columns, xs, first, last);
      if (weightOf(group) > weightOf(best)) best = group;
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
