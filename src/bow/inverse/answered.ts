import { believedDraws, middleUnknowns, type BowBelief } from "../calibration/belief.js";
import type { Measured } from "../../units/measured.js";
import type { UnitOrder } from "../../units/words.js";
import { amountWords, rangeWords } from "../effect.js";
import type { BowUnknowns } from "../unknowns/unknowns.js";
import { rangeOf } from "../uncertainty/range.js";
import type { Crossing } from "./crossing.js";

/** The middle's answer, and the answers of draws of the unknowns: `reached` is the share of draws in which there is one. */
export type Answered = { readonly middle: Crossing; readonly range?: Measured; readonly reached: number };

const DRAWS = 60;
const SEED = 20_26;

/**
 * Asks one inverse question at the middle of a belief and for draws of it.
 * @param ask the answer under one set of unknowns
 * @returns the range where draws answered at least half the time
 */
export function answered(belief: BowBelief, ask: (unknowns: BowUnknowns, draw: number) => Crossing): Answered {
  const middle = ask(middleUnknowns(belief), -1);
  const found = believedDraws(belief, DRAWS, SEED).flatMap((unknowns, draw) => {
    const answer = ask(unknowns, draw);
    return answer.status === "found" ? [answer.at] : [];
  });
  const reached = found.length / DRAWS;
  return { middle, reached, ...(reached >= 0.5 ? { range: rangeOf(found) } : {}) };
}

/** How often the asked relief can be reached at all, where that is not always. */
export function reachedWords(reached: number): string {
  return reached > 0.95 ? "" : ` In about ${Math.round(10 * reached)} of 10 cases that what is known leaves open it can be reached at all.`;
}

/**
 * Refuses a relief that is no number.
 * @throws {RangeError} not finite
 */
export function checkedWanted(reliefMm: number): void {
  if (!Number.isFinite(reliefMm)) throw new RangeError(`Cannot aim at a relief of ${reliefMm} mm: expected a finite number, positive for forward bow (middle low)`);
}

/** A relief as it is aimed at. */
export function wantedWords(reliefMm: number, order: UnitOrder): string {
  return Math.abs(reliefMm) < 0.005 ? "a straight neck (neither bow)" : amountWords(reliefMm, order);
}

/** What a relief may be under a belief, in words: never one figure from book values. */
export function mayBeWords(belief: BowBelief, relief: (unknowns: BowUnknowns) => number, order: UnitOrder): string {
  return rangeWords(rangeOf(believedDraws(belief, DRAWS, SEED).map(relief)), order);
}
