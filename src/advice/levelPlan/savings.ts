import { quantileSorted } from "simple-statistics";
import type { JudgedPlan } from "./judge.js";
import { levelProgram } from "./levelProgram.js";
import type { LevelProblem } from "./problem.js";
import type { SolveProgram } from "./program.js";
import { solvedPlan } from "./solvedPlan.js";

/** What seating a fret first saves against the best plan that leaves it as it is; `needed`: without it there is no plan at all. */
export type Saving =
  | { readonly status: "saves"; readonly fret: number; /** Over all tops together, mm. */ readonly sumMm: number; /** At the typical top (median), mm. */ readonly typicalMm: number; /** At the top where it saves most, mm. */ readonly mostMm: number; readonly mostAt: { readonly fret: number; readonly line: string } }
  | { readonly status: "needed"; readonly fret: number };

/** What each reseated fret of a plan saves, the others being seated as planned. */
export function savings(problem: LevelProblem, plan: JudgedPlan, solve: SolveProgram): readonly Saving[] {
  return plan.reseat.map((fret): Saving => {
    const others = plan.reseat.filter((one) => one !== fret);
    const without = solve(levelProgram(problem, { reseat: others }));
    if (without.status !== "optimal") return { status: "needed", fret };
    const left = solvedPlan(problem, others, without);
    const saved = problem.tops.map((top, index) => ({ fret: top.fret, line: top.line, mm: (left.removals[index]?.removeMm ?? 0) - (plan.removals[index]?.removeMm ?? 0) }));
    const most = saved.reduce((best, one) => (one.mm > best.mm ? one : best));
    return { status: "saves", fret, sumMm: left.sumMm - plan.sumMm, typicalMm: quantileSorted(saved.map(({ mm }) => mm).sort((a, b) => a - b), 0.5), mostMm: most.mm, mostAt: { fret: most.fret, line: most.line } };
  });
}
