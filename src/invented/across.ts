import { fretDistanceMm, fretTops } from "../neck/frets.js";
import { acrossMm } from "../neck/surface.js";
import type { EdgeSetting, GapReading } from "../readings/reading.js";
import { usualTool } from "../readings/tools.js";
import { PRESSED_DOWN, readGap } from "./leaf.js";
import { lineNamed } from "./line.js";
import type { InventedOperator } from "./operator.js";
import { layEdge } from "./straightedge.js";
import type { InventedStream } from "./stream.js";
import { contactHeightMm, trueHeightMm, type InventedTruth, type NeckBend } from "./truth.js";

const SOURCE = "invented readings";

/** An end of a path over the board: a line and a fret. */
export type PathEnd = { readonly line: string; readonly fret: number };

/**
 * The neck with one more line, at a share of the width between two lines of its own: what each line bends by itself is interpolated between them.
 * @throws {RangeError} lines that do not run at shares of the width
 */
export function withLineBetween(truth: InventedTruth, from: string, to: string, t: number): { readonly truth: InventedTruth; readonly line: string } {
  const name = `${from} to ${to}`;
  const [a, b] = [lineNamed(truth.neck, from), lineNamed(truth.neck, to)];
  if (!("share" in a) || !("share" in b)) throw new RangeError(`Cannot draw a path from ${from} to ${to}: expected lines at shares of the width`);
  const [bendA, bendB] = [truth.lineBends[from] ?? LEVEL, truth.lineBends[to] ?? LEVEL];
  const mix = (u: number, v: number): number => (1 - t) * u + t * v;
  const own: NeckBend = { bowMm: mix(bendA.bowMm, bendB.bowMm), sShapeMm: mix(bendA.sShapeMm, bendB.sShapeMm), waveMm: mix(bendA.waveMm, bendB.waveMm) };
  const neck = { ...truth.neck, lines: [...truth.neck.lines, { name, share: mix(a.share, b.share) }] as const };
  return { line: name, truth: { ...truth, neck, lineBends: { ...truth.lineBends, [name]: own } } };
}

const LEVEL: NeckBend = { bowMm: 0, sShapeMm: 0, waveMm: 0 };

/**
 * The edge laid diagonally from one line and fret to another, its middle half-way, and a leaf tried at every fret between. On a radiused board it mostly rocks on the
 * crest and is pressed down at one end, then at the other: two settings. The places of the readings are frets; they name no line, as in a CSV row with a diagonal path.
 * @throws {RangeError} ends on one line
 */
export function diagonalSettings(truth: InventedTruth, operator: InventedOperator, stream: InventedStream, from: PathEnd, to: PathEnd): EdgeSetting[] {
  if (from.line === to.line) throw new RangeError(`Cannot lay the edge diagonally from ${from.line} to ${to.line}: expected two different lines`);
  const x = (fret: number): number => fretDistanceMm(truth.neck.scaleLengthMm, fret);
  const under = fretTops(truth.neck).filter((fret) => fret >= Math.min(from.fret, to.fret) && fret <= Math.max(from.fret, to.fret));
  const points = under.map((fret) => ({ xMm: x(fret), zMm: heightOnPath(truth, from, to, shareBetween(truth, from, to, fret), fret) }));
  const path = { kind: "diagonal", from: { line: from.line, at: place(x, from.fret) }, to: { line: to.line, at: place(x, to.fret) } } as const;
  const name = `${from.line}@${from.fret} to ${to.line}@${to.fret}`;
  return layEdge(points, operator, (x(from.fret) + x(to.fret)) / 2).map(({ pressedAt, gapsMm }, index): EdgeSetting => ({
    label: `setting ${index + 1} of the edge, diagonal ${name}`, tool: toolOf(operator), surface: "fretTops", path,
    readings: under.map((fret, k): GapReading => {
      const pressed = k === pressedAt;
      const read = pressed ? PRESSED_DOWN : readGap(gapsMm[k] ?? 0, operator, stream);
      return { line: "", place: place(x, fret), ...read, ...(pressed ? { note: "rocks, pressed down here" } : {}), origin: { source: SOURCE, row: k + 1, column: name } };
    }),
  }));
}

