import { fretDistanceMm } from "../neck/frets.js";
import { PRESSED_DOWN, readGap, type ReadGap } from "./leaf.js";
import { edgeErrorMm, type InventedEdge, type InventedOperator } from "./operator.js";
import type { ReadingPlan } from "./plan.js";
import type { InventedStream } from "./stream.js";
import { contactHeightMm, type InventedTruth } from "./truth.js";

/** What the operator writes after setting the rocker on three neighbouring frets. */
export type RockerFinding = {
  readonly frets: readonly [number, number, number];
  /** `still`, `rocks=2`; or three gaps, where a leaf goes under the middle. */
  readonly written: string | readonly [string, string, string];
  /** Height of the middle crown over the chord of the outer two, mm, as far as the finding says. */
  readonly deltaMm: { readonly low: number; readonly high: number };
};

/**
 * Sets a short rocker on `middleFret` and its neighbours. Middle high: pressed down on the first and the middle, a leaf is tried under the raised far end;
 * where the thinnest does not go, it is called still. Middle low: it lies on the outer two and does not rock; if the plan says so, a leaf is
 * tried under the middle too, and one that goes is written as three gaps.
 * @returns with r the middle's share of the way from first to last: far gap = delta / r
 */
export function rockAt(truth: InventedTruth, line: string, middleFret: number, operator: InventedOperator, stream: InventedStream, plan: ReadingPlan): RockerFinding {
  const frets = [middleFret - 1, middleFret, middleFret + 1] as const;
  const { r, deltaMm } = middleOverOuter(truth, line, frets, operator.rocker);
  const blindMm = operator.leaves[0].nominalMm;
  const still = { low: plan.leafUnderMiddle ? -blindMm : -Infinity, high: blindMm * r };
  const far = readGap(Math.max(0, deltaMm / r), operator, stream);
  if (leafWent(far)) return { frets, written: `rocks=${far.written}`, deltaMm: scaled(far, r) };
  if (!plan.leafUnderMiddle) return { frets, written: "still", deltaMm: still };
  const under = readGap(Math.max(0, -deltaMm), operator, stream);
  if (!leafWent(under)) return { frets, written: "still", deltaMm: still };
  const { low, high } = scaled(under, 1);
  return { frets, written: [PRESSED_DOWN.written, under.written, PRESSED_DOWN.written], deltaMm: { low: -high, high: -low } };
}

/**
 * Height of the middle contact over the chord of the outer two as this rocker meets it, with the radius and the rocker's own error in it,
 * and the middle's share of the way.
 */
export function middleOverOuter(truth: InventedTruth, line: string, frets: readonly [number, number, number], rocker: InventedEdge): { r: number; deltaMm: number } {
  const x = (fret: number): number => fretDistanceMm(truth.neck.scaleLengthMm, fret);
  const [first, middle, last] = frets;
  const centreMm = (x(first) + x(last)) / 2;
  const z = (fret: number): number => contactHeightMm(truth, line, fret) - edgeErrorMm(rocker, x(fret) - centreMm);
  const r = (x(middle) - x(first)) / (x(last) - x(first));
  return { r, deltaMm: z(middle) - (1 - r) * z(first) - r * z(last) };
}

function leafWent(reading: ReadGap): boolean {
  return reading.gap.kind === "interval" && reading.gap.lowMm > 0;
}

function scaled(reading: ReadGap, factor: number): { low: number; high: number } {
  if (reading.gap.kind === "exact") return { low: reading.gap.gapMm * factor, high: reading.gap.gapMm * factor };
  return { low: reading.gap.lowMm * factor, high: reading.gap.highMm * factor };
}
