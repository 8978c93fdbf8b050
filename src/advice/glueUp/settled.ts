import { magnitude } from "../../shape/drawn.js";
import { normalCdf } from "../../survey/likelihood/normal.js";
import { NORMAL_95, type Measured } from "../../units/measured.js";
import { bowWords, lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { rangeWords } from "../../bow/effect.js";
import { advised, type Advice } from "../advice.js";

/** What a neck does after glue-up. */
export type SettlingDecision = "it has settled" | "let it settle";

/** Relief at the middle at one time after glue-up, mm; positive forward bow. */
export type ReliefAtTime = {
  /** In a builder's words: `on release`, `next day`. */
  readonly when: string;
  readonly relief: Measured;
};

/** Settling advice with what moved between the last two readings, mm; above 0 toward forward bow. */
export type SettlingAdvice = Advice<SettlingDecision> & { readonly moved: Measured; readonly asExpected?: { readonly expected: Measured; readonly probability: number } };

/** A neck that moved less than this between two readings counts as settled; common practice, no source. */
const STILL_MM = 0.03;
/** No reading is better than this. */
const LEAST_U_MM = 1e-4;
/** The readings must be able to see that much. */
const ENOUGH = 0.8;

/**
 * Whether a glued neck has come to rest: until two readings in a row agree. Wet glue swells the wood for a while, and the neck keeps moving for days, either way.
 * @param readings two or more, in order of time, in like states (rod, strings, support)
 * @param about `sharedU`: the part of their uncertainty that all have in common (one edge), mm, which cancels in what moved; `expected`: relief that the bow
 * model expected after glue-up, mm, positive forward bow; `order`: which unit stands first
 * @throws {RangeError} fewer than two readings
 */
export function settlingAdvice(readings: readonly ReliefAtTime[], about: { readonly sharedU?: number; readonly expected?: Measured; readonly order?: UnitOrder } = {}): SettlingAdvice {
  const { sharedU = 0, expected, order = "mm first" } = about;
  const [before, last] = [readings.at(-2), readings.at(-1)];
  if (before === undefined || last === undefined) throw new RangeError(`Cannot tell whether it has settled from ${readings.length} reading: expected two or more, at different times`);
  const moved = difference(last.relief, before.relief, sharedU);
  const still = normalCdf((STILL_MM - moved.value) / moved.u) - normalCdf((-STILL_MM - moved.value) / moved.u);
  const decision = still >= 0.5 ? "it has settled" : "let it settle";
  const asExpected = expected === undefined ? undefined : { expected, probability: agreement(last.relief, expected) };
  return advised({
    decision, probability: Math.max(still, 1 - still), moved, ...(asExpected === undefined ? {} : { asExpected }),
    headline: decision === "it has settled" ? "It has settled: the last two readings agree." : "Let it settle, and read it again tomorrow, in the same state.",
    reasons: [
      `From ${before.when} to ${last.when} the middle moved ${measuredWords(magnitude(moved), order)}${Math.abs(moved.value) < moved.u ? ", which the readings can do by themselves" : ` toward ${bowWords(moved.value)}`}.`,
      ...(asExpected === undefined ? [] : [expectedWords(last, asExpected, order)]),
    ],
    readIfUnsure: Math.max(still, 1 - still) < ENOUGH ? [`These readings cannot see a move of ${lengthWords(STILL_MM, order)} surely: lay the same edge on the same line again, and read the middle three times.`] : [],
    cautions: [], assumed: [`a neck counts as settled when it moves less than ${lengthWords(STILL_MM, order)} between two readings (common practice, no source)`],
  });
}

function expectedWords(last: ReliefAtTime, { expected, probability }: { readonly expected: Measured; readonly probability: number }, order: UnitOrder): string {
  const was = `${bowWords(last.relief.value)} of ${measuredWords(magnitude(last.relief), order)}`;
  if (probability > 0.05) return `This was to be expected: ${was}.`;
  return `This is not what was expected: ${was}, where ${rangeWords(expected, order)} was. Look for a cause: the clamp was not flat, the joint slipped, the wood changed its moisture.`;
}

/** Two-sided probability of lying as far apart as these do, if both are right. */
function agreement(a: Measured, b: Measured): number {
  return 2 * normalCdf(-Math.abs(a.value - b.value) / Math.max(Math.hypot(a.u, b.u), LEAST_U_MM));
}

function difference(later: Measured, earlier: Measured, sharedU: number): Measured {
  const own = (one: Measured): number => Math.max(one.u ** 2 - sharedU ** 2, 0);
  const [value, u] = [later.value - earlier.value, Math.sqrt(Math.max(own(later) + own(earlier), LEAST_U_MM ** 2))];
  return { value, u, unit: "mm", low95: value - NORMAL_95 * u, high95: value + NORMAL_95 * u };
}
