import type { Verdict } from "../advice/verdict.js";
import { escaped } from "../figures/text.js";
import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { sendHtml } from "./outlet.js";
import { plainly } from "./plainly.js";
import { wordsOf } from "./words.js";

/**
 * Tell the verdict in words: where, how much, which way, how sure, and what to read next; what was assumed can be unfolded under it.
 * @param survey what `surveyNeck` gave
 * @param order which unit stands first; mm unless said
 */
export function tell(survey: Survey, order: UnitOrder = "mm first"): void {
  plainly(() => tellVerdict(wordsOf(survey, order), survey));
}

/** The verdict as a block of text that wraps at a readable width and follows the page's own colours. */
export function tellVerdict(words: Verdict, survey?: Pick<Survey, "assumed" | "notes">): void {
  const assumed = survey?.assumed ?? [];
  const notes = survey?.notes ?? [];
  const text = [words.describe(), ...notes.map((note) => `Note: ${note}`), ...(assumed.length === 0 ? [] : ["Assumed, because it was not given:", ...assumed.map((one) => `  ${one}`)])];
  sendHtml(verdictHtml(words, notes, assumed), text.join("\n"));
}

function verdictHtml(words: Verdict, notes: readonly string[], assumed: readonly string[]): string {
  const rest = [...words.where, ...words.lookAgain, ...words.howSure, ...words.readNext, ...notes.map((note) => `Note: ${note}`)];
  const paragraphs = rest.map((sentence) => `<p style="margin:0.35em 0">${escaped(sentence)}</p>`).join("");
  return `<div class="tex2jax_ignore mathjax_ignore" style="max-width:46em;line-height:1.5"><p style="margin:0.35em 0;font-weight:600;font-size:1.15em">${escaped(words.headline)}</p>${paragraphs}${assumedHtml(assumed)}</div>`;
}

function assumedHtml(assumed: readonly string[]): string {
  if (assumed.length === 0) return "";
  const items = assumed.map((one) => `<li>${escaped(one)}</li>`).join("");
  return `<details style="margin:0.35em 0"><summary>Assumed, because it was not given (${assumed.length})</summary><ul style="margin:0.35em 0">${items}</ul></details>`;
}
