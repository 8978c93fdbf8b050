import type { Verdict } from "../advice/verdict.js";
import { escaped } from "../figures/text.js";
import { clearancesWords } from "../frets/clearancesWords.js";
import type { Clearance } from "../frets/clearanceResult.js";
import type { FretReport } from "../frets/report.js";
import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { assumedLines, assumedWords } from "./assumed.js";
import { sendHtml, whileSaying } from "./outlet.js";
import { plainly } from "./plainly.js";
import { wordsOf } from "./words.js";

/** A result that tells itself in a builder's words, one sentence or thought a line. */
export type Described = { readonly describe: (order?: UnitOrder) => string; readonly assumed?: readonly string[]; readonly cautions?: readonly string[]; /** Words with which some lines begin, before a colon, to stand out. */ readonly headings?: readonly string[] };

/**
 * Tell a result in words. Of a survey the verdict: where, how much, which way, how sure, and what to read next. Of a predicted bow its range, why it is
 * wide, what narrows it, and each cause; of what readings taught, what was believed before and now; of a change what moved, which way, and whether luck
 * can do that; of a fret report each fret that is not simply left, and the order of work; of clearances what a pressed string clears and what cures it.
 * What can hurt at the work advised stands in one paragraph; of what was assumed the two that matter most are told, the others can be unfolded.
 * @param result what `surveyNeck`, `whatChanged`, `askNext`, `predictBow`, `learnBow`, `fretReport` or `clearances` gave
 * @param order which unit stands first; mm unless said
 */
export function tell(result: Survey | Described | readonly Clearance[], order: UnitOrder = "mm first"): void {
  plainly(() => {
    if (isClearances(result)) tellLines(clearancesWords(result, order), []);
    else if ("heights" in result) tellVerdict(whileSaying("Weighing what the readings say", () => wordsOf(result, order)), result);
    else if (isFretReport(result)) tellLines(result.describe(order), result.survey.assumed, result.words(order).cautions);
    else tellLines(result.describe(order), result.assumed ?? [], result.cautions, result.headings);
  });
}

function isFretReport(result: object): result is FretReport {
  return "frets" in result && "standOuts" in result;
}

function isClearances(result: object): result is readonly Clearance[] {
  return Array.isArray(result);
}

/** A result whose first line is the headline and whose others follow; the cautions among them stand together. */
export function tellLines(described: string, assumed: readonly string[], cautions: readonly string[] = [], headings: readonly string[] = []): void {
  const [headline = "", ...rest] = described.split("\n");
  const care = rest.filter((line) => cautions.includes(line)).join(" ");
  const below = [...rest.filter((line) => !cautions.includes(line)), ...(care === "" ? [] : [care])];
  sendHtml(blockHtml(headline, below, assumed, headings), [described, ...assumedLines(assumed)].join("\n"));
}

/** The verdict as a block of text that wraps at a readable width and follows the page's own colours. */
export function tellVerdict(words: Verdict, survey?: Pick<Survey, "assumed" | "notes">): void {
  const assumed = survey?.assumed ?? [];
  const notes = survey?.notes ?? [];
  const text = [words.describe(), ...notes.map((note) => `Note: ${note}`), ...assumedLines(assumed)];
  sendHtml(verdictHtml(words, notes, assumed), text.join("\n"));
}

function verdictHtml(words: Verdict, notes: readonly string[], assumed: readonly string[]): string {
  const rest = [...words.where, ...words.lookAgain, ...words.howSure, ...words.readNext, ...notes.map((note) => `Note: ${note}`)];
  return blockHtml(words.headline, rest, assumed);
}

/** A headline of several sentences: the first stands out, the others follow as text. */
function sentencesOf(headline: string): readonly [string, ...string[]] {
  const first = headline.length > LONG_HEADLINE ? /^.{30,}?[.](?= [A-Z])/.exec(headline)?.[0] : undefined;
  return first === undefined ? [headline] : [first, headline.slice(first.length).trim()];
}

/** Characters that bold type takes before it stops standing out. */
const LONG_HEADLINE = 120;

/** A result as it stands under a cell: the headline, then a paragraph a line, the headings with which some begin in bold. Nothing in it is taken for HTML. */
export function blockHtml(headline: string, below: readonly string[], assumed: readonly string[], headings: readonly string[] = []): string {
  const [bold, ...more] = sentencesOf(headline);
  const rest = [...more, ...below];
  const paragraphs = rest.map((sentence) => `<p style="margin:0.35em 0">${withHeading(sentence, headings)}</p>`).join("");
  return `<div class="tex2jax_ignore mathjax_ignore" style="max-width:46em;line-height:1.5"><p style="margin:0.35em 0;font-weight:600;font-size:1.15em">${escaped(bold)}</p>${paragraphs}${assumedHtml(assumed)}</div>`;
}

function withHeading(line: string, headings: readonly string[]): string {
  const heading = headings.find((one) => line.startsWith(`${one}: `));
  return heading === undefined ? escaped(line) : `<strong>${escaped(heading)}:</strong>${escaped(line.slice(heading.length + 1))}`;
}

function assumedHtml(assumed: readonly string[]): string {
  if (assumed.length === 0) return "";
  const { most, common, others } = assumedWords(assumed);
  const told = most.length === 0 ? "" : `<p style="margin:0.35em 0">Assumed: ${escaped(most.join("; "))}.</p>`;
  const rest = common.length + others.length;
  if (rest === 0) return told;
  const list = (items: readonly string[]): string => (items.length === 0 ? "" : `<ul style="margin:0.35em 0">${items.map((one) => `<li>${escaped(one)}</li>`).join("")}</ul>`);
  const practice = common.length === 0 ? "" : `<p style="margin:0.35em 0">By common practice, without a source:</p>${list(common)}`;
  return `${told}<details style="margin:0.35em 0"><summary>${most.length === 0 ? "Assumed, because it was not given" : "Also assumed, because it was not given"} (${rest})</summary>${list(others)}${practice}</details>`;
}
