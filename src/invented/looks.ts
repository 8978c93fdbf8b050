import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { EdgeSetting, GapReading, Place } from "../readings/reading.js";
import { usualTool } from "../readings/tools.js";
import { crownOverWoodMm, underCrownGapMm, woodContactMm, woodPlaceMm } from "./build.js";
import { PRESSED_DOWN, readGap } from "./leaf.js";
import type { InventedOperator } from "./operator.js";
import { layEdge } from "./straightedge.js";
import type { InventedStream } from "./stream.js";
import type { InventedTruth } from "./truth.js";

/** A crown gauge reads to this standard uncertainty, mm (common practice, no source). */
export const CROWN_GAUGE_U_MM = 0.01;

/**
 * A leaf tried under the crowns of these frets along a line: `0` where the thinnest does not go. One setting; the neck is one from `withBuild`.
 */
export function underCrownSetting(truth: InventedTruth, operator: InventedOperator, stream: InventedStream, line: string, frets: readonly number[]): EdgeSetting {
  const looking = { ...operator, looksForLight: false };
  const readings = frets.map((fret) => ({ ...at(line, fretPlace(truth, fret)), ...readGap(underCrownGapMm(truth, line, fret), looking, stream) }));
  return { label: `look under the crowns, ${line}`, tool: usualTool("straightedge"), surface: "underCrown", path: { kind: "along", line }, readings };
}

/** Crowns measured over the wood beside them along a line, with a gauge. One setting; the neck is one from `withBuild`. */
export function crownGaugeSetting(truth: InventedTruth, stream: InventedStream, line: string, frets: readonly number[]): EdgeSetting {
  const readings = frets.map((fret): GapReading => {
    const readMm = Number(stream.normal(crownOverWoodMm(truth, line, fret), CROWN_GAUGE_U_MM).toFixed(2));
    return { ...at(line, fretPlace(truth, fret)), gap: { kind: "exact", gapMm: readMm, uMm: CROWN_GAUGE_U_MM }, written: `${readMm.toFixed(2)}mm±${CROWN_GAUGE_U_MM}mm` };
  });
  return { label: `the crown gauge, ${line}`, tool: usualTool("crownGauge"), surface: "fretTops", path: { kind: "along", line }, readings };
}

/**
 * The edge, notched for the frets, laid on the wood along a line, and a leaf tried midway between every two frets under it (place `7.5`: between frets 7 and 8). Two settings
 * where it rocks. The neck is one from `withBuild`.
 * @param fromFret first and last of the spaces to read, by the fret before each; the edge's middle lies half-way between them
 */
export function woodSettings(truth: InventedTruth, operator: InventedOperator, stream: InventedStream, line: string, fromFret: number = fretTops(truth.neck)[0] ?? 1, toFret: number = truth.neck.frets - 1): EdgeSetting[] {
  const { edge } = operator;
  const spaces = fretTops(truth.neck).filter((fret) => fret >= fromFret && fret <= toFret);
  const points = spaces.map((fret) => ({ xMm: woodPlaceMm(truth, fret), zMm: woodContactMm(truth, line, fret) }));
  const middleMm = ((points[0]?.xMm ?? 0) + (points.at(-1)?.xMm ?? 0)) / 2;
  const reach = points.filter(({ xMm }) => Math.abs(xMm - middleMm) < edge.lengthMm / 2);
  const tool = { name: "notched", kind: "notched", lengthMm: edge.lengthMm, straightnessToleranceMm: edge.straightnessToleranceMm } as const;
  return layEdge(reach, operator, middleMm).map(({ pressedAt, gapsMm }, index): EdgeSetting => ({
    label: `setting ${index + 1} of the notched edge, ${line}, on the wood`, tool, surface: "wood", path: { kind: "along", line },
    readings: reach.map((point, k): GapReading => {
      const fret = spaces[points.indexOf(point)] ?? 0;
      const where = at(line, { label: `${fret}.5`, xMm: point.xMm });
      return k === pressedAt ? { ...where, ...PRESSED_DOWN, note: "rocks, pressed down here" } : { ...where, ...readGap(gapsMm[k] ?? 0, operator, stream) };
    }),
  }));
}

function fretPlace({ neck }: InventedTruth, fret: number): Place {
  return { label: String(fret), xMm: fretDistanceMm(neck.scaleLengthMm, fret), fret };
}

function at(line: string, place: Place): Pick<GapReading, "line" | "place" | "origin"> {
  return { line, place, origin: { source: "invented readings", row: 1, column: `${line}, ${place.label}` } };
}
