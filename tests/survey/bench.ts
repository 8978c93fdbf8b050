import { fretDistanceMm, radiusDropMm, readNeck, valueOrThrow } from "neck-survey";
import type { EdgeSetting, GapReading, Neck, NeckLine, Place, RockerReading, SurveySheet, Tool } from "neck-survey";

/** A neck and ways to lay tools on it, for tests that know the truth. Heights are of crowns over the crest of a perfect board, mm. */
export const NECK: Neck = valueOrThrow(
  readNeck({ name: "test neck", scaleLength: "25 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in", widths: { nut: 43, lastFret: 56 } }), "the test neck");

export const EDGE: Tool = { name: "straightedge", kind: "straightedge", lengthMm: 450, straightnessToleranceMm: 0.02 };
export const ROCKER: Tool = { name: "rocker", kind: "rocker", lengthMm: 75, straightnessToleranceMm: 0.003 };
export const THOU = 0.0254;

export type Truth = (line: string, fret: number) => number;

/** Forward bow of `reliefMm` in the middle between frets 1 and `last`. */
export function bowed(reliefMm: number, last = 22): Truth {
  const [from, to] = [place(1).xMm, place(last).xMm];
  return (_, fret) => {
    const t = (place(fret).xMm - from) / (to - from);
    return -4 * reliefMm * t * (1 - t);
  };
}

export function place(fret: number): Place {
  return { label: String(fret), xMm: fretDistanceMm(NECK.scaleLengthMm, fret), fret };
}

export function interval(line: string, fret: number, lowMm: number, highMm: number): GapReading {
  return { line, place: place(fret), gap: { kind: "interval", lowMm, highMm, endsUMm: 0.0023 }, written: `${(lowMm / THOU).toFixed(1)} thou`, origin: origin(fret, line) };
}

export function exact(line: string, fret: number, readMm: number, uMm = 0.003): GapReading {
  return { line, place: place(fret), gap: { kind: "exact", gapMm: readMm, uMm }, written: readMm === 0 ? "touch" : `${readMm.toFixed(4)} mm`, origin: origin(fret, line) };
}

export function along(line: string, readings: readonly GapReading[], tool = EDGE): EdgeSetting {
  return { label: `first setting of the edge, ${line}`, tool, surface: "fretTops", path: { kind: "along", line }, readings };
}

export function sheet(settings: readonly EdgeSetting[], rockers: readonly RockerReading[] = []): SurveySheet {
  return { neck: NECK.name, stage: "test", date: "2026-05-04", state: {}, settings, rockers, seating: [], feelMm: 0.005, assumed: [], notes: [] };
}

/** The gap under an edge resting on two frets, over a radiused board. */
export function gapMm(truth: Truth, line: NeckLine, on: readonly [number, number], fret: number): number {
  const height = (at: number): number => truth(line.name, at) + radiusDropMm(NECK, line, place(at).xMm);
  const t = (place(fret).xMm - place(on[0]).xMm) / (place(on[1]).xMm - place(on[0]).xMm);
  return (1 - t) * height(on[0]) + t * height(on[1]) - height(fret);
}

/** Thou leaves: the leaf that goes and the next that does not. */
export function leafInterval(gap: number): readonly [number, number] {
  const leaves = [1.5, 2, 2.5, ...Array.from({ length: 38 }, (_, index) => index + 3)].map((leaf) => leaf * THOU);
  const goes = leaves.findLastIndex((leaf) => leaf <= gap);
  return goes < 0 ? [0, leaves[0] ?? NaN] : [leaves[goes] ?? NaN, leaves[goes + 1] ?? Infinity];
}

/** Every fret read with leaves under an edge that rests on frets 1 and 22. */
export function sweep(truth: Truth, line: NeckLine): EdgeSetting {
  const frets = Array.from({ length: 22 }, (_, index) => index + 1);
  return along(line.name, frets.map((fret) => (fret === 1 || fret === 22 ? exact(line.name, fret, 0) : interval(line.name, fret, ...leafInterval(gapMm(truth, line, [1, 22], fret))))));
}

export function lineNamed(name: string): NeckLine {
  const line = NECK.lines.find((candidate) => candidate.name === name);
  if (line === undefined) throw new RangeError(`Cannot find line ${name} on the test neck`);
  return line;
}

/** Height over the chord of frets 1 and 22. */
export function overChord(truth: Truth, line: string, fret: number): number {
  const t = (place(fret).xMm - place(1).xMm) / (place(22).xMm - place(1).xMm);
  return truth(line, fret) - (1 - t) * truth(line, 1) - t * truth(line, 22);
}

function origin(fret: number, column: string): GapReading["origin"] {
  return { source: "test sheet", row: fret, column };
}
