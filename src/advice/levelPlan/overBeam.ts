import type { JudgedPlan } from "./judge.js";
import { linesOf, targetMm, type LevelProblem } from "./problem.js";

/** One top against the finished beam line, the rod set; the fall-away is part of that line. */
export type OverBeam = { readonly fret: number; readonly xMm: number; /** Before anything is done to the fret. */ readonly nowMm: number; /** After seating, before filing. */ readonly seatedMm: number; readonly removeMm: number };

/** Tops of one line against its finished beam line. */
export type LineOverBeam = { readonly line: string; readonly tops: readonly OverBeam[] };

/** Every top over the line that the beam will have cut, mm: what stands over it comes off, what lies under it stays. */
export function overBeam(problem: LevelProblem, plan: JudgedPlan): readonly LineOverBeam[] {
  return linesOf(problem).map((line) => {
    const beam = plan.beam.find((one) => one.line === line);
    const tops = problem.tops.flatMap((top, index): OverBeam[] => {
      if (top.line !== line || beam === undefined) return [];
      const nowMm = top.heightMm - targetMm(top, beam, plan.reliefChangeMm);
      return [{ fret: top.fret, xMm: top.xMm, nowMm, seatedMm: nowMm - (plan.reseat.includes(top.fret) ? (top.dropMm ?? 0) : 0), removeMm: plan.removals[index]?.removeMm ?? 0 }];
    });
    return { line, tops };
  });
}
