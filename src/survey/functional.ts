import { NORMAL_95 } from "../units/measured.js";
import type { Measured } from "../units/measured.js";
import { along } from "./estimation/expectationPropagation.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import { rowVariance, solveArrow } from "./linear/arrow.js";
import type { SparseRow } from "./linear/arrow.js";

/** A linear form of the unknowns under the posterior, scatters integrated: mean and variance of a mixture. */
export function measuredForm(grid: readonly GridPoint[], row: SparseRow): Measured {
  const parts = grid.map((point) => ({ weight: point.weight, mean: along(row, point.posterior.mean), variance: rowVariance(point.posterior.factor, row) }));
  const value = parts.reduce((sum, part) => sum + part.weight * part.mean, 0);
  const variance = parts.reduce((sum, part) => sum + part.weight * (part.variance + (part.mean - value) ** 2), 0);
  const u = Math.sqrt(Math.max(0, variance));
  return { value, u, unit: "mm", low95: value - NORMAL_95 * u, high95: value + NORMAL_95 * u };
}

/** Standard uncertainty that a form would have after one more reading of `next` with noise of standard deviation `noiseMm`. */
export function uncertaintyAfter(grid: readonly GridPoint[], asked: SparseRow, next: readonly { readonly row: SparseRow; readonly noiseMm: number }[]): readonly number[] {
  const point = heaviest(grid);
  const size = point.posterior.mean.length;
  const right = new Float64Array(size);
  for (const [position, at] of asked.index.entries()) right[at] = asked.coefficient[position] ?? 0;
  const weights = solveArrow(point.posterior.factor, right);
  const now = along(asked, weights);
  return next.map(({ row, noiseMm }) => {
    const shared = along(row, weights);
    return Math.sqrt(Math.max(0, now - shared ** 2 / (rowVariance(point.posterior.factor, row) + noiseMm ** 2)));
  });
}

/** The grid point with most posterior weight. */
export function heaviest(grid: readonly GridPoint[]): GridPoint {
  const [first, ...rest] = grid;
  if (first === undefined) throw new RangeError("Cannot choose among no grid points: expected one or more");
  return rest.reduce((best, point) => (point.weight > best.weight ? point : best), first);
}
