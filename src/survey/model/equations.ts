import { fretDistanceMm } from "../../neck/frets.js";
import type { Neck } from "../../neck/neck.js";
import { radiusDropMm } from "../../neck/surface.js";
import { middleShare as shareOfMiddle } from "../../readings/contact.js";
import type { EdgeSetting, Gap, GapReading, RockerReading, Tool } from "../../readings/reading.js";
import type { SparseRow } from "../linear/arrow.js";
import { edgeKnownMm, evenPart, gapRow, readingForm } from "./forms.js";
import { combined, fretTopRow, liftedRow } from "./layout.js";
import type { Layout } from "./layout.js";
import { lineNamed, mannerOf } from "./paths.js";
import { stationAt } from "./stations.js";
import type { PlacedRocker, PlacedSetting, Usable } from "./stations.js";

/** Seen touching or pressed down: standard uncertainty of a contact, mm (as for `touch`). */
const CONTACT_U_MM = 0.003;

/**
 * One equation: the linear form `row` of the unknowns lies between `lowMm` and `highMm`, judged with noise `sMm`;
 * or, when both are equal, has that value with standard uncertainty `sMm`.
 */
export type Equation = {
  readonly row: SparseRow;
  readonly lowMm: number;
  readonly highMm: number;
  readonly sMm: number;
  /** Known part (the radius) added to the linear form to give the gap or the rocker's middle height. */
  readonly knownMm: number;
  readonly from:
    | { readonly kind: "gap"; readonly reading: GapReading; readonly setting: number }
    | { readonly kind: "rocker"; readonly reading: RockerReading }
    | { readonly kind: "contact"; readonly setting: number };
};

export { gapRow } from "./forms.js";

/** All equations of a survey: gaps, rockers, and that an edge lying on crowns cannot cut into any. */
export function equationsOf(neck: Neck, usable: Usable, layout: Layout, feelMm: number): readonly Equation[] {
  return [
    ...usable.settings.flatMap((setting, index) => setting.readings.map((reading) => gapEquation(neck, layout, setting, index, reading, feelMm))),
    ...usable.settings.flatMap((setting, index) => contactEquations(neck, layout, setting, index, feelMm)),
    ...usable.rockers.map((rocker) => rockerEquation(neck, layout, rocker, feelMm)),
  ];
}

/** Height of the middle of three crowns over the chord of the outer two, as seen by a rocker with its own bow (left out where no such rocker was used). */
export function rockerRow(neck: Neck, layout: Layout, lineName: string, frets: readonly [number, number, number], tool: Tool, survey = 0): SparseRow {
  const top = (fret: number): SparseRow => fretTopRow(layout, lineName, layout.stations.findIndex((station) => station.fret === fret), survey);
  const [near, middle, far] = frets;
  const r = middleShare(neck, frets);
  const crowns = combined([[1, top(middle)], [-(1 - r), top(near)], [-r, top(far)]]);
  const error = layout.edgeError(tool);
  if (error === undefined) return crowns;
  const edge: SparseRow = { index: [error.even], coefficient: [rockerBowShare(neck, frets, tool)] };
  return combined([[1, crowns], [1, edge]]);
}

/** What is known beforehand of that height, to be added to the form: the radius, and the rocker's checked bow. */
export function rockerKnownMm(neck: Neck, lineName: string, frets: readonly [number, number, number], tool: Tool): number {
  const r = middleShare(neck, frets);
  const line = lineNamed(neck, lineName);
  const [near, middle, far] = frets.map((fret) => radiusDropMm(neck, line, fretDistanceMm(neck.scaleLengthMm, fret)));
  return (middle ?? 0) - (1 - r) * (near ?? 0) - r * (far ?? 0) + (tool.bow?.mm ?? 0) * rockerBowShare(neck, frets, tool);
}

/** The leaf is felt at the raised end, and the two contacts are contacts only within their own uncertainty. */
export function rockerNoiseMm(neck: Neck, frets: readonly [number, number, number], feelMm: number, endsUMm: number): number {
  const r = middleShare(neck, frets);
  return Math.hypot(feelMm * Math.max(r, 1 - r), endsUMm, CONTACT_U_MM);
}

/** How much of a rocker's own bow is seen in the height of the middle crown: a hollow rocker shows it lower. */
function rockerBowShare(neck: Neck, frets: readonly [number, number, number], tool: Tool): number {
  const r = middleShare(neck, frets);
  const [near, , far] = frets;
  const half = fretDistanceMm(neck.scaleLengthMm, far) - fretDistanceMm(neck.scaleLengthMm, near);
  return r * evenPart(half / tool.lengthMm) - evenPart(0) + (1 - r) * evenPart(-half / tool.lengthMm);
}

