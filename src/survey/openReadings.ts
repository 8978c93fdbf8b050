import { fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { radiusDropMm } from "../neck/surface.js";
import { middleShare } from "../readings/contact.js";
import type { Place } from "../readings/reading.js";
import { usualTool } from "../readings/tools.js";
import { MM_PER_THOU } from "../units/length.js";
import type { SparseRow } from "./linear/arrow.js";
import { gapRow, rockerRow } from "./model/equations.js";
import { edgeKnownMm } from "./model/forms.js";
import { combined, fretDeviationRow } from "./model/layout.js";
import type { Layout } from "./model/layout.js";
import { mannerOf } from "./model/paths.js";
import { fretPlace, stationAt } from "./model/stations.js";
import type { PlacedSetting, Station, Usable } from "./model/stations.js";

/** Thinnest leaf and step of a common set, and what a leaf's own thickness adds (common practice, no source): what a reading's interval will be. */
const THINNEST_MM = 1.5 * MM_PER_THOU;
const STEP_MM = MM_PER_THOU;
const LEAF_U_MM = 0.0023;
/** No fret stands farther off its neighbours than this. */
const MOST_MM = 0.3;
/** The ends of an edge are not used. */
const END_MM = 2;

/** A reading that could be taken now. */
export type Candidate = {
  readonly tool: "straightedge" | "rocker";
  readonly line: string;
  readonly at: Place;
  /** Beyond what was read under the edge. */
  readonly isBeyond: boolean;
  /** Its linear form, radius apart, and the form as it would be if its fret stood as the neck line does. */
  readonly row: SparseRow;
  readonly lineRow: SparseRow;
  /** Known part, to be added to the form to give the gap, or the height of the middle crown over its neighbours. */
  readonly knownMm: number;
  readonly noiseMm: number;
  /** Intervals that it may come out as, given what is expected and by how much it may be off; of the form, without the known part. */
  readonly outcomes: (expectedMm: number, offMm: readonly number[]) => readonly Interval[];
};

/** What of the question decides which readings could help: frets whose own height is asked for, feel of the hand, mm, and the survey. */
export type Asked = { readonly frets: readonly number[]; readonly feelMm: number; readonly survey: number };

type Interval = { readonly lowMm: number; readonly highMm: number };

/**
 * The survey with the fret tops that its edges may reach as they lie: a tool covers no more than its length about what was read under it.
 * What stands at which station is told anew.
 */
export function withinReach(neck: Neck, usable: Usable): Usable {
  const reached = fretTops(neck).map((fret) => fretPlace(neck, fret)).filter(({ xMm }) => usable.settings.some((setting) => isEdge(setting) && mayReach(setting, xMm)));
  const more = reached.filter((place) => stationAt(usable.stations, place) < 0).map(({ xMm, fret }): Station => (fret === undefined ? { xMm } : { xMm, fret }));
  const stations = [...usable.stations, ...more].sort((a, b) => a.xMm - b.xMm);
  const moved = (station: number): number => stationAt(stations, { xMm: usable.stations[station]?.xMm ?? NaN });
  return { ...usable, stations, ...(usable.reseats === undefined ? {} : { reseats: usable.reseats.map((reseat) => ({ ...reseat, station: moved(reseat.station) })) }) };
}

function isEdge(setting: PlacedSetting): boolean {
  return setting.surface === "fretTops" && setting.path.kind === "along" && mannerOf(setting) === "edge";
}

function mayReach({ tool, readings }: PlacedSetting, xMm: number): boolean {
  const xs = readings.map(({ place }) => place.xMm);
  return xMm > Math.max(...xs) - tool.lengthMm + END_MM && xMm < Math.min(...xs) + tool.lengthMm - END_MM;
}

/**
 * All gaps that could be read under an edge as it lies, and rockings over frets that were read or are asked for: over others a rocker tells of frets that nobody asks for.
 */
export function openReadings(neck: Neck, usable: Usable, layout: Layout, asked: Asked): readonly Candidate[] {
  return [...gaps(neck, usable, layout, asked), ...rockings(neck, usable, layout, asked)];
}

function gaps(neck: Neck, usable: Usable, layout: Layout, { feelMm, survey }: Asked): readonly Candidate[] {
  return usable.settings.flatMap((setting, index) => {
    const line = usable.lines.find((known) => setting.path.kind === "along" && known.name === setting.path.line);
    if (line === undefined || !isEdge(setting) || (setting.survey ?? 0) !== survey) return [];
    const read = new Set(setting.readings.map((reading) => stationAt(layout.stations, reading.place)));
    const xs = setting.readings.map(({ place }) => place.xMm);
    return layout.stations.flatMap(({ fret, xMm }, station): readonly Candidate[] => {
      if (fret === undefined || read.has(station) || !mayReach(setting, xMm)) return [];
      const row = gapRow(layout, setting, index, station);
      const knownMm = (setting.tool.blockHeightMm ?? 0) + edgeKnownMm(setting, xMm) - radiusDropMm(neck, line, xMm);
      const outcomes = (expectedMm: number, offMm: readonly number[]): readonly Interval[] => gapIntervals(expectedMm + knownMm, offMm).map(({ lowMm, highMm }) => ({ lowMm: lowMm - knownMm, highMm: highMm - knownMm }));
      return [{ tool: "straightedge", line: line.name, at: fretPlace(neck, fret), isBeyond: xMm < Math.min(...xs) || xMm > Math.max(...xs), row, lineRow: combined([[1, row], [1, fretDeviationRow(layout, line.name, station)]]), knownMm, noiseMm: Math.hypot(setting.feelMm ?? feelMm, LEAF_U_MM), outcomes }];
    });
  });
}

/** The leaves between which each of the gaps lies. */
function gapIntervals(expectedMm: number, offMm: readonly number[]): readonly Interval[] {
  const lows = [...new Set(offMm.map((off) => Math.floor(Math.max(0, expectedMm + off) / STEP_MM)))].map((steps) => steps * STEP_MM);
  const isBelow = (lowMm: number): boolean => lowMm < THINNEST_MM;
  return [...(lows.some(isBelow) ? [{ lowMm: 0, highMm: THINNEST_MM }] : []), ...lows.filter((lowMm) => !isBelow(lowMm)).map((lowMm) => ({ lowMm, highMm: lowMm + STEP_MM }))];
}

function rockings(neck: Neck, usable: Usable, layout: Layout, { frets: askedFrets, feelMm, survey }: Asked): readonly Candidate[] {
  const frets = layout.stations.flatMap((station) => (station.fret === undefined ? [] : [station.fret]));
  const read = usable.linesBySurvey?.[survey];
  const tool = usable.rockers[0]?.tool ?? usualTool("rocker");
  return usable.lines.filter(({ name }) => read === undefined || read.includes(name)).flatMap((line) => frets.slice(1, -1).flatMap((middle, index): readonly Candidate[] => {
    const triple = [frets[index] ?? middle - 1, middle, frets[index + 2] ?? middle + 1] as const;
    const [near = NaN, at = NaN, far = NaN] = triple.map((fret) => fretPlace(neck, fret).xMm);
    const isDone = usable.rockers.some((rocker) => (rocker.survey ?? 0) === survey && rocker.line === line.name && rocker.frets[1] === middle);
    if (isDone || far - near > tool.lengthMm || !(wasRead(usable, line.name, middle, survey) || askedFrets.includes(middle))) return [];
    const r = middleShare(near, at, far);
    const row = rockerRow(neck, layout, line.name, triple, undefined, survey);
    const knownMm = radiusDropMm(neck, line, at) - (1 - r) * radiusDropMm(neck, line, near) - r * radiusDropMm(neck, line, far);
    const outcomes = (): readonly Interval[] => rockIntervals(r).map(({ lowMm, highMm }) => ({ lowMm: lowMm - knownMm, highMm: highMm - knownMm }));
    return [{ tool: "rocker", line: line.name, at: fretPlace(neck, middle), isBeyond: false, row, lineRow: row, knownMm, noiseMm: Math.hypot(feelMm * Math.max(r, 1 - r), LEAF_U_MM), outcomes }];
  }));
}

function wasRead({ settings }: Usable, line: string, fret: number, survey: number): boolean {
  return settings.some((setting) => isEdge(setting) && (setting.survey ?? 0) === survey && setting.readings.some((reading) => reading.line === line && reading.place.fret === fret));
}

/** It does not rock; it rocks, by any leaf; it bridges a middle that is low. */
function rockIntervals(r: number): readonly Interval[] {
  return [{ lowMm: -THINNEST_MM, highMm: THINNEST_MM * r }, { lowMm: THINNEST_MM * r, highMm: MOST_MM }, { lowMm: -MOST_MM, highMm: -THINNEST_MM }];
}
