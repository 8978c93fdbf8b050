import { acrossMm, radiusDropMm } from "neck-survey";
import type { EdgeSetting, GapReading, Surface, Tool } from "neck-survey";
import { EDGE, NECK, exact, interval, leafInterval, lineNamed, place } from "./bench.js";

/** Height of a board over the crest of a perfect one at (x along, y across), mm: exact geometry for tools that reach from line to line. */
export type Board = (xMm: number, yMm: number) => number;

/** How a gap is written: as it is, with a standard uncertainty, or between two thou leaves. */
export type Writing = { readonly uMm: number } | "leaves";

export const BARS: Tool = { name: "sightingBars", kind: "sightingBars", lengthMm: 300, straightnessToleranceMm: 0.1 };

/** Bow in the middle, twist as height of the treble edge of the board over the width at fret 22, crown across as height at 20 mm from the centre. */
export function board({ bowMm = 0, twistMm = 0, crownMm = 0 }: { readonly bowMm?: number; readonly twistMm?: number; readonly crownMm?: number }): Board {
  const [from, to] = [place(1).xMm, place(22).xMm];
  return (xMm, yMm) => {
    const t = (xMm - from) / (to - from);
    return -4 * bowMm * t * (1 - t) + (twistMm * t * yMm) / 56 + crownMm * (yMm / 20) ** 2;
  };
}

export function yOf(line: string, xMm: number): number {
  return acrossMm(NECK, lineNamed(line), xMm);
}

function reading(line: string, fret: number, gapMm: number, writing: Writing): GapReading {
  if (writing === "leaves") return Math.abs(gapMm) < 1e-9 ? exact(line, fret, 0) : interval(line, fret, ...leafInterval(gapMm));
  return exact(line, fret, gapMm, writing.uMm);
}

/** Gaps under a straight edge over the first and last of the frets, raised until it cuts into none, the board read at (x, y(x)): on a radius a diagonal edge rests on the crest. */
function gapsUnder(heights: Board, frets: readonly number[], yAt: (xMm: number) => number): readonly number[] {
  const z = frets.map((fret) => heights(place(fret).xMm, yAt(place(fret).xMm)) + radiusDropMm(NECK, { name: "path", offsetMm: yAt(place(fret).xMm) }, place(fret).xMm));
  const [from, to] = [place(frets[0] ?? 1).xMm, place(frets.at(-1) ?? 22).xMm];
  const gaps = frets.map((fret, index) => {
    const t = (place(fret).xMm - from) / (to - from);
    return (1 - t) * (z[0] ?? NaN) + t * (z.at(-1) ?? NaN) - (z[index] ?? NaN);
  });
  return gaps.map((gap) => gap - Math.min(...gaps));
}

const ALONG = [1, 4, 8, 12, 16, 19, 22];

/** An edge along a line. */
export function lengthwise(heights: Board, line: string, writing: Writing, tool: Tool = EDGE, surface: Surface = "fretTops"): EdgeSetting {
  const gaps = gapsUnder(heights, ALONG, (xMm) => yOf(line, xMm));
  return { label: `first setting of the edge, ${line}`, tool, surface, path: { kind: "along", line }, readings: ALONG.map((fret, index) => reading(line, fret, gaps[index] ?? NaN, writing)) };
}

/** An edge from one line at fret 1 to another at fret 22. */
export function diagonal(heights: Board, from: string, to: string, writing: Writing): EdgeSetting {
  const frets = [1, 5, 10, 15, 22];
  const [ya, yb, xa, xb] = [yOf(from, place(1).xMm), yOf(to, place(22).xMm), place(1).xMm, place(22).xMm];
  const gaps = gapsUnder(heights, frets, (xMm) => ya + ((yb - ya) * (xMm - xa)) / (xb - xa));
  return {
    label: `first setting of the edge, from ${from} at fret 1 to ${to} at fret 22`, tool: EDGE, surface: "fretTops",
    path: { kind: "diagonal", from: { line: from, at: place(1) }, to: { line: to, at: place(22) } }, readings: frets.map((fret, index) => reading("", fret, gaps[index] ?? NaN, writing)),
  };
}

/** An edge across at a fret, 0.8 mm over the crest and level with nothing. */
export function across(heights: Board, fret: number, uMm: number): EdgeSetting {
  const { xMm } = place(fret);
  const gap = (line: string): number => 0.8 + 0.003 * yOf(line, xMm) - heights(xMm, yOf(line, xMm)) - radiusDropMm(NECK, lineNamed(line), xMm);
  return { label: `edge across at fret ${fret}`, tool: EDGE, surface: "fretTops", path: { kind: "across", at: place(fret) }, readings: NECK.lines.map(({ name }) => exact(name, fret, gap(name), uMm)) };
}

/** How far the treble end of a bar stands over its bass end, mm over its length. */
function rollMm(heights: Board, fret: number): number {
  const { xMm } = place(fret);
  const [bass, treble] = [yOf("bass", xMm), yOf("treble", xMm)];
  return (BARS.lengthMm * (heights(xMm, treble) - heights(xMm, bass))) / (treble - bass);
}

/** Two sighting bars, read at their treble ends. */
export function bars(heights: Board, uMm: number, frets: readonly [number, number] = [1, 22]): EdgeSetting {
  const readings = frets.map((fret) => (fret === frets[0] ? exact("treble", fret, 0) : exact("treble", fret, rollMm(heights, fret) - rollMm(heights, frets[0]), uMm)));
  return { label: "first setting of the sighting bars, treble", tool: BARS, surface: "fretTops", path: { kind: "along", line: "treble" }, readings };
}
