import type { JudgedPlan, Removal } from "./judge.js";
import { beamLines, MOST_WEIGHT } from "./levelProgram.js";
import type { LevelProblem } from "./problem.js";
import type { ProgramSolution } from "./program.js";

/** A solver's rounding is taken off: what is nothing is exactly 0. */
const NOTHING_MM = 1e-9;

/** The plan that stands in a solution whose reseated frets are given. */
export function solvedPlan(problem: LevelProblem, reseat: readonly number[], { values }: Extract<ProgramSolution, { status: "optimal" }>): JudgedPlan {
  const removals = problem.tops.map(({ fret, line }, index): Removal => ({ fret, line, removeMm: tidied(values.get(`r${index}`) ?? NaN) }));
  const removed = removals.map(({ removeMm }) => removeMm);
  const [sumMm, mostMm] = [removed.reduce((sum, one) => sum + one, 0), Math.max(...removed)];
  return { removals, reseat, reliefChangeMm: tidied(values.get("rod") ?? NaN), beam: beamLines(problem, values), sumMm, mostMm, objectiveMm: sumMm + MOST_WEIGHT * mostMm };
}

function tidied(mm: number): number {
  return Math.abs(mm) < NOTHING_MM ? 0 : mm;
}
