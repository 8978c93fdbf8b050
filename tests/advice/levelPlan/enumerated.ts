import { lessEq, solve, type Constraint } from "yalps";
import { linesOf, reseatable, type LevelProblem } from "../../../src/advice/levelPlan/problem.js";

/**
 * The least cost of a levelling by another road: every set of frets that may be reseated is one linear program, written from the design's
 * formula anew and solved by another solver (a plain simplex). Removals are eliminated: r = v + e with v the removal to the beam itself.
 * @returns Infinity where no set has a plan
 */
export function enumeratedLeast(problem: LevelProblem): number {
  return Math.min(...setsOf(reseatable(problem), problem.reseatMax).map((seated) => leastOf(problem, seated)));
}

function setsOf(frets: readonly number[], most: number): readonly (readonly number[])[] {
  if (most === 0 || frets.length === 0) return [[]];
  const [first = 0, ...others] = frets;
  return [...setsOf(others, most), ...setsOf(others, most - 1).map((set) => [first, ...set])];
}

function leastOf(problem: LevelProblem, seated: readonly number[]): number {
  const constraints = new Map<string, Constraint>();
  const variables = new Map<string, Map<string, number>>();
  const put = (variable: string, row: string, weight: number): void => void variables.set(variable, (variables.get(variable) ?? new Map<string, number>()).set(row, weight));
  const free = (variable: string, row: string, weight: number): void => {
    put(`${variable}+`, row, weight);
    put(`${variable}-`, row, -weight);
  };
  put("most", "cost", 0.001);
  for (const [index, top] of problem.tops.entries()) {
    const line = problem.datum === "one plane" ? 0 : linesOf(problem).indexOf(top.line);
    const beforeMm = top.heightMm - (seated.includes(top.fret) ? (top.dropMm ?? 0) : 0) + top.fallAwayMm;
    if (top.spareMm < 0) return Infinity;
    put(`r${index}`, "cost", 1);
    // before - r <= straight and before - r >= straight - tolerance
    for (const [row, sign, limit] of [[`over${index}`, 1, -beforeMm], [`under${index}`, -1, beforeMm + problem.toleranceMm]] as const) {
      constraints.set(row, lessEq(limit));
      put(`r${index}`, row, -sign);
      free(`a${line}`, row, -sign);
      free(`b${line}`, row, -sign * (top.xMm / 200));
      if (problem.datum === "one plane") free("c", row, -sign * (top.yMm / 20));
      free("rod", row, -sign * top.reliefShare);
    }
    constraints.set(`crown${index}`, lessEq(top.spareMm));
    put(`r${index}`, `crown${index}`, 1);
    constraints.set(`most${index}`, lessEq(0));
    put(`r${index}`, `most${index}`, 1);
    put("most", `most${index}`, -1);
  }
  constraints.set("rodHigh", lessEq(problem.rod.highMm)).set("rodLow", lessEq(-problem.rod.lowMm));
  free("rod", "rodHigh", 1);
  free("rod", "rodLow", -1);
  const found = solve({ direction: "minimize", objective: "cost", constraints, variables }, { precision: 1e-10, maxPivots: 1e6, checkCycles: true });
  if (found.status !== "optimal" && found.status !== "infeasible") throw new Error(`the other solver says ${found.status}`);
  return found.status === "optimal" ? found.result : Infinity;
}
