import type { Neck } from "../../neck/neck.js";
import { acrossMm, radiusDropMm } from "../../neck/surface.js";
import { TOUCH_U_MM } from "../../readings/gap.js";
import type { GapReading, Surface } from "../../readings/reading.js";
import { SIGHT_MM } from "../../readings/tools.js";
import type { SparseRow } from "../linear/arrow.js";
import { combined, faceRow, fretTopRow, smoothRow, woodRow } from "./layout.js";
import type { Layout } from "./layout.js";
import { acrossOfReadingMm, blendOf, bridgedShare, feetMm, isFace, lineNamed, mannerOf, positionMm } from "./paths.js";
import { knownSagMm } from "./sag.js";
import { stationAt } from "./stations.js";
import type { PlacedSetting } from "./stations.js";

/** What a reading says as a linear form of the unknowns, with what is known beforehand and the noise that its manner adds. */
export type ReadingForm = { readonly row: SparseRow; readonly knownMm: number; readonly sMm: number };

const NOTHING: SparseRow = { index: [], coefficient: [] };

/** The bare wood beside a fret, or under a foot, against the smooth line, mm (as the board's own deviation). */
const BESIDE_MM = 0.012;
/** By how much a fret that is home stands higher or lower than its wire's nominal height, mm: wire, slot and board (common practice, no source). */
const HOME_MM = 0.05;

/** The linear form of whatever was read: gap, roll between two bars, middle over its feet, wire over wood, gap under a crown. */
export function readingForm(neck: Neck, layout: Layout, setting: PlacedSetting, settingIndex: number, reading: GapReading): ReadingForm {
  const manner = mannerOf(setting);
  if (manner === "sighting") return sightingForm(neck, layout, setting, settingIndex, reading);
  if (manner === "dial") return dialForm(neck, layout, setting, reading);
  if (manner === "crown" || manner === "seating") return crownForm(layout, setting, reading);
  return edgeForm(neck, layout, setting, settingIndex, reading);
}

/** gap = a + b t + edge(t) - h(line, x) of a setting along a line at a station: the linear form, radius apart. */
export function gapRow(layout: Layout, setting: PlacedSetting, settingIndex: number, station: number): SparseRow {
  const line = setting.path.kind === "along" ? setting.path.line : "";
  const x = layout.stations[station]?.xMm ?? NaN;
  return combined([[1, edgeRow(layout, setting, settingIndex, x)], [-sideOf(setting.surface), surfaceRow(layout, setting.surface, line, station, setting.survey)]]);
}

/** Height of a surface at a station on a line. @throws {RangeError} where the survey has no such line */
export function surfaceRow(layout: Layout, surface: Surface, line: string, station: number, survey = 0): SparseRow {
  if (isFace(surface)) return faceRow(layout, surface, line, layout.stations[station]?.xMm ?? NaN, survey);
  return surface === "wood" ? woodRow(layout, line, station, survey) : fretTopRow(layout, line, station, survey);
}

/** A tool on the neck's back sees the heights from the other side. */
function sideOf(surface: Surface): 1 | -1 {
  return isFace(surface) ? -1 : 1;
}

function edgeRow(layout: Layout, setting: PlacedSetting, settingIndex: number, atMm: number): SparseRow {
  const t = (2 * (atMm - setting.middleMm)) / setting.tool.lengthMm;
  const [offset, tilt] = [layout.offset(settingIndex), layout.tilt(settingIndex)];
  const free: SparseRow = offset === undefined || tilt === undefined ? NOTHING : { index: [offset, tilt], coefficient: [1, t] };
  const error = layout.edgeError(setting.tool);
  const edge: SparseRow = error === undefined ? NOTHING : { index: [error.even, error.odd], coefficient: [evenPart(t), oddPart(setting.turned === true ? -t : t)] };
  return combined([[1, free], [1, edge]]);
}

function edgeForm(neck: Neck, layout: Layout, setting: PlacedSetting, settingIndex: number, reading: GapReading): ReadingForm {
  const station = stationAt(layout.stations, reading.place);
  const side = sideOf(setting.surface);
  const heights = blendOf(neck, setting, reading).map(({ line, share }) => [-side * share, surfaceRow(layout, setting.surface, line, station, setting.survey)] as const);
  const bridged: SparseRow = layout.crossBow === undefined ? NOTHING : { index: [layout.crossBow], coefficient: [-side * bridgedShare(neck, setting, reading)] };
  return {
    row: combined([[1, edgeRow(layout, setting, settingIndex, positionMm(neck, setting.path, reading))], ...heights, [1, bridged]]),
    knownMm: (setting.tool.blockHeightMm ?? 0) - radiusMm(neck, setting, reading) + edgeKnownMm(setting, positionMm(neck, setting.path, reading)), sMm: 0,
  };
}

/** What is known of the edge's own line: its checked bow, and how far it sags. */
export function edgeKnownMm(setting: PlacedSetting, atMm: number): number {
  return (setting.tool.bow?.mm ?? 0) * evenPart((2 * (atMm - setting.middleMm)) / setting.tool.lengthMm) - knownSagMm(setting, atMm);
}

/** The radius under an edge; a radius gauge has it cut out, and the faces have none. */
function radiusMm(neck: Neck, setting: PlacedSetting, reading: GapReading): number {
  if (isFace(setting.surface) || setting.tool.kind === "radiusGauge") return 0;
  if (setting.path.kind !== "diagonal") return radiusDropMm(neck, lineNamed(neck, reading.line), reading.place.xMm);
  return radiusDropMm(neck, { name: "diagonal", offsetMm: acrossOfReadingMm(neck, setting.path, reading) }, reading.place.xMm);
}

