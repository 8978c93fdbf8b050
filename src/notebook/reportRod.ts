import type { RodAdvice } from "../advice/rod/rodAdvised.js";
import type { RodReason } from "../advice/rod/rodReason.js";
import { rodReasonWords, saidWords } from "../advice/rod/rodReasonWords.js";
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
function rodTestSurveys(surveys: readonly Survey[]): readonly Survey[] {
  const last = surveys.at(-1);
  const alike = surveys.filter(({ sheet }) => last !== undefined && sheet.state.rod !== undefined && isSoon(sheet, last.sheet) && statesCompared(sheet.state, last.sheet.state).differs.every((what) => what === "rod"));
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

/** The rod test that surveys make which try the rod, where they tell. */
function rodTestAmong(tested: readonly Survey[]): RodTestAmong | undefined {
  const [first, ...others] = tested;
  if (first === undefined) return undefined;
  const test = rodTestOf(adjustTogether(first.neck, [first, ...others].map(({ sheet }) => sheet)));
  return test.status === "tested" ? test : undefined;
}

/** What a report works out of the rod, once for its text and its JSON. */
export type ReportRod = {
  /** The survey that shows the neck as it is. */
  readonly survey: Survey;
  /** Surveys that try the rod. */
  readonly tested: readonly Survey[];
  readonly test?: RodTestAmong;
  /** By that survey and the rod's own test: strings as nobody said. */
  readonly advice: RodAdvice;
};

/** The rod by the last survey and by the rod test among the surveys; undefined where there is no survey. */
export function reportRod(surveys: readonly Survey[], order: UnitOrder): ReportRod | undefined {
  const survey = surveys.at(-1);
  if (survey === undefined) return undefined;
  const tested = rodTestSurveys(surveys);
  const test = rodTestAmong(tested);
  return { survey, tested, ...(test === undefined ? {} : { test }), advice: adviseRod(survey, { order, ...(test === undefined ? {} : { test }) }) };
}

/** What rod advice says in short; of a neck without a rod what its relief is, what is wanted and whether it will do. Nothing of a free board. */
export function rodText({ survey, test, advice }: ReportRod, order: UnitOrder): readonly string[] {
  if (isFreeBoard(survey.sheet.stage, survey.sheet.state)) return [];
  if (survey.neck.rod?.works === "none") return ["", `Relief: ${reliefSaid(advice, order)} Nothing here is turned; notebook 06 has the same at length, with a drawing.`];
  const tested = test === undefined ? [] : [`Rod test: ${test.describe(order).split("\n").slice(0, TEST_SENTENCES).join(" ")}`];
  return ["", ...tested, `Rod: ${rodSaid(advice, order)} Turn nothing by this page alone: see rod advice (notebook 06).`];
}

/** What the test finds, and what the rod does each way. */
const TEST_SENTENCES = 3;

type Kind = RodReason["kind"];

/** Reasons that stand in the line on the rod: the amount if it will be strung, what to give where strings are not known, and that readings contradict each other. */
const BESIDE: readonly Kind[] = ["contradiction decides nothing", "same if strung", "strings to be given"];
/** And where a turn is told. */
const BESIDE_TURN: readonly Kind[] = [...BESIDE, "wanted"];
/** What a builder wants to know of a relief that nothing turns. */
const OF_RELIEF: readonly Kind[] = ["contradiction decides nothing", "relief now", "strings", "wanted", "twist first", "lines on both sides", "lines wide apart", "line outside", "without a rod", "same if strung", "strings to be given", "if strung", "if bare"];

/** How far to turn is told by the rod's own test alone. */
function rodSaid(advice: RodAdvice, order: UnitOrder): string {
  const said = advice.isWayKnown && advice.turns?.from === "rod test" ? saidWords(advice.said) : advice.said.inShort;
  return [said, ...picked(advice, advice.isWayKnown ? BESIDE_TURN : BESIDE, order), ...firstToRead(advice)].join(" ");
}

function reliefSaid(advice: RodAdvice, order: UnitOrder): string {
  const sure = advice.probability === undefined || advice.howSure === undefined ? [] : [advice.howSure];
  return [saidWords(advice.said), ...picked(advice, OF_RELIEF, order), ...sure, ...firstToRead(advice)].join(" ");
}

function picked({ because }: RodAdvice, kinds: readonly Kind[], order: UnitOrder): readonly string[] {
  return because.filter(({ kind }) => kinds.includes(kind)).map((reason) => rodReasonWords(reason, order));
}

/** Where a rule of the bench decides, what to do about it. */
function firstToRead({ probability, readIfUnsure }: RodAdvice): readonly string[] {
  return probability === undefined ? readIfUnsure.slice(0, 1) : [];
}
