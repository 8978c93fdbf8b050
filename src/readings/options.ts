import type { Problem } from "../units/problem.js";
import type { GapContext } from "./gap.js";
import type { LeafSet } from "./leafSet.js";
import type { NeckState, Surface, Tool } from "./reading.js";
import type { StateEntry, StateKey } from "./state.js";

/** What is known of readings beside what stands in their text. Everything may be left out; what is left out is listed as assumed. */
export type ReadOptions = {
  readonly stage?: string;
  readonly date?: string;
  readonly state?: NeckState;
  /** Unit of numbers without one; thou where nothing is said. */
  readonly unit?: "thou" | "mm";
  readonly leaves?: LeafSet;
  /** Tools of the user's own, or the usual ones with their real size (`name: "straightedge"`). */
  readonly tools?: readonly Tool[];
  /** Uncertainty of the hand that judges "goes" and "does not go", mm. */
  readonly feelMm?: number;
  readonly surface?: Surface;
  /** Name of the table for messages. */
  readonly source?: string;
};

/** The state given in code, as if it had been written at the head of the table. */
export function stateEntriesOf(state: NeckState | undefined): readonly StateEntry[] {
  const given: readonly (readonly [StateKey, string | number | undefined])[] = [
    ["rod", state?.rod], ["strings", state?.strings], ["support", state?.support], ["hoursSinceGlue", state?.hoursSinceGlue],
    ["humidity", state?.humidityPercent], ["temperature", state?.temperatureC], ["fretState", state?.fretState],
  ];
  return given.flatMap(([key, value]) => (value === undefined ? [] : [{ key, value, written: String(value), origin: { source: "options", row: 1, column: key } }]));
}

/** How plain numbers and leaves are read, from the options alone. */
export function gapContextOf(options: ReadOptions): GapContext {
  return { unit: options.unit ?? "thou", ...(options.leaves === undefined ? {} : { leaves: options.leaves }) };
}

/** The feel of a hand that a builder may have; beyond it a unit was mistaken. */
const FEEL = { leastMm: 0.0005, mostMm: 0.1 } as const;
export const FEEL_EXPECTED = "the feel of a hand from 0.0005 to 0.1 mm, as 0.005 mm";

/** Whether a hand can feel so finely, and no worse. */
export function isFeel(feelMm: number): boolean {
  return feelMm >= FEEL.leastMm && feelMm <= FEEL.mostMm;
}

/** What is wrong with the feel that code gives. */
export function feelProblems({ feelMm }: ReadOptions): readonly Problem[] {
  return feelMm === undefined || isFeel(feelMm) ? [] : [{ source: "options", column: "feelMm", found: String(feelMm), expected: FEEL_EXPECTED }];
}
