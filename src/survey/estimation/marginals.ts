import { inverseEntries, solvePlaced, standingFactor } from "../linear/arrow.js";
import type { StandingFactor } from "../linear/arrow.js";
import type { Naturals } from "./naturals.js";
import type { Held } from "./problem.js";
import type { Work } from "./work.js";

/** Fills mean and marginals; undefined where the sites leave no proper distribution. */
export function assembled(work: Work, { precision, shift }: Naturals): StandingFactor | undefined {
  const factor = standingFactor(work.problem.pattern, (matrix) => fillMatrix(work, precision, matrix));
  if (factor === undefined) return undefined;
  fillPull(work, shift);
  solvePlaced(factor, [work.mean]);
  const inverse = inverseEntries(factor);
  for (let site = 0; site < work.sites.length; site++) fillMarginal(work, inverse, site);
  return factor;
}

/** The prior's precision and what all sites add to it. */
function fillMatrix({ roughScale, problem: { fixed, rough, forms: { termStart, termAt, termProduct } } }: Work, precision: Float64Array, matrix: Float64Array): void {
  matrix.fill(0);
  addHeld(matrix, fixed, 1);
  addHeld(matrix, rough, roughScale);
  for (let slot = 0; slot < precision.length; slot++) {
    const weight = precision[slot] ?? 0;
    const end = termStart[slot + 1] ?? 0;
    for (let t = termStart[slot] ?? 0; t < end; t++) {
      const at = termAt[t] ?? 0;
      matrix[at] = (matrix[at] ?? 0) + weight * (termProduct[t] ?? 0);
    }
  }
}

function addHeld(matrix: Float64Array, { at, value }: Held, times: number): void {
  for (let t = 0; t < at.length; t++) {
    const entry = at[t] ?? 0;
    matrix[entry] = (matrix[entry] ?? 0) + times * (value[t] ?? 0);
  }
}

/** The sites' shifts of all unknowns, where their mean is going to stand. */
function fillPull({ mean, problem: { forms: { entryStart, entryPlace, entryCoefficient } } }: Work, shift: Float64Array): void {
  mean.fill(0);
  for (let form = 0; form < shift.length; form++) {
    const weight = shift[form] ?? 0;
    const end = entryStart[form + 1] ?? 0;
    for (let t = entryStart[form] ?? 0; t < end; t++) {
      const at = entryPlace[t] ?? 0;
      mean[at] = (mean[at] ?? 0) + weight * (entryCoefficient[t] ?? 0);
    }
  }
}

/** A form of no unknowns has no variance; so small a one says the same and can be divided by. */
const LEAST_VARIANCE = 1e-24;

function fillMarginal({ problem: { forms }, mean, formMean, covariance }: Work, inverse: Float64Array, site: number): void {
  const { formStart, slotStart, entryStart, entryPlace, entryCoefficient, termStart, termAt, termShare } = forms;
  const from = formStart[site] ?? 0;
  const to = formStart[site + 1] ?? 0;
  let slot = slotStart[site] ?? 0;
  for (let form = from; form < to; form++) {
    let value = 0;
    const end = entryStart[form + 1] ?? 0;
    for (let t = entryStart[form] ?? 0; t < end; t++) value += (entryCoefficient[t] ?? 0) * (mean[entryPlace[t] ?? 0] ?? 0);
    formMean[form] = value;
    for (let before = from; before <= form; before++, slot++) {
      let sum = 0;
      const last = termStart[slot + 1] ?? 0;
      for (let t = termStart[slot] ?? 0; t < last; t++) sum += (termShare[t] ?? 0) * (inverse[termAt[t] ?? 0] ?? 0);
      covariance[slot] = before === form ? Math.max(sum, LEAST_VARIANCE) : sum;
    }
  }
}
