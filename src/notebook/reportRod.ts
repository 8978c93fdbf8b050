import type { RodAdvice } from "../advice/rod/rodAdvice.js";
import { rodTestOf, type SurveyedRodTest } from "../advice/rod/rodTestOf.js";
import type { SurveySheet } from "../readings/reading.js";
import { isFreeBoard } from "../readings/state.js";
import { statesCompared } from "../shape/unlikeStates.js";
import type { Survey } from "../survey/survey.js";
import { adjustTogether } from "../survey/together.js";
import type { UnitOrder } from "../units/words.js";
import { adviseRod } from "./rod.js";

/** A rod is tried within so many days (own judgement): what a neck does in a longer time is not the rod's doing. */
const TEST_DAYS = 14;

/** Surveys that try the rod: taken soon after each other and alike, but for the nut, which stood at two places or more. */
export function rodTestSurveys(surveys: readonly Survey[]): readonly Survey[] {
  const last = surveys.at(-1);
  const alike = surveys.filter(({ sheet }) => last !== undefined && sheet.state.rod !== undefined && isSoon(sheet, last.sheet) && statesCompared(sheet.state, last.sheet.state).unlike.every((what) => what.startsWith("rod: ")));
  return new Set(alike.map(({ sheet }) => sheet.state.rod)).size < 2 ? [] : alike;
}

/** Whether two sheets are of about the same time, as far as their dates say. */
function isSoon(one: SurveySheet, other: SurveySheet): boolean {
  const days = Math.abs(Date.parse(one.date) - Date.parse(other.date)) / MS_PER_DAY;
  return Number.isNaN(days) || days <= TEST_DAYS;
}

const MS_PER_DAY = 86_400_000;

/** A rod test that surveys of a report make. */
export type RodTestAmong = Extract<SurveyedRodTest, { readonly status: "tested" }>;

/** The rod test among surveys of one neck, where some of them try the rod and tell. */
export function rodTestAmong(surveys: readonly Survey[]): RodTestAmong | undefined {
  const [first, ...others] = rodTestSurveys(surveys);
  if (first === undefined) return undefined;
  const test = rodTestOf(adjustTogether(first.neck, [first, ...others].map(({ sheet }) => sheet)));
  return test.status === "tested" ? test : undefined;
}

/** Rod advice of a report, the same for its text and its JSON: strings as nobody said, the rod's own test counted. */
export function rodAdviceWith(survey: Survey, test: RodTestAmong | undefined, order: UnitOrder): RodAdvice {
  return adviseRod(survey, { order, ...(test === undefined ? {} : { test }) });
}

/** What rod advice says in a sentence, by the survey that shows the neck as it is and by the rod's own test, if there is one; nothing of a board or a neck that has no rod. */
export function rodText(survey: Survey, test: RodTestAmong | undefined, order: UnitOrder): readonly string[] {
  if (isFreeBoard(survey.sheet.stage, survey.sheet.state) || survey.neck.rod?.works === "none") return [];
  const advice = rodAdviceWith(survey, test, order);
  const headline = advice.headline.replace(`${survey.neck.name}: `, "");
  const [first = headline] = FIRST_SENTENCE.exec(headline) ?? [];
  const said = advice.turns?.from === "rod test" && isWayToldFirst(first) ? headline : first;
  const tested = test === undefined ? [] : [`Rod test: ${test.describe(order).split("\n").slice(0, TEST_SENTENCES).join(" ")}`];
  return ["", ...tested, `Rod: ${[said, ...advice.reasons.filter((reason) => isToldBeside(reason, said)), ...(advice.probability === undefined ? advice.readIfUnsure.slice(0, 1) : [])].join(" ")} Turn nothing by this page alone: see rod advice (notebook 06).`];
}

/** Whether a headline says which way to turn, so that how far may follow. */
function isWayToldFirst(sentence: string): boolean {
  return /^(?:probably )?turn the nut /.test(sentence);
}

/** Reasons that stand in the line on the rod: what is wanted where a turn is advised without it, the amount if it will be strung, and what to give where strings are not known. */
function isToldBeside(reason: string, said: string): boolean {
  return (reason.startsWith("Wanted: ") && isWayToldFirst(said)) || reason.startsWith("If it will be strung, the answer is the same;") || reason.startsWith("Give the strings in the neck file");
}

/** What the test finds, and what the rod does each way. */
const TEST_SENTENCES = 3;

/** With what to do first, where that is not to turn. */
const FIRST_SENTENCE = /^(?:(?:turn nothing yet[.]|judge nothing by this yet[.]|will this neck be strung[?]) )?.*?[.?](?= [A-Z]|$)/;
