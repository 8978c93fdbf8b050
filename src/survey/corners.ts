import { NORMAL_95 } from "../units/measured.js";
import type { Measured } from "../units/measured.js";
import { along } from "./estimation/expectationPropagation.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import type { Explanation } from "./explanation.js";
import type { Form } from "./functional.js";
import { normalCdf } from "./likelihood/normal.js";
import { rowVariances, solveArrow } from "./linear/arrow.js";
import type { SparseRow } from "./linear/arrow.js";
import { cornersOf } from "./model/corners.js";
import type { Corner } from "./model/corners.js";
import type { Layout } from "./model/layout.js";

/**
 * What becomes of a normal posterior if the neck has a corner: with `c` the covariance of all unknowns with `row`, the mean moves by `shift` times c, and
 * the covariance grows by `spread` squared times c c'.
 */
export type CornerChange = { /** Of the readings' probability with this corner over that without, in the logarithm. */ readonly logGain: number; readonly shift: number; readonly spread: number };

/**
 * What a corner changes, from mean and variance of its row in the posterior without it. The corner adds s^2 g g' to the prior's covariance, so its precision, and that of the posterior,
 * loses k row row' with k = s^2 / (1 + s^2 known): no new adjustment is needed.
 * @source rank-one update of a normal distribution (Sherman and Morrison, from memory); checked in tests/survey/corners.test.ts
 */
export function cornerChange({ known, sdMm }: Pick<Corner, "known" | "sdMm">, mean: number, variance: number): CornerChange {
  const lost = sdMm ** 2 / (1 + sdMm ** 2 * known);
  const left = 1 - lost * variance;
  if (!(left > 0)) return NO_CORNER;
  return { logGain: 0.5 * ((lost * mean ** 2) / left - Math.log1p(sdMm ** 2 * known) - Math.log(left)), shift: (lost * mean) / left, spread: Math.sqrt(lost / left) };
}

/** Of a row that the posterior knows no better than the prior, rounding apart, nothing is learnt: there is no proper normal with a corner. */
const NO_CORNER: CornerChange = { logGain: -Infinity, shift: 0, spread: 0 };

/** A grid point's posterior without a corner, or with one. */
export type Way = { /** Beforehand's probability times the gain: shares of one grid point need not sum to 1. */ readonly share: number; readonly corner?: CornerChange & { readonly row: SparseRow } };

/** The same whatever is asked, and asked for each line again. */
const known = new WeakMap<GridPoint, readonly Way[]>();

/** The ways in which a line may bend at one grid point: with no corner, or with one of those that it may have. */
export function waysOf(layout: Layout, point: GridPoint): readonly Way[] {
  const ways = known.get(point) ?? waysAt(layout, point);
  known.set(point, ways);
  return ways;
}

function waysAt(layout: Layout, { scatters, posterior }: GridPoint): readonly Way[] {
  const { corners, rows } = cornersAndRows(layout);
  const variances = rowVariances(posterior.factor, rows);
  const without = 1 - corners.reduce((sum, { probability }) => sum + probability, 0);
  return [{ share: without }, ...corners.map((corner, index): Way => {
    const scale = corner.of === "roughness" ? 1 / scatters.roughnessMm ** 2 : 1;
    const { logGain, shift, spread } = cornerChange({ known: scale * corner.known, sdMm: corner.sdMm }, scale * along(corner.row, posterior.mean), scale ** 2 * (variances[index] ?? NaN));
    return { share: corner.probability * Math.exp(logGain), corner: { logGain, shift: scale * shift, spread: scale * spread, row: corner.row } };
  })];
}

type Corners = { readonly corners: readonly Corner[]; readonly rows: readonly SparseRow[] };

/** One list of rows for all grid points: where they stand in the factor is then worked out once. */
const cornersOfLayouts = new WeakMap<Layout, Corners>();

function cornersAndRows(layout: Layout): Corners {
  const found = cornersOfLayouts.get(layout) ?? withRows(cornersOf(layout));
  cornersOfLayouts.set(layout, found);
  return found;
}

function withRows(corners: readonly Corner[]): Corners {
  return { corners, rows: corners.map(({ row }) => row) };
}

/** Covariance of all unknowns with a row. */
export function covariancesWith({ mean, factor }: GridPoint["posterior"], row: SparseRow): Float64Array {
  const right = new Float64Array(mean.length);
  for (const [position, at] of row.index.entries()) right[at] = row.coefficient[position] ?? 0;
  return solveArrow(factor, right);
}

/** A normal with its share of a mixture. */
type Part = { readonly weight: number; readonly mean: number; readonly sd: number };

/** A form under the posterior where the line may have a corner: mean and standard deviation, and the central 95 %, which lies about the mean unevenly. */
export function measuredWithCorners(explanations: readonly Explanation[], form: Form): Measured {
  const parts = explanations.flatMap(({ layout, grid, probability }) => {
    const row = form(layout);
    return grid.flatMap((point) => partsOf(row, probability * point.weight, point.posterior, waysOf(layout, point)));
  });
  const all = parts.reduce((sum, { weight }) => sum + weight, 0);
  const value = parts.reduce((sum, { weight, mean }) => sum + weight * mean, 0) / all;
  const u = Math.sqrt(parts.reduce((sum, { weight, mean, sd }) => sum + weight * (sd ** 2 + (mean - value) ** 2), 0) / all);
  const tail = normalCdf(-NORMAL_95);
  const weighty = parts.filter(({ weight }) => weight > NEGLIGIBLE * all);
  return { value, u, unit: "mm", low95: quantile(weighty, tail * all), high95: quantile(weighty, (1 - tail) * all) };
}

function partsOf(row: SparseRow, weight: number, posterior: GridPoint["posterior"], ways: readonly Way[]): readonly Part[] {
  const covariances = covariancesWith(posterior, row);
  const [mean, variance] = [along(row, posterior.mean), along(row, covariances)];
  return ways.map(({ share, corner }): Part => {
    if (corner === undefined) return { weight: weight * share, mean, sd: Math.sqrt(variance) };
    const covariance = along(corner.row, covariances);
    return { weight: weight * share, mean: mean + corner.shift * covariance, sd: Math.hypot(Math.sqrt(variance), corner.spread * covariance) };
  });
}

/** Of bounds some tenths of a millimetre apart they leave less than a millionth. */
const HALVINGS = 20;
/** Parts of less weight are left out of a quantile: some hundreds of them are a hundredth of its tail. */
const NEGLIGIBLE = 1e-6;

/** Where the parts' weights below it come to `below`, between bounds beyond which no part has any. */
function quantile(parts: readonly Part[], below: number): number {
  let low = Math.min(...parts.map(({ mean, sd }) => mean - 8 * sd));
  let high = Math.max(...parts.map(({ mean, sd }) => mean + 8 * sd));
  for (let halving = 0; halving < HALVINGS; halving++) {
    const middle = (low + high) / 2;
    if (parts.reduce((sum, { weight, mean, sd }) => sum + weight * normalCdf((middle - mean) / sd), 0) < below) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
