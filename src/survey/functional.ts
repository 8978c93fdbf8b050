import { NORMAL_95 } from "../units/measured.js";
import type { Measured } from "../units/measured.js";
import { along } from "./estimation/expectationPropagation.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import type { Explanation } from "./explanation.js";
import { rowVariance, rowVariances, solveArrow } from "./linear/arrow.js";
import type { SparseRow } from "./linear/arrow.js";
import type { Layout } from "./model/layout.js";

/** A linear form of heights, as a row over the unknowns of whichever explanation it is asked of. */
export type Form = (layout: Layout) => SparseRow;

/** A form under the posterior of a line without corners, explanations and scatters integrated: mean and variance of a mixture. */
export function measuredSmooth(explanations: readonly Explanation[], form: Form): Measured {
  return mixture(explanations.flatMap(({ layout, grid, probability }) => {
    const row = form(layout);
    return grid.map(({ weight, posterior }) => ({ weight: probability * weight, mean: along(row, posterior.mean), variance: rowVariance(posterior.factor, row) }));
  }));
}

/** As `measuredSmooth`, for many forms at once. */
export function measuredSmoothForms(explanations: readonly Explanation[], forms: readonly Form[]): readonly Measured[] {
  const points = explanations.flatMap(({ layout, grid, probability }) => {
    const rows = forms.map((form) => form(layout));
    return grid.map(({ weight, posterior }) => ({ weight: probability * weight, rows, posterior, variances: rowVariances(posterior.factor, rows) }));
  });
  return forms.map((_, index) => mixture(points.map(({ weight, rows, posterior, variances }) => ({ weight, mean: along(rows[index] ?? NOTHING, posterior.mean), variance: variances[index] ?? NaN }))));
}

const NOTHING: SparseRow = { index: [], coefficient: [] };

function mixture(parts: readonly { readonly weight: number; readonly mean: number; readonly variance: number }[]): Measured {
  const value = parts.reduce((sum, part) => sum + part.weight * part.mean, 0);
  const variance = parts.reduce((sum, part) => sum + part.weight * (part.variance + (part.mean - value) ** 2), 0);
  const u = Math.sqrt(Math.max(0, variance));
  return { value, u, unit: "mm", low95: value - NORMAL_95 * u, high95: value + NORMAL_95 * u };
}

/**
 * Standard uncertainty that a form would have after one more reading of `next` with noise of standard deviation `noiseMm`, under one explanation with its
 * scatters integrated: a line that may be rough is asked where it may be rough. The scatters themselves are taken as no better known than now.
 */
export function uncertaintyAfter(explanation: Explanation, asked: SparseRow, next: readonly { readonly row: SparseRow; readonly noiseMm: number }[]): readonly number[] {
  const mean = explanation.grid.reduce((sum, point) => sum + point.weight * along(asked, point.posterior.mean), 0);
  const points = explanation.grid.map((point) => ({ weight: point.weight, apart: (along(asked, point.posterior.mean) - mean) ** 2, after: variancesAfter(point.posterior, asked, next) }));
  return next.map((_, index) => Math.sqrt(Math.max(0, points.reduce((sum, { weight, apart, after }) => sum + weight * (apart + (after[index] ?? NaN)), 0))));
}

/** Variance that a form would have after one more reading, everything taken as normal. */
export function variancesAfter({ mean, factor }: GridPoint["posterior"], asked: SparseRow, next: readonly { readonly row: SparseRow; readonly noiseMm: number }[]): readonly number[] {
  const right = new Float64Array(mean.length);
  for (const [position, at] of asked.index.entries()) right[at] = asked.coefficient[position] ?? 0;
  const weights = solveArrow(factor, right);
  const now = along(asked, weights);
  const variances = rowVariances(factor, next.map(({ row }) => row));
  return next.map(({ row, noiseMm }, index) => Math.max(0, now - along(row, weights) ** 2 / ((variances[index] ?? NaN) + noiseMm ** 2)));
}
