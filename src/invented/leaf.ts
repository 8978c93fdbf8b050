import type { Gap } from "../readings/reading.js";
import { MM_PER_THOU } from "../units/length.js";
import type { InventedLeaf, InventedOperator } from "./operator.js";
import type { InventedStream } from "./stream.js";

/** A gap as the operator writes it down, and what that says. */
export type ReadGap = { readonly written: string; readonly gap: Gap };

/** What `touch` means in the written form: no gap, standard uncertainty 3 um. */
const TOUCH: Gap = { kind: "exact", gapMm: 0, uMm: 0.003 };

/** From where on light shows, as `light` says, mm. */
const LIGHT_FROM_MM = 0.002;

/** A gap that is known to be none, because the tool is pressed down there. */
export const PRESSED_DOWN: ReadGap = { written: "touch", gap: TOUCH };

/**
 * Slides leaves into a true gap, thin to thick, until one does not go, and writes the result in thou.
 * Where the thinnest does not go: `touch` (no light), `light`, or `0` from one who does not look. Above the thickest leaf it is
 * stacked with a second one and the two stacks are written as an interval (`42..42.5`); above twice the thickest, `>80`.
 */
export function readGap(trueGapMm: number, operator: InventedOperator, stream: InventedStream): ReadGap {
  const goes = tryingLeaves(trueGapMm, operator, stream);
  const thickest = operator.leaves.at(-1) ?? operator.leaves[0];
  const below = goesUpTo(operator.leaves, goes, 0);
  if (below.fits === undefined) return belowThinnest(trueGapMm, below.next, operator, stream);
  if (below.next !== undefined) return { written: thou(below.fits), gap: between(below.fits, below.next, operator) };
  const stacked = goesUpTo(operator.leaves, goes, thickest.actualMm);
  const lowMm = thickest.nominalMm + (stacked.fits?.nominalMm ?? 0);
  if (stacked.next === undefined) return { written: `>${thou({ nominalMm: lowMm })}`, gap: interval(lowMm, Infinity, operator) };
  const highMm = thickest.nominalMm + stacked.next.nominalMm;
  return { written: `${thou({ nominalMm: lowMm })}..${thou({ nominalMm: highMm })}`, gap: interval(lowMm, highMm, operator) };
}

/** The thickest of the leaves tried that goes, and the first that does not. */
type Fit = { readonly fits: InventedLeaf | undefined; readonly next: InventedLeaf | undefined };

function goesUpTo(leaves: readonly InventedLeaf[], goes: (thicknessMm: number) => boolean, baseMm: number): Fit {
  const stop = leaves.findIndex((leaf) => !goes(baseMm + leaf.actualMm));
  return stop === -1 ? { fits: leaves.at(-1), next: undefined } : { fits: leaves[stop - 1], next: leaves[stop] };
}

function tryingLeaves(trueGapMm: number, operator: InventedOperator, stream: InventedStream): (thicknessMm: number) => boolean {
  const shared = stream.normal(0, operator.feelMm);
  const error = (): number => (operator.feelOf === "each reading" ? shared : stream.normal(0, operator.feelMm));
  return (thicknessMm) => trueGapMm + error() > thicknessMm;
}

function belowThinnest(trueGapMm: number, thinnest: InventedLeaf | undefined, operator: InventedOperator, stream: InventedStream): ReadGap {
  const highMm = (thinnest ?? operator.leaves[0]).nominalMm;
  if (!operator.looksForLight) return { written: "0", gap: interval(0, highMm, operator) };
  const seen = trueGapMm > Math.max(0.0005, stream.normal(operator.leastLightMm, operator.leastLightMm / 3));
  return seen ? { written: "light", gap: interval(LIGHT_FROM_MM, highMm, operator) } : { written: "touch", gap: TOUCH };
}

function between(fits: InventedLeaf, next: InventedLeaf, operator: InventedOperator): Gap {
  return interval(fits.nominalMm, next.nominalMm, operator);
}

/** The leaves' thickness errors are uniform within their tolerance: standard uncertainty tolerance / sqrt 3 (GUM 4.3.7). */
function interval(lowMm: number, highMm: number, operator: InventedOperator): Gap {
  return { kind: "interval", lowMm, highMm, endsUMm: operator.leafToleranceMm / Math.sqrt(3) };
}

/** A thickness as written in thou, without needless digits. */
export function thou(leaf: { readonly nominalMm: number }): string {
  return String(Number((leaf.nominalMm / MM_PER_THOU).toFixed(2)));
}
