import type { JsonObject } from "../figures/figure.js";
import { fretReport } from "../frets/report.js";
import { rodTestOf } from "../advice/rod/rodTestOf.js";
import type { SurveyedRodTest } from "../advice/rod/rodTestOf.js";
import type { Neck } from "../neck/neck.js";
import { readNeck } from "../neck/neckFile.js";
import type { SurveySheet } from "../readings/reading.js";
import { readReadingFiles, type ReadingFile } from "../readings/readingFiles.js";
import { isFreeBoard } from "../readings/state.js";
import { compareSheets } from "../shape/compareSheets.js";
import { inOrderOfTime, isSameSheet } from "../shape/sheetsInTime.js";
import { statesCompared } from "../shape/unlikeStates.js";
import { adjust } from "../survey/adjust.js";
import { adjustTogether } from "../survey/together.js";
import type { Survey } from "../survey/survey.js";
import { problemSentence, type Outcome } from "../units/problem.js";
import { once } from "../units/once.js";
import type { UnitOrder } from "../units/words.js";
import { assumedLines } from "./assumed.js";
import { surveyCard } from "./card.js";
import { reportJson } from "./reportJson.js";
import { adviseRod } from "./rod.js";
import { loadSolver } from "./solver.js";
import { wordsOf } from "./words.js";

/** Files by name and text, as the command line gives them. */
export type ReportRequest = { readonly neck: ReadingFile; readonly readings: readonly ReadingFile[]; readonly order?: UnitOrder; /** Whether the JSON is to have the level plan, which takes a solver and a second or two. */ readonly plan?: boolean };

/** What a report gives: verdict, numbers and card, each worked out when it is first asked for (drawing takes longest), or every problem of the input. */
export type Report =
  | {
      readonly status: "reported";
      /** The verdict for a terminal, one block a survey, the last survey last. */
      readonly text: string;
      readonly json: JsonObject;
      /** The card. */
      readonly html: string;
    }
  | { readonly status: "refused"; /** Every problem, one a line. */ readonly message: string };

/**
 * The whole job without a notebook: a neck file and files of readings in; verdict, card and JSON out.
 * Input that cannot be read is refused with all its problems; nothing is thrown for it.
 */
export async function report(request: ReportRequest): Promise<Report> {
  const neck = readNeck(request.neck.text, request.neck.source);
  if (neck.status === "refused") return refused(neck, request.neck.source);
  const sheets = readReadingFiles(neck.value, request.readings);
  if (sheets.status === "refused") return refused(sheets, "the readings");
  const order = request.order ?? "mm first";
  const surveys = sheets.value.map((sheet) => adjust(neck.value, sheet));
  const solve = request.plan === true ? await loadSolver() : undefined;
  const text = once(() => reportText(neck.value, surveys, order));
  const json = once(() => reportJson(surveys, order, solve));
  const html = once(() => surveyCard(surveys, order).html);
  return {
    status: "reported",
    get text() {
      return text();
    },
    get json() {
      return json();
    },
    get html() {
      return html();
    },
  };
}

function reportText(neck: Neck, surveys: readonly Survey[], order: UnitOrder): string {
  const tested = rodTestSurveys(surveys);
  const found = tested.length === 0 ? undefined : rodTestOf(adjustTogether(neck, tested.map(({ sheet }) => sheet)));
  const test = found?.status === "tested" ? found : undefined;
  const blocks = surveys.map((survey, index) => surveyText(survey, order, index === surveys.length - 1 ? rodText(survey, test, order) : []));
  return [...blocks, ...changesText(neck, surveys.filter((survey) => !tested.slice(1).includes(survey)), order)].join("\n\n");
}

/** A rod is tried within so many days (own judgement): what a neck does in a longer time is not the rod's doing. */
const TEST_DAYS = 14;

/** Surveys that try the rod: taken soon after each other and alike, but for the nut, which stood at two places or more. */
function rodTestSurveys(surveys: readonly Survey[]): readonly Survey[] {
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

/** What changed from each survey to the next in time; a sheet that was given twice changes nothing. */
function changesText(neck: Neck, surveys: readonly Survey[], order: UnitOrder): readonly string[] {
  const sheets = inOrderOfTime(surveys.map(({ sheet }) => sheet));
  const changes = sheets.slice(1).flatMap((sheet, index) => {
    const before = sheets[index];
    return before === undefined || isSameSheet(before, sheet) ? [] : [compareSheets(neck, before, sheet).describe(order).split("\n").slice(0, 2).reverse().join(" ")];
  });
  return changes.length === 0 ? [] : [["What changed:", ...changes].join("\n")];
}

function surveyText(survey: Survey, order: UnitOrder, rod: readonly string[]): string {
  const when = [survey.sheet.stage, survey.sheet.date].filter((part) => part !== "").join(", ");
  const more = [
    ...survey.notes.map((note) => `Note: ${note}`),
    ...assumedLines(survey.assumed),
  ];
  return [...(when === "" ? [] : [when]), wordsOf(survey, order).describe(), ...fretText(survey, order), ...rod, ...more].join("\n");
}

/** What to do with the frets; the verdict has told which stand up. */
function fretText(survey: Survey, order: UnitOrder): readonly string[] {
  if (!survey.heights.some(({ surface }) => surface === "fretTops")) return [];
  const words = fretReport(survey).words(order);
  return ["", words.headline, ...words.frets, ...words.work, ...words.seating, ...words.cautions];
}

/** What rod advice says in a sentence, by the survey that shows the neck as it is and by the rod's own test, if there is one; nothing of a board or a neck that has no rod. */
function rodText(survey: Survey, test: SurveyedRodTest | undefined, order: UnitOrder): readonly string[] {
  if (isFreeBoard(survey.sheet.stage, survey.sheet.state) || survey.neck.rod?.works === "none") return [];
  const advice = adviseRod(survey, { order, ...(test === undefined ? {} : { test }) });
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

function refused(outcome: Extract<Outcome<unknown>, { readonly status: "refused" }>, what: string): Report {
  const { length } = outcome.problems;
  const lines = outcome.problems.map((problem) => `  ${problemSentence(problem)}`);
  return { status: "refused", message: `Cannot read ${what}: ${length} problem${length === 1 ? "" : "s"}\n${lines.join("\n")}` };
}
