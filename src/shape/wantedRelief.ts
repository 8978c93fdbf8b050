import { assumedOf, limitsOf } from "../neck/limits.js";
import { stringsState } from "../readings/stringsState.js";
import type { Survey } from "../survey/survey.js";
import { bowWords, lengthWords, type UnitOrder } from "../units/words.js";

/** The relief that a neck is judged by, mm, positive forward bow, and in which state it is judged. */
export type WantedRelief = {
  /** `under strings` where they were on or are reckoned with; `bare` where a neck is judged as it lies. */
  readonly judged: "under strings" | "bare";
  readonly minMm: number;
  readonly maxMm: number;
  /** In words: `straight within 0.10 mm (3.9 thou) either way`. */
  readonly words: (order?: UnitOrder) => string;
  /** What of it is common practice, not stated. */
  readonly assumed: readonly string[];
};

/**
 * The one rule by which rod advice and the neck card judge a bow: with strings on, or their pull reckoned with, the shop's relief under strings; else the neck goes out bare and is to be
 * straight within the shop's limit, either way.
 * @param areStringsReckoned whether what strings will add is known and counted
 */
export function wantedRelief({ neck, sheet }: Pick<Survey, "neck" | "sheet">, areStringsReckoned: boolean): WantedRelief {
  const limits = limitsOf(neck);
  if (stringsState(sheet.state.strings) === "on" || areStringsReckoned) {
    const { reliefMinMm: minMm, reliefMaxMm: maxMm } = limits;
    return { judged: "under strings", minMm, maxMm, words: (order) => underStringsWords(minMm, maxMm, order), assumed: assumedOf(limits, ["reliefMinMm", "reliefMaxMm"]) };
  }
  const { bareBowMaxMm: mm } = limits;
  return { judged: "bare", minMm: -mm, maxMm: mm, words: (order) => straightWithinWords(mm, order), assumed: assumedOf(limits, ["bareBowMaxMm"]) };
}

/** As straight as a bare neck is to be, in words. */
export function straightWithinWords(mm: number, order?: UnitOrder): string {
  return `straight within ${lengthWords(mm, order)} either way`;
}

/** The shop's relief under strings in words; below 0 is back bow. */
export function underStringsWords(minMm: number, maxMm: number, order?: UnitOrder): string {
  if (minMm >= 0) return `${lengthWords(minMm, order)} to ${lengthWords(maxMm, order)} forward bow (middle low)`;
  return `from ${lengthWords(-minMm, order)} ${bowWords(minMm)} to ${lengthWords(Math.abs(maxMm), order)} ${bowWords(maxMm)}`;
}
