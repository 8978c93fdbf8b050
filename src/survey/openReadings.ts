import { fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { radiusDropMm } from "../neck/surface.js";
import { middleShare } from "../readings/contact.js";
import { THOU_LEAVES, type LeafSet } from "../readings/leafSet.js";
import type { Place, SurveySheet } from "../readings/reading.js";
import { usualTool } from "../readings/tools.js";
import { MM_PER_THOU } from "../units/length.js";
import type { Form } from "./functional.js";
import { gapRow, rockerKnownMm, rockerNoiseMm, rockerRow } from "./model/equations.js";
import { edgeKnownMm } from "./model/forms.js";
import { combined, fretDeviationRow } from "./model/layout.js";
import { mannerOf } from "./model/paths.js";
import { fretPlace, stationAt } from "./model/stations.js";
import type { PlacedSetting, Station, Usable } from "./model/stations.js";
import type { HeightTerm } from "./survey.js";

/** Stacks that go on beyond the thickest leaf grow by this (common practice, no source). */
const STACKED_MM = MM_PER_THOU;
/** No fret stands farther off its neighbours than this. */
const MOST_MM = 0.3;
/** The ends of an edge are not used. */
const END_MM = 2;

/** A reading that could be taken now. */
export type Candidate = {
  /** Tells it from all others of an adjustment. */
  readonly key: string;
  readonly tool: "straightedge" | "rocker";
  readonly line: string;
  readonly at: Place;
  /** Beyond what was read under the edge. */
  readonly isBeyond: boolean;
  /** Its linear form, known part apart, and the form as it would be if its fret stood as the neck line does. */
  readonly form: Form;
  readonly lineForm: Form;
  /** Known part, to be added to the form to give the gap, or the height of the middle crown over its neighbours. */
  readonly knownMm: number;
  readonly noiseMm: number;
  /** Intervals that it may come out as, given what is expected and by how much it may be off; of the form, without the known part. */
  readonly outcomes: (expectedMm: number, offMm: readonly number[]) => readonly Interval[];
  /** About how wide the interval is that it leaves if it comes out as expected. */
  readonly widthMm: (expectedMm: number) => number;
};

/** What of the question decides which readings could help: the heights asked for, the hand that reads, and the survey. */
export type Asked = { readonly terms: readonly HeightTerm[]; readonly hand: Hand; readonly survey: number };

/** The hand that reads, and the leaves in it; the usual set in thou where none were. */
export type Hand = Pick<SurveySheet, "feelMm" | "leaves">;

type Interval = { readonly lowMm: number; readonly highMm: number };

/** A reading as a normal: its noise, and the interval that it leaves if it comes out as expected, as a standard uncertainty (GUM 4.3.7), mm. */
export function normalNoiseMm({ noiseMm, widthMm }: Candidate, expectedMm: number): number {
  return Math.hypot(noiseMm, widthMm(expectedMm) / Math.sqrt(12));
}

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
 * All gaps at the survey's places that could be read under an edge as it lies, and rockings over frets that were read or are asked for: over others a rocker tells of frets that nobody asks for.
 * Of the lines asked for only.
 */
export function openReadings(neck: Neck, usable: Usable, asked: Asked): readonly Candidate[] {
  const lines = new Set(asked.terms.map(({ line }) => line));
  return [...gaps(neck, usable, asked), ...rockings(neck, usable, asked)].filter(({ line }) => lines.has(line));
}

function gaps(neck: Neck, usable: Usable, { hand, survey }: Asked): readonly Candidate[] {
  const leaves = leavesOf(hand);
  return usable.settings.flatMap((setting, index) => {
    const line = usable.lines.find((known) => setting.path.kind === "along" && known.name === setting.path.line);
    if (line === undefined || !isEdge(setting) || (setting.survey ?? 0) !== survey) return [];
    const read = new Set(setting.readings.map((reading) => stationAt(usable.stations, reading.place)));
    const xs = setting.readings.map(({ place }) => place.xMm);
    return usable.stations.flatMap(({ fret, xMm }, station): readonly Candidate[] => {
      if (fret === undefined || read.has(station) || !mayReach(setting, xMm)) return [];
      const form: Form = (layout) => gapRow(layout, setting, index, station);
      const lineForm: Form = (layout) => combined([[1, form(layout)], [1, fretDeviationRow(layout, line.name, station)]]);
      const knownMm = (setting.tool.blockHeightMm ?? 0) + edgeKnownMm(setting, xMm) - radiusDropMm(neck, line, xMm);
      const outcomes = (expectedMm: number, offMm: readonly number[]): readonly Interval[] => gapIntervals(leaves, expectedMm + knownMm, offMm).map(less(knownMm));
      const widthMm = (expectedMm: number): number => widthOf(leavesAbout(leaves, Math.max(0, expectedMm + knownMm)));
      return [{ key: `edge ${index} ${station}`, tool: "straightedge", line: line.name, at: fretPlace(neck, fret), isBeyond: xMm < Math.min(...xs) || xMm > Math.max(...xs), form, lineForm, knownMm, noiseMm: Math.hypot(setting.feelMm ?? hand.feelMm, leafUMm(leaves)), outcomes, widthMm }];
    });
  });
}

function less(knownMm: number): (interval: Interval) => Interval {
  return ({ lowMm, highMm }) => ({ lowMm: lowMm - knownMm, highMm: highMm - knownMm });
}

/** The leaves between which each of the gaps lies. */
function gapIntervals(leaves: LeafSet, expectedMm: number, offMm: readonly number[]): readonly Interval[] {
  const all = offMm.map((off) => leavesAbout(leaves, Math.max(0, expectedMm + off)));
  return [...new Map(all.map((interval) => [interval.lowMm, interval])).values()];
}

function widthOf({ lowMm, highMm }: Interval): number {
  return highMm - lowMm;
}

function leavesOf({ leaves }: Hand): LeafSet {
  return leaves ?? THOU_LEAVES;
}

/** What a leaf's own thickness adds (its tolerance, as a rectangular distribution: GUM 4.3.7). */
function leafUMm({ toleranceMm }: LeafSet): number {
  return toleranceMm / Math.sqrt(3);
}

/** The leaf that goes, or none, and the next one, which does not; beyond the thickest, stacks. */
function leavesAbout({ leavesMm }: LeafSet, gapMm: number): Interval {
  const gone = leavesMm.filter((leafMm) => leafMm <= gapMm).length;
  const [lowMm, highMm] = [gone === 0 ? 0 : leavesMm[gone - 1] ?? NaN, leavesMm[gone]];
  if (highMm !== undefined) return { lowMm, highMm };
  const stackedMm = lowMm + Math.floor((gapMm - lowMm) / STACKED_MM) * STACKED_MM;
  return { lowMm: stackedMm, highMm: stackedMm + STACKED_MM };
}

function rockings(neck: Neck, usable: Usable, { terms, hand, survey }: Asked): readonly Candidate[] {
  const leaves = leavesOf(hand);
  const thinnestMm = leaves.leavesMm[0] ?? NaN;
  const frets = usable.stations.flatMap((station) => (station.fret === undefined ? [] : [station.fret]));
  const asked = new Set(terms.flatMap((term) => (term.of === "fretTop" ? [term.fret] : [])));
  const read = usable.linesBySurvey?.[survey];
  const tool = usable.rockers[0]?.tool ?? usualTool("rocker");
  return usable.lines.filter(({ name }) => read === undefined || read.includes(name)).flatMap((line) => frets.slice(1, -1).flatMap((middle, index): readonly Candidate[] => {
    const triple = [frets[index] ?? middle - 1, middle, frets[index + 2] ?? middle + 1] as const;
    const [near = NaN, at = NaN, far = NaN] = triple.map((fret) => fretPlace(neck, fret).xMm);
    const isDone = usable.rockers.some((rocker) => (rocker.survey ?? 0) === survey && rocker.line === line.name && rocker.frets[1] === middle);
    if (isDone || far - near > tool.lengthMm || !(wasRead(usable, line.name, middle, survey) || asked.has(middle))) return [];
    const form: Form = (layout) => rockerRow(neck, layout, line.name, triple, tool, survey);
    const knownMm = rockerKnownMm(neck, line.name, triple, tool);
    const r = middleShare(near, at, far);
    const outcomes = (): readonly Interval[] => rockIntervals(r, thinnestMm).map(less(knownMm));
    return [{ key: `rocker ${survey} ${line.name} ${middle}`, tool: "rocker", line: line.name, at: fretPlace(neck, middle), isBeyond: false, form, lineForm: form, knownMm, noiseMm: rockerNoiseMm(neck, triple, hand.feelMm, leafUMm(leaves)), outcomes, widthMm: () => thinnestMm * (1 + r) }];
  }));
}

function wasRead({ settings }: Usable, line: string, fret: number, survey: number): boolean {
  return settings.some((setting) => isEdge(setting) && (setting.survey ?? 0) === survey && setting.readings.some((reading) => reading.line === line && reading.place.fret === fret));
}

/** It stands still, which says nothing of how low the middle is (`boundsOfMark`); it rocks, by any leaf. */
function rockIntervals(r: number, thinnestMm: number): readonly Interval[] {
  return [{ lowMm: -Infinity, highMm: thinnestMm * r }, { lowMm: thinnestMm * r, highMm: MOST_MM }];
}
