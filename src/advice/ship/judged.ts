/** How a limit stands, for good or not yet known. */
export type ShipState = "pass" | "fail" | "not sure";

/** One limit of the shop against one neck. */
export type ShipCheck = {
  /** What is judged, as a heading of the table: `relief under strings`. */
  readonly what: string;
  readonly state: ShipState;
  /** What is wanted, in words. */
  readonly wanted: string;
  /** What was found, in words, with its give or take; `not known` where nothing says. */
  readonly found: string;
  /** Why it passes, fails or is not sure. */
  readonly reason: string;
  /** Probability that the neck keeps the limit, given the readings; absent where nothing was read that says. */
  readonly probability?: number;
  /** What to read or do so that it becomes sure. */
  readonly next?: string;
};

const SURE = 0.95;

/**
 * A limit is kept, broken or not sure: sure is 19 times in 20.
 * @example equal(stateOf(0.97), "pass");
 * @example equal(stateOf(0.5), "not sure");
 */
export function stateOf(probability: number): ShipState {
  if (probability >= SURE) return "pass";
  return probability <= 1 - SURE ? "fail" : "not sure";
}

/** How sure, in words: `almost surely`, `probably`, `open`. */
export function sureWords(probability: number): string {
  const way = Math.max(probability, 1 - probability);
  const side = probability >= 0.5 ? "kept" : "broken";
  if (way >= SURE) return `almost surely ${side}`;
  return way >= 0.75 ? `probably ${side} (${Math.round(100 * way)} %), not surely` : `open: kept with a chance of ${Math.round(100 * probability)} %`;
}
