import { scatterLook, stepOf } from "./estimation/scatterGrid.js";
import { topPoint } from "./explanation.js";
import type { Explanation } from "./explanation.js";
import type { Equation } from "./model/equations.js";

// Odds of a reading are of one model with and without it. The unknowns stay as they are numbered, and so do the crowns that an edge is held not to cut into: chosen anew among the readings left,
// they would be others, and the evidence would count what they say as said by the reading.

const NEARLY_SETTLED = 0.05;

/** Logarithm of the probability of all equations but some, at the scatters that suit all of them best; -Infinity where nothing settles. */
export function logEvidenceWithout(explanation: Explanation, settings: number, isLeftOut: (equation: Equation) => boolean): number {
  return logEvidenceOf(explanation, explanation.equations.filter((equation) => !isLeftOut(equation)), settings) ?? -Infinity;
}

/** By how much one more equation changes the logarithm of that probability: the equation's own, given all others. At the scatters that suit the others best; undefined where nothing settles. */
export function logProbabilityOfOneMore(explanation: Explanation, settings: number, more: Equation): number | undefined {
  const both = logEvidenceOf(explanation, [...explanation.equations, more], settings);
  return both === undefined ? undefined : both - topPoint(explanation).posterior.logEvidence;
}

function logEvidenceOf({ layout, grid }: Explanation, equations: readonly Equation[], settings: number): number | undefined {
  const seen = scatterLook(layout, equations, settings)(stepOf(topPoint({ grid }).scatters), undefined, NEARLY_SETTLED);
  return seen?.posterior.converged === true ? seen.posterior.logEvidence : undefined;
}
