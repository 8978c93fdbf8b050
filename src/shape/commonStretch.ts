import type { Neck } from "../neck/neck.js";
import { wholeSpanMm } from "./span.js";
import type { TopPlace } from "./span.js";

/** The stretch of the neck over which the change of several lines is one bow, and those lines. */
export type BowOver = { readonly from: TopPlace; readonly to: TopPlace; readonly lines: readonly string[] };

type Stretch = { readonly line: string; readonly from: TopPlace; readonly to: TopPlace };

/** A common stretch shorter than this share of the neck says nothing of its bow. */
const LEAST_SHARE = 0.5;

/**
 * The stretch that as many lines as can be have in common, the longest line first: the same movement bends a long chord more than a short one, so that bows of
 * unlike chords have no mean. A line that leaves less than half of the neck in common is left out.
 * @returns undefined of no stretch
 */
export function commonStretch(neck: Neck, stretches: readonly Stretch[]): BowOver | undefined {
  const longest = [...stretches].sort((one, other) => lengthMm(other) - lengthMm(one));
  const leastMm = LEAST_SHARE * wholeSpanMm(neck);
  return longest.reduce<BowOver | undefined>((common, stretch) => {
    if (common === undefined) return { from: stretch.from, to: stretch.to, lines: [stretch.line] };
    const from = stretch.from.xMm > common.from.xMm ? stretch.from : common.from;
    const to = stretch.to.xMm < common.to.xMm ? stretch.to : common.to;
    return to.xMm - from.xMm < leastMm ? common : { from, to, lines: [...common.lines, stretch.line] };
  }, undefined);
}

function lengthMm({ from, to }: { readonly from: TopPlace; readonly to: TopPlace }): number {
  return to.xMm - from.xMm;
}
