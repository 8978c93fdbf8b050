import type { InventedStream } from "./stream.js";
import type { InventedFamily } from "./truth.js";

/** Which readings the operator takes. */
export type ReadingPlan = {
  /** Lines to read; all of the neck's where absent. */
  readonly lines?: readonly string[];
  /** Fret tops to read a gap at; `three`: the first, the one nearest mid-way, the one at the body joint. */
  readonly frets: "every" | "every second" | "three";
  /** Besides those, reads where the edge is seen to touch. */
  readonly whereItTouches: boolean;
  /** How often the edge is set down along each line; moved each time where that is possible. */
  readonly settingsPerLine: number;
  /** Whether the rocker goes over all middle frets of each line. */
  readonly rocker: boolean;
  /** Slides a leaf under the middle fret too where the rocker does not rock, and one that goes is written as three gaps. */
  readonly leafUnderMiddle: boolean;
  /** Share of the readings that were not taken, each alike. */
  readonly missingShare: number;
};

/** All that can be read in two settings a line and a pass of the rocker, nothing missing. */
export const FULL_PLAN: ReadingPlan = { frets: "every", whereItTouches: true, settingsPerLine: 2, rocker: true, leafUnderMiddle: true, missingShare: 0 };

/** Edge on the first fret and the body joint, one gap between: three readings on the centre line alone. */
export const THREE_READINGS: ReadingPlan = { lines: ["centre"], frets: "three", whereItTouches: false, settingsPerLine: 1, rocker: false, leafUnderMiddle: false, missingShare: 0 };

/**
 * The plan of an operator on a neck of this family: the full plan for `smooth` and `kinksAndZones`. `atTheBench`: a third of the surveys are three
 * readings; of the others half read every second fret, half also where the edge touches, half set the edge down once a line, a quarter use no rocker, and 20 % of the readings are missing.
 */
export function planFor(family: InventedFamily, stream: InventedStream): ReadingPlan {
  if (family !== "atTheBench") return FULL_PLAN;
  if (stream.chance(1 / 3)) return THREE_READINGS;
  return {
    frets: stream.pick(["every", "every second"]),
    whereItTouches: stream.chance(0.5),
    settingsPerLine: stream.pick([1, 2]),
    rocker: stream.chance(0.75),
    leafUnderMiddle: true,
    missingShare: 0.2,
  };
}
