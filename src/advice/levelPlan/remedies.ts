import { planBreaches } from "./judge.js";
import { levelProgram, type Ask } from "./levelProgram.js";
import { reseatable, type LevelProblem } from "./problem.js";
import type { SolveProgram } from "./program.js";
import { solvedPlan } from "./solvedPlan.js";

/** One change that alone makes a levelling possible, the least of its kind; found by letting one limit give way. */
export type Remedy =
  | { readonly change: "crown"; /** So much more crown may be taken. */ readonly byMm: number; /** Where it is wanted. */ readonly at: readonly { readonly fret: number; readonly line: string; readonly missingMm: number }[] }
  | { readonly change: "low frets"; /** Tops that would have to come up, or stay under the beam by so much. */ readonly at: readonly { readonly fret: number; readonly line: string; readonly lowMm: number }[] }
  | { readonly change: "rod"; readonly way: "forward" | "back"; readonly byMm: number }
  | { readonly change: "reseating"; readonly frets: readonly number[] };

/** A limit that gives way by less gives way by rounding only, mm. */
const LEAST_MM = 1e-6;
/** What gave way is granted with this much room, so that the changed problem is not feasible by a hair only, mm. */
const ROOM_MM = 1e-6;

/** What would make an infeasible levelling feasible, each change alone; every one was tried and judged. */
export function remedies(problem: LevelProblem, solve: SolveProgram): readonly Remedy[] {
  return [reseatRemedy, rodRemedy, crownRemedy, lowRemedy].flatMap((remedy) => remedy(problem, solve));
}

type Values = ReadonlyMap<string, number>;

function relaxed(problem: LevelProblem, solve: SolveProgram, giveWay: NonNullable<Ask["giveWay"]>): Values | undefined {
  const solution = solve(levelProgram(problem, { giveWay }));
  return solution.status === "optimal" ? solution.values : undefined;
}

/** The changed problem has a plan, and the judge finds nothing wrong with it. */
function isCured(changed: LevelProblem, solve: SolveProgram): boolean {
  const best = solve(levelProgram(changed));
  if (best.status !== "optimal") return false;
  const reseat = reseatable(changed).filter((fret) => (best.values.get(`s${fret}`) ?? 0) > 0.5);
  const settled = solve(levelProgram(changed, { reseat }));
  return settled.status === "optimal" && planBreaches(changed, solvedPlan(changed, reseat, settled)).length === 0;
}

function reseatRemedy(problem: LevelProblem, solve: SolveProgram): readonly Remedy[] {
  const values = relaxed(problem, solve, "reseating");
  if (values === undefined) return [];
  const frets = reseatable(problem).filter((fret) => (values.get(`s${fret}`) ?? 0) > 0.5);
  return frets.length > problem.reseatMax && isCured({ ...problem, reseatMax: frets.length }, solve) ? [{ change: "reseating", frets }] : [];
}

function rodRemedy(problem: LevelProblem, solve: SolveProgram): readonly Remedy[] {
  const values = relaxed(problem, solve, "rod");
  if (values === undefined) return [];
  const [under, over] = [values.get("rodUnder") ?? 0, values.get("rodOver") ?? 0];
  const byMm = Math.max(under, over);
  if (byMm < LEAST_MM) return [];
  const rod = { lowMm: problem.rod.lowMm - (under > over ? under + ROOM_MM : 0), highMm: problem.rod.highMm + (under > over ? 0 : over + ROOM_MM) };
  return isCured({ ...problem, rod }, solve) ? [{ change: "rod", way: under > over ? "back" : "forward", byMm }] : [];
}

function crownRemedy(problem: LevelProblem, solve: SolveProgram): readonly Remedy[] {
  const byMm = relaxed(problem, solve, "crown")?.get("crown") ?? 0;
  if (byMm < LEAST_MM) return [];
  const changed = { ...problem, tops: problem.tops.map((top) => ({ ...top, spareMm: top.spareMm + byMm + ROOM_MM })) };
  const best = solve(levelProgram(changed));
  if (best.status !== "optimal" || !isCured(changed, solve)) return [];
  const at = problem.tops.flatMap(({ fret, line, spareMm }, index) => {
    const missingMm = (best.values.get(`r${index}`) ?? 0) - spareMm;
    return missingMm > LEAST_MM ? [{ fret, line, missingMm }] : [];
  });
  return [{ change: "crown", byMm, at: at.sort((a, b) => b.missingMm - a.missingMm) }];
}

function lowRemedy(problem: LevelProblem, solve: SolveProgram): readonly Remedy[] {
  const values = relaxed(problem, solve, "low frets");
  if (values === undefined) return [];
  const low = problem.tops.map((_, index) => values.get(`w${index}`) ?? 0);
  if (!low.some((mm) => mm > LEAST_MM)) return [];
  const changed = { ...problem, tops: problem.tops.map((top, index) => ({ ...top, heightMm: top.heightMm + (low[index] ?? 0) + ((low[index] ?? 0) > LEAST_MM ? ROOM_MM : 0) })) };
  const at = problem.tops.flatMap(({ fret, line }, index) => ((low[index] ?? 0) > LEAST_MM ? [{ fret, line, lowMm: low[index] ?? 0 }] : []));
  return isCured(changed, solve) ? [{ change: "low frets", at: at.sort((a, b) => b.lowMm - a.lowMm) }] : [];
}