/**
 * Two bars laid across: how far the end of one stands over the other, over a bar's length, the other ends being in line. The bars roll
 * with the outermost lines, radius apart; what the bars themselves differ by is one unknown for all readings.
 */
function sightingForm(neck: Neck, layout: Layout, setting: PlacedSetting, settingIndex: number, reading: GapReading): ReadingForm {
  const { path, tool } = setting;
  const roll = (xMm: number): SparseRow => rollRow(neck, layout, setting, xMm);
  const error = layout.edgeError(tool);
  const mismatch: SparseRow = error === undefined || (path.kind !== "diagonal" && reading === setting.readings[0]) ? NOTHING : { index: [error.even], coefficient: [1] };
  const sMm = reading.gap.kind === "exact" && reading.gap.uMm > TOUCH_U_MM ? 0 : SIGHT_MM;
  const end = tool.lengthMm * endSign(neck, path.kind === "diagonal" ? path.to.line : reading.line);
  if (path.kind === "diagonal") return { row: combined([[end, roll(path.to.at.xMm)], [-end, roll(path.from.at.xMm)], [1, mismatch]]), knownMm: 0, sMm };
  const own = layout.offset(settingIndex);
  const reference: SparseRow = own === undefined ? NOTHING : { index: [own], coefficient: [1] };
  return { row: combined([[end, roll(reading.place.xMm)], [1, reference], [1, mismatch]]), knownMm: 0, sMm };
}

/** Which end of a bar was read: +1 toward the treble, -1 toward the bass. */
export function endSign(neck: Neck, line: string): 1 | -1 {
  const at = neck.lines.findIndex((known) => known.name === line);
  return 2 * at >= neck.lines.length - 1 ? 1 : -1;
}

function rollRow(neck: Neck, layout: Layout, { surface, survey }: PlacedSetting, xMm: number): SparseRow {
  const [first, last] = [neck.lines[0], neck.lines.at(-1) ?? neck.lines[0]];
  const station = stationAt(layout.stations, { xMm });
  const width = acrossMm(neck, last, xMm) - acrossMm(neck, first, xMm);
  return combined([[1 / width, surfaceRow(layout, surface, last.name, station, survey)], [-1 / width, surfaceRow(layout, surface, first.name, station, survey)]]);
}

/** Height of the middle over the chord of the feet, positive where the middle is high; the zero of the dial is one unknown. */
function dialForm(neck: Neck, layout: Layout, setting: PlacedSetting, reading: GapReading): ReadingForm {
  const { surface, survey, tool } = setting;
  const [near, far] = feetMm(neck, setting, reading) ?? [NaN, NaN];
  const share = (reading.place.xMm - near) / (far - near);
  const side = sideOf(surface);
  const at = (xMm: number): SparseRow => (surface === "wood" ? smoothRow(layout, reading.line, xMm, survey) : surfaceRow(layout, surface, reading.line, stationAt(layout.stations, { xMm }), survey));
  const middle = surfaceRow(layout, surface, reading.line, stationAt(layout.stations, reading.place), survey);
  const error = layout.edgeError(tool);
  const zero: SparseRow = error === undefined ? NOTHING : { index: [error.even], coefficient: [1] };
  const line = lineNamed(neck, reading.line);
  const radius = (xMm: number): number => (isFace(surface) ? 0 : radiusDropMm(neck, line, xMm));
  return {
    row: combined([[side, middle], [-side * (1 - share), at(near)], [-side * share, at(far)], [1, zero]]),
    knownMm: radius(reading.place.xMm) - (1 - share) * radius(near) - share * radius(far),
    sMm: surface === "wood" ? BESIDE_MM * Math.hypot(share, 1 - share) : 0,
  };
}

/**
 * The wire over the wood: its height, and how the fret stands off the wood beside it. The gap under a crown is how far the fret stands off
 * its seat, and nothing else: a raised board leaves no gap. A fret may stand higher or lower than that gap says, and still be home.
 */
function crownForm(layout: Layout, setting: PlacedSetting, reading: GapReading): ReadingForm {
  const { survey } = setting;
  const station = stationAt(layout.stations, reading.place);
  const ownWood = layout.wood(layout.lines.indexOf(reading.line), station) !== undefined;
  const beside = ownWood ? woodRow(layout, reading.line, station, survey) : smoothRow(layout, reading.line, reading.place.xMm, survey);
  const wire: SparseRow = mannerOf(setting) === "crown" && layout.crownHeight !== undefined ? { index: [layout.crownHeight], coefficient: [1] } : NOTHING;
  const besideMm = ownWood ? 0 : BESIDE_MM;
  return { row: combined([[1, fretTopRow(layout, reading.line, station, survey)], [-1, beside], [1, wire]]), knownMm: 0, sMm: mannerOf(setting) === "seating" ? Math.hypot(besideMm, HOME_MM) : besideMm };
}

/** Bow of an edge over its half length, 1 in the middle and 0 at its ends. */
export function evenPart(t: number): number {
  return 1 - t * t;
}

/** S-shape of an edge, zero at ends and middle, extremes of 1 (at t = 1/sqrt 3). */
function oddPart(t: number): number {
  return ((3 * Math.sqrt(3)) / 2) * t * (t * t - 1);
}
