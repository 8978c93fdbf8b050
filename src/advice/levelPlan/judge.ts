import { lengthWords, smallWords } from "../../units/words.js";
import { MOST_WEIGHT } from "./levelProgram.js";
import { linesOf, reseatable, targetMm } from "./problem.js";
import type { BeamLine, LevelProblem } from "./problem.js";

/** What one top gives up. */
export type Removal = { readonly fret: number; readonly line: string; readonly removeMm: number };

/** What the judge needs of a plan: decisions, and the numbers claimed for them. */
export type JudgedPlan = {
  readonly removals: readonly Removal[];
  readonly reseat: readonly number[];
  readonly reliefChangeMm: number;
  readonly beam: readonly BeamLine[];
  readonly sumMm: number;
  readonly mostMm: number;
  readonly objectiveMm: number;
};

/** A solver keeps limits within a millionth of a millimetre; what is beyond that is a breach. */
const BREACH_MM = 1e-6;

/**
 * Every limit of the problem that a plan breaks, each in a sentence; none for a plan that holds.
 * It works from the problem and the plan's own decisions alone, and shares nothing with what made the plan.
 */
export function planBreaches(problem: LevelProblem, plan: JudgedPlan): readonly string[] {
  const { rod } = problem;
  const over = (found: number, limit: number): boolean => !(found <= limit + BREACH_MM);
  const counts = plan.removals.length === problem.tops.length ? [] : [`it has ${plan.removals.length} tops where the neck has ${problem.tops.length}`];
  const may = reseatable(problem);
  const seats = [
    ...plan.reseat.filter((fret) => !may.includes(fret)).map((fret) => `fret ${fret} is not one that may be reseated`),
    ...(new Set(plan.reseat).size > problem.reseatMax ? [`it reseats ${plan.reseat.length} frets, ${problem.reseatMax} at most are allowed`] : []),
  ];
  const turned = over(plan.reliefChangeMm, rod.highMm) || over(rod.lowMm, plan.reliefChangeMm) ? [`it changes the relief by ${plan.reliefChangeMm} mm, outside ${rod.lowMm} to ${rod.highMm} mm`] : [];
  const removed = plan.removals.map(({ removeMm }) => removeMm);
  const [sum, most] = [removed.reduce((total, one) => total + one, 0), Math.max(0, ...removed)];
  const claims = [["sumMm", plan.sumMm, sum], ["mostMm", plan.mostMm, most], ["objectiveMm", plan.objectiveMm, sum + MOST_WEIGHT * most]] as const;
  return [
    ...counts, ...seats, ...turned, ...planeBreaches(problem, plan), ...problem.tops.flatMap((_, index) => topBreaches(problem, plan, index)),
    ...claims.filter(([, claimed, found]) => !(Math.abs(claimed - found) <= BREACH_MM)).map(([name, claimed, found]) => `it claims ${name} ${claimed}, its tops add up to ${found}`),
  ];
}

function topBreaches(problem: LevelProblem, plan: JudgedPlan, index: number): readonly string[] {
  const top = problem.tops[index];
  const removal = plan.removals[index];
  const beam = plan.beam.find(({ line }) => line === top?.line);
  if (top === undefined || removal === undefined || beam === undefined || removal.fret !== top.fret || removal.line !== top.line) return [`top ${index} is not where the neck has it`];
  const where = `fret ${top.fret}, ${top.line}`;
  const dropMm = plan.reseat.includes(top.fret) ? (top.dropMm ?? 0) : 0;
  const underMm = targetMm(top, beam, plan.reliefChangeMm) - (top.heightMm - dropMm - removal.removeMm);
  return [
    removal.removeMm >= -BREACH_MM ? "" : `${where}: a plan cannot add metal`,
    removal.removeMm <= top.spareMm + BREACH_MM ? "" : `${where}: takes ${lengthWords(removal.removeMm)}, the crown can give ${lengthWords(top.spareMm)}`,
    underMm >= -BREACH_MM ? "" : `${where}: is left ${lengthWords(-underMm)} over the beam`,
    underMm <= problem.toleranceMm + BREACH_MM ? "" : `${where}: is left ${lengthWords(underMm)} under the beam, ${smallWords(problem.toleranceMm)} at most are allowed`,
  ].filter((breach) => breach !== "");
}

function planeBreaches(problem: LevelProblem, plan: JudgedPlan): readonly string[] {
  if (problem.datum !== "one plane") return [];
  const [first, ...others] = linesOf(problem).map((line) => plan.beam.find((beam) => beam.line === line));
  const same = (a: number | undefined, b: number | undefined): boolean => Math.abs((a ?? NaN) - (b ?? NaN)) <= BREACH_MM;
  return others.every((beam) => same(beam?.levelMm, first?.levelMm) && same(beam?.tiltMmPerMm, first?.tiltMmPerMm) && same(beam?.acrossMmPerMm, first?.acrossMmPerMm)) ? [] : ["its lines are not in one plane"];
}
