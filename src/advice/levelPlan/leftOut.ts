import type { Decider } from "./decides.js";
import { planBreaches, type JudgedPlan } from "./judge.js";
import { levelProgram } from "./levelProgram.js";
import { targetMm, type LevelProblem } from "./problem.js";
import type { SolveProgram } from "./program.js";
import { solvedPlan } from "./solvedPlan.js";

/** What leaving a low fret out of a levelling (or refitting it, so that it is low no more) comes to, the frets seated as planned. */
export type LeftOut = {
  readonly fret: number;
  /** How far its lowest top then stays under the beam, mm. */
  readonly underMm: number;
  /** What comes off all tops together then, mm. */
  readonly sumMm: number;
  /** What comes off the top that loses most then, mm. */
  readonly mostMm: number;
  /** What comes off each top then, mm, in the order of the problem's tops. */
  readonly cutMm: readonly number[];
};

/** A saving under this over all tops together is no reason to leave a fret out, mm. */
const WORTH_MM = 0.05;
/** What raises a top to its limit is granted with this much room, so that the judge does not find it short by rounding, mm. */
const ROOM_MM = 1e-7;

/** The levelling that need not come down to the low fret which decides it; undefined where no low fret decides or leaving it out saves next to nothing. */
export function lowFretLeftOut(problem: LevelProblem, plan: JudgedPlan, decides: readonly Decider[], solve: SolveProgram): LeftOut | undefined {
  const [first] = decides;
  if (first?.limit !== "low") return undefined;
  const { fret } = first;
  const found = solve(levelProgram(problem, { reseat: plan.reseat, leftOut: fret }));
  if (found.status !== "optimal") return undefined;
  const left = solvedPlan(problem, plan.reseat, found);
  if (plan.sumMm - left.sumMm < WORTH_MM) return undefined;
  const under = problem.tops.map((top, index) => {
    const beam = left.beam.find(({ line }) => line === top.line);
    const stays = top.heightMm - (plan.reseat.includes(top.fret) ? (top.dropMm ?? 0) : 0) - (left.removals[index]?.removeMm ?? 0);
    return top.fret !== fret || beam === undefined ? 0 : targetMm(top, beam, left.reliefChangeMm) - stays;
  });
  const raised = { ...problem, tops: problem.tops.map((top, index) => ({ ...top, heightMm: top.heightMm + Math.max(0, (under[index] ?? 0) - problem.toleranceMm + ROOM_MM) })) };
  return planBreaches(raised, left).length > 0 ? undefined : { fret, underMm: Math.max(...under), sumMm: left.sumMm, mostMm: left.mostMm, cutMm: left.removals.map(({ removeMm }) => removeMm) };
}
