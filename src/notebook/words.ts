import { verdict, type Verdict } from "../advice/verdict.js";
import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";

const known = new WeakMap<Survey, Map<UnitOrder, Verdict>>();

/** The verdict of a survey, worked out once: figure, words and card of one survey draw on the same. */
export function wordsOf(survey: Survey, order: UnitOrder): Verdict {
  const byOrder = known.get(survey) ?? new Map<UnitOrder, Verdict>();
  known.set(survey, byOrder);
  const words = byOrder.get(order) ?? verdict(survey, order);
  byOrder.set(order, words);
  return words;
}
