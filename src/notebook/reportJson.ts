import type { Json, JsonObject } from "../figures/figure.js";
import type { SolveProgram } from "../advice/levelPlan/program.js";
import type { FretFinding } from "../frets/finding.js";
import { fretReport } from "../frets/report.js";
import { limitsOf } from "../neck/limits.js";
import type { Twist } from "../shape/twist.js";
import type { Relief } from "../shape/relief.js";
import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { glueUpJson, planJson, rodJson, shipJson } from "./adviceJson.js";
import { reportGlueUp } from "./reportGlueUp.js";
import { reportRod, type ReportRod } from "./reportRod.js";
import { wordsOf } from "./words.js";

/**
 * The surveys of one neck for other programs: all of them under `surveys`, the last one's keys repeated at the top level. By the last survey, which shows the neck as it is, also
 * `rod` (which way to turn it), `glueUp` (of a free board: whether it may be glued on), `ship` (the shop's limits one by one) and, with a solver, `plan` (the levelling; crowns read in the earlier sheets count).
 * Lengths in mm; heights positive away from the back of the neck, relief positive for forward bow (middle low). What is
 * undetermined has a `need` and no number.
 * @param solve a solver that proves its optimum; without one nothing is planned
 * @param rod what was worked out of the rod already
 */
export function reportJson(surveys: readonly Survey[], order: UnitOrder = "mm first", solve?: SolveProgram, rod: ReportRod | undefined = reportRod(surveys, order)): JsonObject {
  const entries = surveys.map((survey) => surveyJson(survey, order));
  return { surveys: entries, ...entries.at(-1), ...(rod === undefined ? {} : lastAdvice(surveys, order, solve, rod)) };
}

function lastAdvice(surveys: readonly Survey[], order: UnitOrder, solve: SolveProgram | undefined, rod: ReportRod): JsonObject {
  const last = rod.survey;
  const crowns = surveys.slice(0, -1).map(({ sheet }) => sheet);
  const glueUp = reportGlueUp(surveys, order);
  return { ...(glueUp === undefined ? {} : { glueUp: glueUpJson(glueUp) }), rod: rodJson(rod, order), ship: shipJson(last, order), ...(solve === undefined ? {} : { plan: planJson(last, { crowns }, solve, order) }) };
}

function surveyJson(survey: Survey, order: UnitOrder): JsonObject {
  const words = wordsOf(survey, order);
  return {
    neck: survey.neck.name, stage: survey.sheet.stage, date: survey.sheet.date, state: { ...survey.sheet.state },
    verdict: words.describe().split("\n"),
    datum: survey.datum.map((datum) => ({ line: datum.line, from: datum.from.label, to: datum.to.label })),
    heights: survey.heights.map((height) => ({ surface: height.surface, line: height.line, at: height.at, heightMm: height.heightMm, uMm: height.uMm })),
    faces: survey.faces.map((face): JsonObject => ({
      surface: face.surface, line: face.line, from: face.from.label, to: face.to.label, heights: face.heights.map(({ at, heightMm, uMm }) => ({ at, heightMm, uMm })),
    })),
    crowns: survey.crowns.map(({ line, fret, height }): JsonObject => ({ line, fret, heightMm: height.value, uMm: height.u })),
    relief: words.relief.map(reliefJson), twist: twistJson(words.twist, survey),
    zones: survey.zones.map((zone): JsonObject => ({ fromFret: zone.fromFret, toFret: zone.toFret, upMm: zone.up.value, uMm: zone.up.u, probability: zone.probability, probabilityBoard: zone.probabilityBoard, probabilityFrets: zone.probabilityFrets })),
    frets: fretReport(survey).frets.map(fretJson), fretAdvice: fretReport(survey).describe(order).split("\n"),
    undetermined: survey.undetermined.map((gap) => ({ line: gap.line, ...(gap.at === undefined ? {} : { at: gap.at }), what: gap.what, need: gap.need })),
    blunders: survey.blunders.map((blunder): JsonObject => ({ ...blunder })),
    uncontrolled: survey.uncontrolled.map((reading): JsonObject => ({ ...reading })),
    notes: survey.notes, assumed: survey.assumed,
  };
}

/** One fret: its class, where it is off, what to do, and its height over the neck line on every line read. */
function fretJson({ fret, class: stands, where, lines, probabilityOver, action, endOfCurve }: FretFinding): JsonObject {
  const heights = lines.map(({ line, high, probabilityHigh }): JsonObject => ({ line, highMm: high.value, uMm: high.u, probabilityOver: probabilityHigh }));
  return { fret, class: stands, where, action: action.do, probabilityOver, endOfCurve, lines: heights };
}

/** Positive: turned up at the treble side toward `to`, mm over the board's width there. */
function twistJson(twist: Twist, { neck }: Survey): JsonObject {
  if (twist.status === "undetermined") return { status: "undetermined", need: twist.need };
  const { twist: found, from, to, within } = twist;
  return { status: "determined", twistMm: found.value, uMm: found.u, low95Mm: found.low95, high95Mm: found.high95, from: from.label, to: to.label, limitMm: limitsOf(neck).twistMaxMm, within };
}

function reliefJson(relief: Relief): Json {
  if (relief.status === "undetermined") return { line: relief.line, definition: relief.definition, status: "undetermined", need: relief.need };
  return {
    line: relief.line, definition: relief.definition, status: "determined", reliefMm: relief.relief.value, uMm: relief.relief.u, low95Mm: relief.relief.low95, high95Mm: relief.relief.high95,
    at: relief.at.label, from: relief.from.label, to: relief.to.label, probabilityForward: relief.probabilityForward,
  };
}
