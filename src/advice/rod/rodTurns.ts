import { normalQuantile } from "../../survey/likelihood/normal.js";
import { NORMAL_95, type Measured } from "../../units/measured.js";
import type { RodQuestion } from "./rodQuestion.js";
import type { RodGuess } from "./rodGrid.js";
import { weightedMeasured } from "./weighted.js";

/** How far to turn. */
export type RodTurns = {
  /** All in all, in turns, 0 or more; taken up in steps with a reading after each. */
  readonly inAll: Measured;
  /** The first step, in turns: a quarter at most. */
  readonly firstStep: number;
  readonly from: "rod test" | "bow model";
};

const MOST_A_STEP = 0.25;
/** Points of the standard normal, each standing for a twentieth of it. */
const QUANTILES = 20;

/**
 * The turns that move the middle by a change, over what is known of the rod.
 * @param change relief at the middle, mm
 * @returns undefined where nothing is known of the rod's response that way: then an eighth of a turn shows it
 */
export function turnsFor(change: Measured, way: "turn toward back bow" | "turn toward forward bow", { test, perTurn }: RodQuestion): RodTurns | undefined {
  const needed = Array.from({ length: QUANTILES }, (_, index) => Math.abs(change.value + change.u * normalQuantile((index + 0.5) / QUANTILES)));
  const each = (guess: RodGuess): number => (way === "turn toward back bow" ? guess.backPerTurn : guess.forwardPerTurn);
  if (test !== undefined) {
    const moving = test.guesses.filter((guess) => guess.weight > 1e-5 && each(guess) > 0);
    const result = way === "turn toward back bow" ? test.towardBackBow : test.towardForwardBow;
    if (moving.length === 0 || result.status !== "works") return undefined;
    return stepped(weightedMeasured(moving.flatMap((guess) => needed.map((mm) => ({ value: mm / each(guess), weight: guess.weight }))), "1"), "rod test");
  }
  if (perTurn === undefined || !(perTurn.low95 > 0)) return undefined;
  const spread = Math.log(perTurn.high95 / perTurn.low95) / (2 * NORMAL_95);
  const rods = Array.from({ length: QUANTILES }, (_, index) => perTurn.value * Math.exp(spread * normalQuantile((index + 0.5) / QUANTILES)));
  return stepped(weightedMeasured(rods.flatMap((mmPerTurn) => needed.map((mm) => ({ value: mm / mmPerTurn, weight: 1 }))), "1"), "bow model");
}

/** Eighths, since no hand turns finer; less than the whole on purpose, since what was turned too far has to come back. */
function stepped(inAll: Measured, from: RodTurns["from"]): RodTurns {
  return { inAll, from, firstStep: Math.min(MOST_A_STEP, Math.max(1 / 16, Math.floor(8 * inAll.value) / 8)) };
}
