import type { LevelProblem } from "./problem.js";
import { rowDual, type ProgramSolution } from "./program.js";
import type { JudgedPlan } from "./judge.js";

/**
 * A limit that holds the plan where it is. `low`: the beam must come down until this top is met (within the tolerance);
 * `crown`: no more may come off here; `rod`: the rod's range ends here.
 */
export type Decider =
  | { readonly limit: "low"; readonly fret: number; readonly line: string; /** What 0.01 mm more height (low) or crown saves over all tops, mm. */ readonly savesPerHundredthMm: number }
  | { readonly limit: "crown"; readonly fret: number; readonly line: string; readonly savesPerHundredthMm: number }
  | { readonly limit: "rod"; readonly way: "forward" | "back"; /** What 0.01 mm more of the rod that way saves over all tops, mm. */ readonly savesPerHundredthMm: number };

const HUNDREDTH_MM = 0.01;
/** A limit that saves less than this per hundredth of a millimetre decides nothing worth telling, mm. */
const TOLD_MM = 0.002;

/** The binding limits by the solution's duals, those that cost most first. */
export function decidingTops(problem: LevelProblem, plan: JudgedPlan, solution: Extract<ProgramSolution, { status: "optimal" }>): readonly Decider[] {
  const tops = problem.tops.flatMap(({ fret, line }, index): readonly Decider[] => {
    // height enters the row's limits with a minus: the row is -r - T in [-tol - h, -h]
    const higherSaves = rowDual(solution.rowDuals, `t${index}`) * HUNDREDTH_MM;
    const crownSaves = -(solution.columnDuals.get(`r${index}`) ?? 0) * HUNDREDTH_MM;
    return [{ limit: "low", fret, line, savesPerHundredthMm: higherSaves }, { limit: "crown", fret, line, savesPerHundredthMm: isAtCrown(problem, plan, index) ? crownSaves : 0 }];
  });
  const rodDual = (solution.columnDuals.get("rod") ?? 0) * HUNDREDTH_MM;
  const rod: Decider = { limit: "rod", way: rodDual < 0 ? "forward" : "back", savesPerHundredthMm: Math.abs(rodDual) };
  return [...tops, rod].filter(({ savesPerHundredthMm }) => savesPerHundredthMm > TOLD_MM).sort((a, b) => b.savesPerHundredthMm - a.savesPerHundredthMm);
}

function isAtCrown(problem: LevelProblem, plan: JudgedPlan, index: number): boolean {
  return Math.abs((plan.removals[index]?.removeMm ?? 0) - (problem.tops[index]?.spareMm ?? Infinity)) < 1e-6;
}
