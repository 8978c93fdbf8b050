import { levelPlan, type LevelPlan, type LevelPlanOutcome } from "../advice/levelPlan/levelPlan.js";
import { levelling, type Levelling, type LevellingAbout, type LevellingOutcome } from "../advice/levelPlan/levelling.js";
import { hasNoSteps } from "../advice/levelPlan/nothingToLevel.js";
import { isSeatingDay } from "../advice/levelPlan/seatWords.js";
import type { SolveProgram } from "../advice/levelPlan/program.js";
import { sufficiency, type Sufficiency } from "../advice/levelPlan/sufficiency.js";
import { benchSteps, type BenchSteps } from "../advice/levelPlan/benchSteps.js";
import { workingSteps, type WorkingSteps } from "../advice/levelPlan/workingSteps.js";
import type { Survey } from "../survey/survey.js";
import { lengthWords, type UnitOrder } from "../units/words.js";
import { whileSayingLater } from "./outlet.js";
import { plainly } from "./plainly.js";
import { loadSolver } from "./solver.js";

/** A levelling with its plan, or why there is none. */
export type PlannedLevelling =
  | { readonly status: "planned"; readonly posed: Levelling; readonly plan: LevelPlan; readonly sure: Sufficiency; readonly steps: (order?: UnitOrder) => WorkingSteps; /** The same in the few words of the working card. */ readonly bench: (order?: UnitOrder) => BenchSteps; /** With what the steps in its words begin. */ readonly headings: readonly string[]; /** What can hurt at this work. */ readonly cautions: readonly string[]; readonly describe: (order?: UnitOrder) => string }
  | { readonly status: "no plan"; readonly outcome: Exclude<LevelPlanOutcome, LevelPlan> | Exclude<LevellingOutcome, Levelling>; readonly describe: (order?: UnitOrder) => string };

/**
 * Plan the levelling of a surveyed neck: the least that must come off the fret tops, proven, and how sure that is. Hand it to `tell`, `showPlan` or `saveWorkingCard`.
 *
 *     const plan = await planLevelling(survey, { rod: { lowMm: -0.3, highMm: 0.2 } });
 *
 * @param about what you know beside the survey: what the rod can do (from a rod test), crown readings, the beam you use
 * @throws {Error} in one sentence where something does not fit
 */
export async function planLevelling(survey: Survey, about: LevellingAbout = {}): Promise<PlannedLevelling> {
  return whileSayingLater("Looking for the plan that takes least off, and carrying it out on a thousand necks", async () => {
    const solve = await loadSolver();
    return plainly(() => planned(survey, about, solve));
  });
}

function planned(survey: Survey, about: LevellingAbout, solve: SolveProgram): PlannedLevelling {
  const posed = levelling(survey, about);
  if (posed.status !== "posed") return { status: "no plan", outcome: posed, describe: (order) => posed.describe(order) };
  const plan = levelPlan(posed.problem, solve);
  if (plan.status !== "planned") return { status: "no plan", outcome: plan, describe: (order) => [plan.describe(order), ...posed.before].join("\n") };
  const sure = sufficiency(posed, plan);
  const steps = (order: UnitOrder = "mm first"): WorkingSteps => workingSteps(posed, plan, sure, order);
  const bench = (order: UnitOrder = "mm first"): BenchSteps => benchSteps(posed, plan, sure, order);
  const { cautions } = steps();
  const notes = [...posed.before, ...posed.notes];
  return { status: "planned", posed, plan, sure, steps, bench, headings: steps().steps.map(({ heading }) => heading), cautions, describe: (order) => {
    if (hasNoSteps(posed, plan, sure)) return shortly(steps(order), notes);
    return isSeatingDay(posed, plan) ? shortly(steps(order), [...bench(order).why, ...notes]) : described(steps(order), plan.describe(order), posed.notes, order);
  } };
}

/** Nothing that could be filed by: what to do instead or first, why, and the notes. */
function shortly({ headline, howSure, steps, cautions }: WorkingSteps, notes: readonly string[]): string {
  return [headline, ...steps.map(({ heading, sentences }) => `${heading}: ${sentences.join(" ")}`), ...howSure, ...notes, ...cautions].join("\n");
}

/** All of it, at length: what to do, the plan, how sure, the steps of the bench, every note. */
function described({ headline, steps, crowns, howSure, cautions }: WorkingSteps, plan: string, notes: readonly string[], order: UnitOrder = "mm first"): string {
  const gauged = crowns.map(({ fret, line, why, removeMm, afterMm }) => `Gauge fret ${fret} ${line}${why === "guide" ? "" : " (thin, no guide)"}: ${lengthWords(removeMm, order)} comes off, ${lengthWords(afterMm, order)} stays.`);
  return [headline, plan, ...howSure, ...steps.map(({ heading, sentences }) => `${heading}: ${sentences.join(" ")}`), ...(gauged.length === 0 ? [] : [gauged.join(" ")]), ...notes.filter((note) => !plan.includes(note)), ...cautions].join("\n");
}
