import type { UnitOrder } from "../../units/words.js";
import { decidingTops, type Decider } from "./decides.js";
import { planBreaches, type JudgedPlan } from "./judge.js";
import { lowFretLeftOut, type LeftOut } from "./leftOut.js";
import { levelProgram } from "./levelProgram.js";
import { planWords, unplannedWords } from "./planWords.js";
import { checkProblem, reseatable, type LevelProblem } from "./problem.js";
import type { SolveProgram } from "./program.js";
import { remedies, type Remedy } from "./remedies.js";
import { savings, type Saving } from "./savings.js";
import { solvedPlan } from "./solvedPlan.js";

/** The least that a levelling takes off within the limits; positive relief change is toward forward bow (middle low). */
export type LevelPlan = JudgedPlan & {
  readonly status: "planned";
  readonly problem: LevelProblem;
  /** The solver's proof: no plan costs less than `boundMm`; the gap is 0 to rounding. */
  readonly proof: { readonly boundMm: number; readonly gapMm: number };
  /** What holds the plan where it is, most telling first. */
  readonly decides: readonly Decider[];
  /** What seating each of the reseated frets first saves. */
  readonly savings: readonly Saving[];
  /** Where a low fret decides: what leaving it out or refitting it comes to, as far as that is worth it. */
  readonly leftOut?: LeftOut;
  readonly describe: (order?: UnitOrder) => string;
};

/** A plan, or why there is none. */
export type LevelPlanOutcome =
  | LevelPlan
  | { readonly status: "infeasible"; readonly problem: LevelProblem; /** What would make it feasible, each alone; empty where nothing alone does. */ readonly remedies: readonly Remedy[]; readonly describe: (order?: UnitOrder) => string }
  | { readonly status: "not proven"; readonly why: readonly [string, ...string[]]; readonly describe: () => string };

/**
 * The plan that takes the least metal off the fret tops: minimise sum r + 0.001 max r, so that every top ends on the beam's line or at most
 * the tolerance under it, no crown is cut too low, at most `reseatMax` frets are seated first and the rod stays in its range.
 * Nothing is taken on trust: a plan is returned only after `planBreaches` found no limit broken and the proof closed.
 * @param solve a solver that proves its optimum (a loaded one; the core loads none)
 * @throws {RangeError} a problem that cannot be meant: see `checkProblem`
 */
export function levelPlan(problem: LevelProblem, solve: SolveProgram): LevelPlanOutcome {
  checkProblem(problem);
  const best = solve(levelProgram(problem));
  if (best.status === "failed") return notProven([`the solver says: ${best.why}`]);
  if (best.status === "infeasible") return infeasible(problem, solve);
  const reseat = reseatable(problem).filter((fret) => (best.values.get(`s${fret}`) ?? 0) > 0.5);
  const settled = solve(levelProgram(problem, { reseat }));
  if (settled.status !== "optimal") return notProven([`the plan with its frets seated is ${settled.status}`]);
  const decided = solvedPlan(problem, reseat, settled);
  const gapMm = decided.objectiveMm - best.cost;
  const breaches = [...planBreaches(problem, decided), ...(Math.abs(gapMm) <= CLOSED_MM ? [] : [`the plan costs ${decided.objectiveMm} mm, the proof stands at ${best.cost} mm`])];
  const [first, ...others] = breaches;
  if (first !== undefined) return notProven([first, ...others]);
  const decides = decidingTops(problem, decided, settled);
  const leftOut = lowFretLeftOut(problem, decided, decides, solve);
  const found = { ...decided, status: "planned", problem, proof: { boundMm: best.cost, gapMm }, decides, ...(leftOut === undefined ? {} : { leftOut }), savings: savings(problem, decided, solve) } as const;
  return { ...found, describe: (order: UnitOrder = "mm first") => planWords(found, order) };
}

/** The gap between a plan and its proof is rounding below this. */
const CLOSED_MM = 1e-6;

function notProven(why: readonly [string, ...string[]]): LevelPlanOutcome {
  return { status: "not proven", why, describe: () => `No plan is given, because it could not be proven sound: ${why.join("; ")}. This is a fault of the program or of the solver, not of your readings.` };
}

function infeasible(problem: LevelProblem, solve: SolveProgram): LevelPlanOutcome {
  const found = remedies(problem, solve);
  return { status: "infeasible", problem, remedies: found, describe: (order: UnitOrder = "mm first") => unplannedWords(problem, found, order) };
}