/** Share of the way from the near to the far fret at which the middle one stands. */
export function middleShare(neck: Neck, [near, middle, far]: readonly [number, number, number]): number {
  const x = (fret: number): number => fretDistanceMm(neck.scaleLengthMm, fret);
  return shareOfMiddle(x(near), x(middle), x(far));
}

/** The equation of one gap, or of what else was read under a tool. */
export function gapEquation(neck: Neck, layout: Layout, setting: PlacedSetting, settingIndex: number, reading: GapReading, feelMm: number): Equation {
  const { gap } = reading;
  const feel = setting.feelMm ?? feelMm;
  const { row, knownMm, sMm } = readingForm(neck, layout, setting, settingIndex, reading);
  if (mannerOf(setting) === "seating" && isShut(gap)) {
    // a fret that is home leaves no gap however high or low its crown stands (wire, slot and board vary); only frets lifted together cannot be home
    const lifted = liftedRow(layout, stationAt(layout.stations, reading.place));
    return { row: lifted, knownMm: 0, lowMm: -Infinity, highMm: gap.kind === "exact" ? 0 : gap.highMm, sMm: Math.hypot(feel, sMm), from: { kind: "gap", reading, setting: settingIndex } };
  }
  const bounds = gap.kind === "exact"
    ? { lowMm: gap.gapMm, highMm: gap.gapMm, sMm: Math.hypot(gap.uMm, sMm) }
    : { lowMm: gap.lowMm, highMm: gap.highMm, sMm: Math.hypot(feel, gap.endsUMm, sMm) };
  return { ...bounds, row, knownMm, from: { kind: "gap", reading, setting: settingIndex } };
}

function isShut(gap: Gap): boolean {
  return gap.kind === "exact" ? gap.gapMm <= 2 * gap.uMm : gap.lowMm <= 0;
}

/**
 * A plain edge lies above every fret top between its outermost readings, read or not. Of each run of unread frets only the
 * middle one is held to this: all of them together would lean on "touch" as if it were exact to a few micrometres, which a
 * hand that presses and looks is not. Using fewer of several true statements only widens the answer.
 */
function contactEquations(neck: Neck, layout: Layout, setting: PlacedSetting, settingIndex: number, feelMm: number): readonly Equation[] {
  if (setting.surface !== "fretTops" || setting.tool.kind !== "straightedge" || setting.path.kind !== "along") return [];
  const line = lineNamed(neck, setting.path.line);
  return unreadRuns(layout, setting).map((run): Equation => {
    const station = run[Math.floor(run.length / 2)] ?? 0;
    const xMm = layout.stations[station]?.xMm ?? NaN;
    const row = gapRow(layout, setting, settingIndex, station);
    return { row, lowMm: 0, highMm: Infinity, sMm: setting.feelMm ?? feelMm, knownMm: edgeKnownMm(setting, xMm) - radiusDropMm(neck, line, xMm), from: { kind: "contact", setting: settingIndex } };
  });
}

/** Runs of neighbouring fret tops that lie between two readings of a setting and were not read in it. */
function unreadRuns(layout: Layout, setting: EdgeSetting): readonly (readonly number[])[] {
  const read = [...new Set(setting.readings.map((reading) => stationAt(layout.stations, reading.place)))].sort((a, b) => a - b);
  return read.slice(1).flatMap((to, index) => {
    const from = read[index] ?? to;
    const run = [...layout.stations.keys()].slice(from + 1, to).filter((station) => layout.stations[station]?.fret !== undefined);
    return run.length === 0 ? [] : [run];
  });
}

/** The equation of one rocking. */
export function rockerEquation(neck: Neck, layout: Layout, rocker: PlacedRocker, feelMm: number): Equation {
  return {
    row: rockerRow(neck, layout, rocker.line, rocker.frets, rocker.tool, rocker.survey),
    lowMm: rocker.deltaMm.low,
    highMm: rocker.deltaMm.high,
    sMm: rockerNoiseMm(neck, rocker.frets, rocker.feelMm ?? feelMm, rocker.endsUMm),
    knownMm: rockerKnownMm(neck, rocker.line, rocker.frets, rocker.tool),
    from: { kind: "rocker", reading: rocker },
  };
}
