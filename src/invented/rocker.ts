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
  /** Uncertainty of those bounds from the leaves' own thickness, mm. */
  readonly endsUMm: number;
};

/**
 * Sets a short rocker on `middleFret` and its neighbours. Middle high: pressed down on the first and the middle, a leaf is tried under the raised far end;
 * where the thinnest does not go, it is called still. Middle low: it lies on the outer two and does not rock; if the plan says so, a leaf is
 * tried under the middle too, and one that goes is written as three gaps.
 * With r the middle's share of the way from first to last the far gap is delta / r. `rocks=2` does not say which end was raised, so its bounds hold for
 * either: 2 min(r, 1 - r) to the next leaf times max(r, 1 - r).
 */
export function rockAt(truth: InventedTruth, line: string, middleFret: number, operator: InventedOperator, stream: InventedStream, plan: ReadingPlan): RockerFinding {
  const frets = [middleFret - 1, middleFret, middleFret + 1] as const;
  const { r, deltaMm } = middleOverOuter(truth, line, frets, operator.rocker);
  const blindMm = operator.leaves[0].nominalMm;
  const leafUMm = operator.leafToleranceMm / Math.sqrt(3);
  const still = { frets, written: "still", deltaMm: { low: -Infinity, high: blindMm * r }, endsUMm: leafUMm };
  const far = readGap(Math.max(0, deltaMm / r), operator, stream);
  if (leafWent(far, operator)) {
    const [least, most] = [Math.min(r, 1 - r), Math.max(r, 1 - r)];
    return { frets, written: `rocks=${far.written}`, deltaMm: { low: endsOf(far).low * least, high: endsOf(far).high * most }, endsUMm: leafUMm * most };
  }
  if (!plan.leafUnderMiddle) return still;
  const under = readGap(Math.max(0, -deltaMm), operator, stream);
  if (!leafWent(under, operator)) return still;
  const { low, high } = endsOf(under);
  return { frets, written: [PRESSED_DOWN.written, under.written, PRESSED_DOWN.written], deltaMm: { low: -high, high: -low }, endsUMm: leafUMm };
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

function leafWent(reading: ReadGap, operator: InventedOperator): boolean {
  return reading.gap.kind === "interval" && reading.gap.lowMm >= operator.leaves[0].nominalMm;
}

function endsOf(reading: ReadGap): { low: number; high: number } {
  return reading.gap.kind === "exact" ? { low: reading.gap.gapMm, high: reading.gap.gapMm } : { low: reading.gap.lowMm, high: reading.gap.highMm };
}
