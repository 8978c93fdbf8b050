import type { NormalPosterior } from "../../../src/survey/estimation/expectationPropagation.js";
import { drawFrom } from "../../../src/survey/linear/arrow.js";
import type { SparseRow } from "../../../src/survey/linear/arrow.js";
import { normalCdf } from "../../../src/survey/likelihood/normal.js";
import type { Prior } from "../../../src/survey/model/prior.js";
import type { Site } from "../../../src/survey/estimation/sites.js";

/** Evidence, means and variances by summing prior times sites over a grid of points: for one to three unknowns. */
export type Summed = { readonly logEvidence: number; readonly mean: readonly number[]; readonly variance: readonly number[] };

/** @param reach half width of the grid about 0 in every direction; @param points number of points a direction */
export function summed(prior: Prior, sites: readonly Site[], reach: number, points: number): Summed {
  const size = prior.shape.banded + prior.shape.border;
  const step = (2 * reach) / (points - 1);
  const x = Array.from({ length: size }, () => 0);
  const totals = { weight: 0, first: Array.from({ length: size }, () => 0), second: Array.from({ length: size }, () => 0) };
  const logNormal = 0.5 * logDeterminant(prior, size) - 0.5 * size * Math.log(2 * Math.PI);
  const visit = (axis: number): void => {
    if (axis === size) {
      const weight = Math.exp(logPrior(prior, x) + logNormal) * sites.reduce((product, site) => product * density(site, x), 1) * step ** size;
      totals.weight += weight;
      for (const [k, value] of x.entries()) {
        totals.first[k] = (totals.first[k] ?? 0) + weight * value;
        totals.second[k] = (totals.second[k] ?? 0) + weight * value * value;
      }
      return;
    }
    for (let k = 0; k < points; k++) {
      x[axis] = -reach + k * step;
      visit(axis + 1);
    }
  };
  visit(0);
  const mean = totals.first.map((value) => value / totals.weight);
  return { logEvidence: Math.log(totals.weight), mean, variance: totals.second.map((value, k) => value / totals.weight - (mean[k] ?? 0) ** 2) };
}

function formOf(row: SparseRow, x: readonly number[]): number {
  return row.index.reduce((sum, at, k) => sum + (row.coefficient[k] ?? 0) * (x[at] ?? 0), 0);
}

function logPrior(prior: Prior, x: readonly number[]): number {
  return prior.terms.reduce((sum, { row, weight }) => sum - 0.5 * weight * formOf(row, x) ** 2, 0);
}

/** Of a precision of at most three unknowns. */
function logDeterminant(prior: Prior, size: number): number {
  const at = (i: number, j: number): number => prior.terms.reduce((sum, { row, weight }) => {
    const unit = (k: number): number => formOf(row, Array.from({ length: size }, (_, index) => (index === k ? 1 : 0)));
    return sum + weight * unit(i) * unit(j);
  }, 0);
  if (size === 1) return Math.log(at(0, 0));
  if (size === 2) return Math.log(at(0, 0) * at(1, 1) - at(0, 1) ** 2);
  return Math.log(at(0, 0) * (at(1, 1) * at(2, 2) - at(1, 2) ** 2) - at(0, 1) * (at(0, 1) * at(2, 2) - at(1, 2) * at(0, 2)) + at(0, 2) * (at(0, 1) * at(1, 2) - at(1, 1) * at(0, 2)));
}

/**
 * Logarithm of the probability of one more site given others, by weighted draws: from the posterior that stands for the others, each weighed by what they say against what stands for them. Sites of one form each.
 * @returns with its standard error, and how many equal weights would be worth as much
 */
export function drawnLogProbability({ mean, factor, sites: { precision, shift } }: NormalPosterior, sites: readonly Site[], more: Site, count: number, normal: () => number): { readonly value: number; readonly error: number; readonly worth: number } {
  const draws = Array.from({ length: count }, () => {
    const deviation = drawFrom(factor, Float64Array.from(mean, normal));
    const x = Array.from(mean, (value, at) => value + (deviation[at] ?? 0));
    const logWeight = sites.reduce((sum, site, at) => {
      const form = formOf(site.rows[0] ?? { index: [], coefficient: [] }, x);
      return sum + Math.log(Math.max(Number.MIN_VALUE, density(site, x))) + 0.5 * (precision[at] ?? NaN) * form * form - (shift[at] ?? NaN) * form;
    }, 0);
    return { logWeight, says: density(more, x) };
  });
  const top = Math.max(...draws.map(({ logWeight }) => logWeight));
  const weighed = draws.map(({ logWeight, says }) => ({ weight: Math.exp(logWeight - top), says }));
  const sum = weighed.reduce((total, { weight }) => total + weight, 0);
  const value = weighed.reduce((total, { weight, says }) => total + weight * says, 0) / sum;
  const error = Math.sqrt(weighed.reduce((total, { weight, says }) => total + (weight * (says - value)) ** 2, 0)) / sum;
  return { value: Math.log(value), error: error / value, worth: sum ** 2 / weighed.reduce((total, { weight }) => total + weight ** 2, 0) };
}

function density(site: Site, x: readonly number[]): number {
  const forms = site.rows.map((row) => formOf(row, x));
  const [g = 0] = forms;
  if (site.kind === "exact") return Math.exp(-0.5 * ((g - site.value) / site.u) ** 2) / (site.u * Math.sqrt(2 * Math.PI));
  if (site.kind === "interval") return normalCdf((site.high - g) / site.s) - normalCdf((site.low - g) / site.s);
  const base = forms.reduce((sum, value) => sum - 0.5 * (value / site.mixture.baseSd) ** 2 - Math.log(site.mixture.baseSd) - 0.5 * Math.log(2 * Math.PI), 0);
  return site.mixture.classes.reduce((sum, one) => {
    const apart = forms.map((value, i) => value - (one.mean[i] ?? 0));
    const quadratic = apart.reduce((total, a, i) => total + apart.reduce((inner, b, j) => inner + a * b * (one.precision[i * forms.length + j] ?? 0), 0), 0);
    return sum + one.weight * Math.exp(0.5 * one.logPrecision - 0.5 * quadratic - 0.5 * forms.length * Math.log(2 * Math.PI));
  }, 0) / Math.exp(base);
}