/** How far from one end's line to the other's a straight edge lies over a fret, as a share of what lies between them there: the board widens, so that the share is not the way along. */
function shareBetween({ neck }: InventedTruth, from: PathEnd, to: PathEnd, fret: number): number {
  const across = (line: string, at: number): number => acrossMm(neck, lineNamed(neck, line), fretDistanceMm(neck.scaleLengthMm, at));
  const [start, end, here] = [from.fret, to.fret, fret].map((at) => fretDistanceMm(neck.scaleLengthMm, at));
  const along = ((here ?? 0) - (start ?? 0)) / ((end ?? 0) - (start ?? 0));
  const edgeMm = (1 - along) * across(from.line, from.fret) + along * across(to.line, to.fret);
  return (edgeMm - across(from.line, fret)) / (across(to.line, fret) - across(from.line, fret));
}

function heightOnPath(truth: InventedTruth, from: PathEnd, to: PathEnd, t: number, fret: number): number {
  const between = withLineBetween(truth, from.line, to.line, t);
  return contactHeightMm(between.truth, between.line, fret);
}

/** Sighting bars as they are read: a rise seen from bar to bar, with its standard uncertainty (0.15 mm over a bar of 300 mm, common practice, no source). */
export const SIGHTING_U_MM = 0.15;

/**
 * True rise of the far bar's treble end over the near bar's, mm, their bass ends lined up, over the bars' length: bars with feet on the neck's two outermost lines, laid across
 * at two frets. Positive: the treble side climbs toward the far bar.
 */
export function sightingRiseMm(truth: InventedTruth, nearFret: number, farFret: number, barLengthMm: number): number {
  const [bass, treble] = [truth.neck.lines[0], truth.neck.lines.at(-1) ?? truth.neck.lines[0]];
  const slope = (fret: number): number => {
    const xMm = fretDistanceMm(truth.neck.scaleLengthMm, fret);
    return (trueHeightMm(truth, treble.name, fret) - trueHeightMm(truth, bass.name, fret)) / (acrossMm(truth.neck, treble, xMm) - acrossMm(truth.neck, bass, xMm));
  };
  return barLengthMm * (slope(farFret) - slope(nearFret));
}

/** One sighting over two bars of usual length, as a setting from the outermost bass line at the near bar to the outermost treble line at the far one; one reading, at the far bar. */
export function sightingSetting(truth: InventedTruth, stream: InventedStream, nearFret: number, farFret: number): EdgeSetting {
  const tool = usualTool("sightingBars");
  const x = (fret: number): number => fretDistanceMm(truth.neck.scaleLengthMm, fret);
  const [bass, treble] = [truth.neck.lines[0].name, (truth.neck.lines.at(-1) ?? truth.neck.lines[0]).name];
  const readMm = Number(stream.normal(sightingRiseMm(truth, nearFret, farFret, tool.lengthMm), SIGHTING_U_MM).toFixed(2));
  const reading: GapReading = {
    line: "", place: place(x, farFret), gap: { kind: "exact", gapMm: readMm, uMm: SIGHTING_U_MM },
    written: `${readMm.toFixed(2)}mm±${SIGHTING_U_MM}mm`, origin: { source: SOURCE, row: 1, column: "sighting bars" },
  };
  return {
    label: `the sighting bars at frets ${nearFret} and ${farFret}`, tool, surface: "fretTops", readings: [reading],
    path: { kind: "diagonal", from: { line: bass, at: place(x, nearFret) }, to: { line: treble, at: place(x, farFret) } },
  };
}

function place(x: (fret: number) => number, fret: number): GapReading["place"] {
  return { label: String(fret), xMm: x(fret), fret };
}

function toolOf({ edge }: InventedOperator): EdgeSetting["tool"] {
  return { name: "straightedge", kind: "straightedge", lengthMm: edge.lengthMm, straightnessToleranceMm: edge.straightnessToleranceMm };
}
