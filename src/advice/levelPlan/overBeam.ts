import type { JudgedPlan } from "./judge.js";
import { linesOf, targetMm, type LevelProblem } from "./problem.js";

/** One top against the straight line of the finished tops, the rod set; where fall-away is wanted the finished top lies `wantedMm` (0 or less) over it. */
export type OverBeam = { readonly fret: number; readonly xMm: number; readonly wantedMm: number; /** Before anything is done to the fret. */ readonly nowMm: number; /** After seating, before filing. */ readonly seatedMm: number; readonly removeMm: number };

/** Tops of one line against its finished beam line. */
export type LineOverBeam = { readonly line: string; readonly tops: readonly OverBeam[] };

/** Every top over the straight line that the beam will have cut, mm: what stands over it (and over the fall-away) comes off, what lies under it stays. */
export function overBeam(problem: LevelProblem, plan: JudgedPlan): readonly LineOverBeam[] {
  return linesOf(problem).map((line) => {
    const beam = plan.beam.find((one) => one.line === line);
    const tops = problem.tops.flatMap((top, index): OverBeam[] => {
      if (top.line !== line || beam === undefined) return [];
      const nowMm = top.heightMm - targetMm({ ...top, fallAwayMm: 0 }, beam, plan.reliefChangeMm);
      return [{ fret: top.fret, xMm: top.xMm, wantedMm: 0 - top.fallAwayMm, nowMm, seatedMm: nowMm - (plan.reseat.includes(top.fret) ? (top.dropMm ?? 0) : 0), removeMm: plan.removals[index]?.removeMm ?? 0 }];
    });
    return { line, tops };
  });
}
