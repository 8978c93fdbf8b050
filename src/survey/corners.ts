import { once } from "../units/once.js";
import { along } from "./estimation/expectationPropagation.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import type { Explanation } from "./explanation.js";
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

/** One way in which the line may bend at one grid point: without a corner, or with one. */
export type Way = { readonly point: GridPoint; readonly weight: number; readonly corner?: CornerChange & { readonly row: SparseRow; /** Covariance of all unknowns with the row: most corners are hardly ever asked about, some again and again, and each costs a solution. */ readonly covariances: () => Float64Array } };

/** The ways of an explanation, whose weights sum to 1; and by how much, in the logarithm, the readings are more probable than without any corner, taken over all of them. */
type Ways = { readonly ways: readonly Way[]; readonly logGain: number };

const known = new WeakMap<readonly GridPoint[], Ways>();

function allWaysOf({ layout, grid }: Pick<Explanation, "layout" | "grid">): Ways {
  const found = known.get(grid) ?? weighed(grid.flatMap((point) => waysAt(layout, point)));
  known.set(grid, found);
  return found;
}

/** By how much the readings become more probable, in the logarithm, if the line may have a corner. */
export function cornersGain(explanation: Pick<Explanation, "layout" | "grid">): number {
  return allWaysOf(explanation).logGain;
}

/** Ways of less weight are left out of the answers: all of them together weigh about a hundredth. */
const LIGHT = 1e-5;

const heavy = new WeakMap<Explanation, readonly Way[]>();

/** The ways in which a line may bend under one explanation, those that weigh something; their weights sum to 1. */
export function waysOf(explanation: Explanation): readonly Way[] {
  const found = heavy.get(explanation) ?? weighed(allWaysOf(explanation).ways.filter(({ weight }) => weight * explanation.probability >= LIGHT)).ways;
  heavy.set(explanation, found);
  return found;
}

function weighed(ways: readonly Way[]): Ways {
  const sum = ways.reduce((total, { weight }) => total + weight, 0);
  return { ways: ways.map((way) => ({ ...way, weight: way.weight / sum })), logGain: Math.log(sum) };
}

/** Weights: the grid point's times what is believed of the corner beforehand times its gain. */
function waysAt(layout: Layout, point: GridPoint): readonly Way[] {
  const { scatters, posterior } = point;
  const { corners, rows } = cornersAndRows(layout);
  const variances = rowVariances(posterior.factor, rows);
  const without = 1 - corners.reduce((sum, { probability }) => sum + probability, 0);
  return [{ point, weight: point.weight * without }, ...corners.map((corner, index): Way => {
    const scale = corner.of === "roughness" ? 1 / scatters.roughnessMm ** 2 : 1;
    const { logGain, shift, spread } = cornerChange({ known: scale * corner.known, sdMm: corner.sdMm }, scale * along(corner.row, posterior.mean), scale ** 2 * (variances[index] ?? NaN));
    return { point, weight: point.weight * corner.probability * Math.exp(logGain), corner: { logGain, shift: scale * shift, spread: scale * spread, row: corner.row, covariances: once(() => covariancesWith(posterior, corner.row)) } };
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
