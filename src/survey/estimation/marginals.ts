import { factorArrow, fillInverse, solvePlaced } from "../linear/arrow.js";
import type { Naturals } from "./naturals.js";
import type { Work } from "./work.js";

/** Fills matrix, factor, mean and marginals; false where the sites leave no proper distribution. */
export function assembled(work: Work, { precision, shift }: Naturals): boolean {
  const { entries, prior, mean, factor, inverse, problem: { pattern, forms } } = work;
  const { termStart, termAt, termProduct, entryStart, entryPlace, entryCoefficient } = forms;
  entries.set(prior);
  mean.fill(0);
  for (let slot = 0; slot < precision.length; slot++) {
    const weight = precision[slot] ?? 0;
    const end = termStart[slot + 1] ?? 0;
    for (let t = termStart[slot] ?? 0; t < end; t++) {
      const at = termAt[t] ?? 0;
      entries[at] = (entries[at] ?? 0) + weight * (termProduct[t] ?? 0);
    }
  }
  for (let form = 0; form < shift.length; form++) {
    const weight = shift[form] ?? 0;
    const end = entryStart[form + 1] ?? 0;
    for (let t = entryStart[form] ?? 0; t < end; t++) {
      const at = entryPlace[t] ?? 0;
      mean[at] = (mean[at] ?? 0) + weight * (entryCoefficient[t] ?? 0);
    }
  }
  const found = factorArrow(pattern, entries, undefined, factor);
  if (found === undefined) return false;
  solvePlaced(found, [mean]);
  fillInverse(found, inverse);
  for (let site = 0; site < work.sites.length; site++) fillMarginal(work, site);
  return true;
}

/** A form of no unknowns has no variance; so small a one says the same and can be divided by. */
const LEAST_VARIANCE = 1e-24;

function fillMarginal({ problem: { forms }, inverse, mean, formMean, covariance }: Work, site: number): void {
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
