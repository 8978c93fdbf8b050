import type { GlueUpAdvice } from "../advice/glueUp/glueUpAdvice.js";
import { benchSteps } from "../advice/levelPlan/benchSteps.js";
import { levelPlan, type LevelPlan, type LevelPlanOutcome } from "../advice/levelPlan/levelPlan.js";
import { levelling, type Levelling, type LevellingAbout } from "../advice/levelPlan/levelling.js";
import type { SolveProgram } from "../advice/levelPlan/program.js";
import { sufficiency } from "../advice/levelPlan/sufficiency.js";
import { workingSteps } from "../advice/levelPlan/workingSteps.js";
import { shipReport } from "../advice/ship/ship.js";
import type { JsonObject } from "../figures/figure.js";
import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import type { UnitOrder } from "../units/words.js";
import type { ReportRod } from "./reportRod.js";

/** What to do with the rod, as the report says it: by the last survey and by the rod test among the files, and both answers where it hangs on strings of which nobody said whether they come. */
export function rodJson({ advice, test }: ReportRod, order: UnitOrder): JsonObject {
  const { decision, headline, reasons, because, probability, readIfUnsure, cautions, numbers } = advice;
  return {
    decision, headline, reasons, kinds: because.map(({ kind }) => kind), ...(probability === undefined ? {} : { probability }), readIfUnsure, cautions,
    ...(numbers === undefined ? {} : { now: measuredJson(numbers.now), targetMm: numbers.targetMm, change: measuredJson(numbers.change), probabilities: { ...numbers.probabilities }, at: numbers.at }),
    ...(test === undefined ? {} : { test: test.describe(order).split("\n") }),
  };
}

/** Whether a free board may be glued on as it lies, as the report says it; of the bow also what should remain of it, where the neck file says enough. */
export function glueUpJson({ decision, headline, reasons, probability, readIfUnsure, cautions, numbers }: GlueUpAdvice): JsonObject {
  return {
    decision, headline, reasons, ...(probability === undefined ? {} : { probability }), readIfUnsure, cautions,
    ...(numbers === undefined ? {} : { board: measuredJson(numbers.boardBow), limitMm: numbers.limitMm }),
    ...(numbers?.remains === undefined ? {} : { afterGlueUp: measuredJson(numbers.remains.afterGlueUp), underStrings: measuredJson(numbers.remains.underStrings) }),
  };
}

/** Every limit of the shop, and what goes with the neck. */
export function shipJson(survey: Survey, order: UnitOrder): JsonObject {
  const { state, atLeast, headline, checks, done, notDone, facts, before, howSure, cautions, assumed } = shipReport(survey, {}, order);
  return { state, ...(atLeast === undefined ? {} : { atLeast }), headline, checks: checks.map((check): JsonObject => ({ ...check })), done, notDone, facts, before, howSure, cautions, assumed };
}

/**
 * The levelling of a neck: planned, or what stands in the way of a plan. Lengths in mm; `removeMm` is what comes off a top, `reliefChangeMm` what the rod is to change, positive toward forward bow (middle low).
 * @param about crowns read in other sheets, and what else is known beside the survey
 * @param solve a solver that proves its optimum
 */
export function planJson(survey: Survey, about: LevellingAbout, solve: SolveProgram, order: UnitOrder): JsonObject {
  const posed = levelling(survey, about);
  if (posed.status === "twisted") return { status: posed.status, words: posed.describe(order) };
  if (posed.status !== "posed") return { status: posed.status, needs: posed.needs, words: posed.describe() };
  const plan = levelPlan(posed.problem, solve);
  return plan.status === "planned" ? plannedJson(posed, plan, order) : unplannedJson(plan, order);
}

function unplannedJson(plan: Exclude<LevelPlanOutcome, LevelPlan>, order: UnitOrder): JsonObject {
  if (plan.status === "not proven") return { status: plan.status, why: plan.why, words: plan.describe() };
  return { status: plan.status, remedies: plan.remedies.map((remedy): JsonObject => ({ ...remedy })), words: plan.describe(order) };
}

function plannedJson(posed: Levelling, plan: LevelPlan, order: UnitOrder): JsonObject {
  const sure = sufficiency(posed, plan);
  const { headline, steps, crowns, howSure, cautions } = workingSteps(posed, plan, sure, order);
  const top = (index: number): JsonObject => ({ fret: posed.problem.tops[index]?.fret ?? NaN, line: posed.problem.tops[index]?.line ?? "" });
  return {
    status: plan.status, headline, why: benchSteps(posed, plan, sure, order).why,
    beam: posed.beam, datum: posed.problem.datum, seat: plan.reseat, reliefChangeMm: plan.reliefChangeMm, sumMm: plan.sumMm, mostMm: plan.mostMm,
    removals: plan.removals.map(({ fret, line, removeMm }): JsonObject => ({ fret, line, removeMm })), beamLines: plan.beam.map((line): JsonObject => ({ ...line })),
    decides: plan.decides.map((one): JsonObject => ({ ...one })), savings: plan.savings.map((one): JsonObject => ({ ...one })), ...(plan.leftOut === undefined ? {} : { leftOut: { ...plan.leftOut } }), proof: { ...plan.proof },
    firstTouched: sure.first.map(({ line, frets, pair }): JsonObject => ({ line, frets, pair })), guides: sure.guides.map(({ line, tops, canGauge }): JsonObject => ({ line, tops: tops.map(top), canGauge })),
    crowns: crowns.map((one): JsonObject => ({ ...one })), crownsSaid: posed.crownsSaid, toleranceMm: posed.limits.levelToleranceMm, crownMinMm: posed.limits.crownMinMm,
    sure: { probability: sure.probability, allowanceMm: sure.allowanceMm, probabilityCrowns: sure.probabilityCrowns, necks: sure.necks, unseenGaps: sure.unseenGaps },
    steps: steps.map(({ heading, sentences }): JsonObject => ({ heading, sentences })), howSure, notes: [...posed.before, ...posed.notes], cautions,
  };
}

function measuredJson({ value, u, low95, high95 }: Measured): JsonObject {
  return { mm: value, uMm: u, low95Mm: low95, high95Mm: high95 };
}
