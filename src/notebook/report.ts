import type { JsonObject } from "../figures/figure.js";
import { fretReport } from "../frets/report.js";
import type { Neck } from "../neck/neck.js";
import { readNeck } from "../neck/neckFile.js";
import { readReadingFiles, type ReadingFile } from "../readings/readingFiles.js";
import { compareSheets } from "../shape/compareSheets.js";
import type { Comparison } from "../shape/comparisonResult.js";
import { unlikeWords } from "../shape/comparisonWords.js";
import { inOrderOfTime, isSameSheet } from "../shape/sheetsInTime.js";
import { adjust } from "../survey/adjust.js";
import type { Survey } from "../survey/survey.js";
import { problemSentence, type Outcome } from "../units/problem.js";
import { once } from "../units/once.js";
import type { UnitOrder } from "../units/words.js";
import { assumedLines } from "./assumed.js";
import { surveyCard } from "./card.js";
import { glueUpText } from "./reportGlueUp.js";
import { reportJson } from "./reportJson.js";
import { reportRod, rodText, type ReportRod } from "./reportRod.js";
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
  const rod = once(() => reportRod(surveys, order));
  const text = once(() => reportText(neck.value, surveys, rod(), order));
  const json = once(() => reportJson(surveys, order, solve, rod()));
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

function reportText(neck: Neck, surveys: readonly Survey[], rod: ReportRod | undefined, order: UnitOrder): string {
  const blocks = surveys.map((survey) => surveyText(survey, order, rod?.survey === survey ? [...rodText(rod, order), ...glueUpText(surveys, order)] : []));
  const again = rod?.tested.slice(1) ?? [];
  return [...blocks, ...changesText(neck, surveys.filter((survey) => !again.includes(survey)), order)].join("\n\n");
}

/** What changed from each survey to the next in time; a sheet that was given twice changes nothing. */
function changesText(neck: Neck, surveys: readonly Survey[], order: UnitOrder): readonly string[] {
  const sheets = inOrderOfTime(surveys.map(({ sheet }) => sheet));
  const changes = sheets.slice(1).flatMap((sheet, index) => {
    const before = sheets[index];
    return before === undefined || isSameSheet(before, sheet) ? [] : [changeText(compareSheets(neck, before, sheet), order)];
  });
  return changes.length === 0 ? [] : [["What changed:", ...changes].join("\n")];
}

/** What moved and what to do; that the states were unlike is always said. */
function changeText(change: Comparison, order: UnitOrder): string {
  const [first = "", second = ""] = change.describe(order).split("\n");
  if (change.status === "undetermined") return [first, ...unlikeWords(change.states)].join(" ");
  return [second, ...(change.status === "settled" ? [] : unlikeWords(change.states)), first].join(" ");
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

function refused(outcome: Extract<Outcome<unknown>, { readonly status: "refused" }>, what: string): Report {
  const { length } = outcome.problems;
  const lines = outcome.problems.map((problem) => `  ${problemSentence(problem)}`);
  return { status: "refused", message: `Cannot read ${what}: ${length} problem${length === 1 ? "" : "s"}\n${lines.join("\n")}` };
}
