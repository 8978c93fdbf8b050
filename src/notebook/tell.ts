import type { Verdict } from "../advice/verdict.js";
import { escaped } from "../figures/text.js";
import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { sendHtml } from "./outlet.js";
import { plainly } from "./plainly.js";
import { wordsOf } from "./words.js";

/**
 * Tell the verdict in words: where, how much, which way, how sure, and what to read next.
 * @param survey what `surveyNeck` gave
 * @param order which unit stands first; mm unless said
 */
export function tell(survey: Survey, order: UnitOrder = "mm first"): void {
  plainly(() => tellVerdict(wordsOf(survey, order)));
}

/** The verdict as a block of text that wraps at a readable width and follows the page's own colours. */
export function tellVerdict(words: Verdict): void {
  sendHtml(verdictHtml(words), words.describe());
}

function verdictHtml(words: Verdict): string {
  const rest = [...words.where, ...words.lookAgain, ...words.howSure, ...words.readNext];
  const paragraphs = rest.map((sentence) => `<p style="margin:0.35em 0">${escaped(sentence)}</p>`).join("");
  return `<div class="tex2jax_ignore mathjax_ignore" style="max-width:46em;line-height:1.5"><p style="margin:0.35em 0;font-weight:600;font-size:1.15em">${escaped(words.headline)}</p>${paragraphs}</div>`;
}
