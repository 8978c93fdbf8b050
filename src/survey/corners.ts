import { NORMAL_95 } from "../units/measured.js";
import type { Measured } from "../units/measured.js";
import { along } from "./estimation/expectationPropagation.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import type { Explanation } from "./explanation.js";
import type { Form } from "./functional.js";
import { normalCdf, normalDensity } from "./likelihood/normal.js";
import { rowVariance, rowVariances, solveArrow } from "./linear/arrow.js";
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
export type Way = { readonly point: GridPoint; readonly weight: number; readonly corner?: CornerChange & { readonly row: SparseRow; /** Covariance of all unknowns with the row. */ readonly covariances: () => Float64Array } };

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

/** Most corners are hardly ever asked about, some again and again, and each costs a solution. */
export function once<T>(made: () => T): () => T {
  let found: { readonly value: T } | undefined;
  return () => (found ??= { value: made() }).value;
}

/** Covariance of all unknowns with a row. */
function covariancesWith({ mean, factor }: GridPoint["posterior"], row: SparseRow): Float64Array {
  const right = new Float64Array(mean.length);
  for (const [position, at] of row.index.entries()) right[at] = row.coefficient[position] ?? 0;
  return solveArrow(factor, right);
}

/** A normal with its share of a mixture. */
type Part = { readonly weight: number; readonly mean: number; readonly sd: number };

const TAIL = normalCdf(-NORMAL_95);

/** A form under the posterior, explanations, scatters and corners integrated: mean and standard deviation, and the central 95 %, which may lie about the mean unevenly. */
export function measuredForm(explanations: readonly Explanation[], form: Form): Measured {
  const parts: Part[] = [];
  eachNormal(explanations, [form], (_, weight, mean, variance) => parts.push({ weight, mean, sd: Math.sqrt(Math.max(0, variance)) }));
  const found = moments(parts);
  const spread = parts.filter(({ sd }) => sd > 0);
  if (spread.length === 0) return { ...found, unit: "mm", low95: found.value, high95: found.value };
  return { ...found, unit: "mm", low95: quantile(spread, TAIL, found), high95: quantile(spread, 1 - TAIL, found) };
}

/** Mean and standard uncertainty, mm. */
type Moments = { readonly value: number; readonly u: number };

function moments(parts: readonly Part[]): Moments {
  const value = parts.reduce((sum, { weight, mean }) => sum + weight * mean, 0);
  return { value, u: Math.sqrt(parts.reduce((sum, { weight, mean, sd }) => sum + weight * (sd ** 2 + (mean - value) ** 2), 0)) };
}

/** Mean and standard uncertainty of many forms at once, as `measuredForm` has them. */
export function momentsOfForms(explanations: readonly Explanation[], forms: readonly Form[]): readonly Moments[] {
  // means are summed from the first one on, so that little cancels
  const [first, sum, squares] = [new Float64Array(forms.length).fill(NaN), new Float64Array(forms.length), new Float64Array(forms.length)];
  eachNormal(explanations, forms, (form, weight, mean, variance) => {
    if (Number.isNaN(first[form])) first[form] = mean;
    const apart = mean - (first[form] ?? 0);
    sum[form] = (sum[form] ?? 0) + weight * apart;
    squares[form] = (squares[form] ?? 0) + weight * (variance + apart * apart);
  });
  return forms.map((_, form) => ({ value: (first[form] ?? NaN) + (sum[form] ?? NaN), u: Math.sqrt(Math.max(0, (squares[form] ?? NaN) - (sum[form] ?? NaN) ** 2)) }));
}

/** Visits each form's normals in all ways of all explanations; weights sum to 1. */
function eachNormal(explanations: readonly Explanation[], forms: readonly Form[], visit: (form: number, weight: number, mean: number, variance: number) => void): void {
  for (const explanation of explanations) {
    const rows = forms.map((form) => form(explanation.layout));
    const plainAt = new Map(explanation.grid.map((point) => [point, normalsOf(rows, point)]));
    for (const { point, weight, corner } of waysOf(explanation)) {
      const plain = plainAt.get(point) ?? [];
      const covariances = corner?.covariances();
      for (let form = 0; form < plain.length; form++) {
        const { mean, variance } = plain[form] ?? UNKNOWN;
        const covariance = covariances === undefined ? 0 : along(rows[form] ?? NOTHING, covariances);
        visit(form, explanation.probability * weight, mean + (corner?.shift ?? 0) * covariance, variance + ((corner?.spread ?? 0) * covariance) ** 2);
      }
    }
  }
}

const UNKNOWN = { mean: NaN, variance: NaN } as const;
const NOTHING: SparseRow = { index: [], coefficient: [] };

/** Rows without a corner: their means and variances at one grid point. */
function normalsOf(rows: readonly SparseRow[], { posterior }: GridPoint): readonly { readonly mean: number; readonly variance: number }[] {
  const [first] = rows;
  const variances = rows.length === 1 && first !== undefined ? [rowVariance(posterior.factor, first)] : rowVariances(posterior.factor, rows);
  return rows.map((row, index) => ({ mean: along(row, posterior.mean), variance: variances[index] ?? NaN }));
}

/** Newton's steps towards a quantile settle when they come to this share of the standard uncertainty. */
const SETTLED = 1e-4;
const MOST_STEPS = 30;

/** Where the parts' share below it comes to `below`: Newton's steps from where a single normal has it, halved back between bounds that hold it. */
function quantile(parts: readonly Part[], below: number, { value, u }: Moments): number {
  const all = parts.reduce((sum, { weight }) => sum + weight, 0);
  let low = Math.min(...parts.map(({ mean, sd }) => mean - 8 * sd));
  let high = Math.max(...parts.map(({ mean, sd }) => mean + 8 * sd));
  let at = value + (below < 0.5 ? -NORMAL_95 : NORMAL_95) * u;
  for (let step = 0; step < MOST_STEPS; step++) {
    const { share, density } = cumulated(parts, at);
    const over = share / all - below;
    if (over < 0) low = at;
    else high = at;
    const next = at - (over * all) / density;
    const by = next > low && next < high ? next - at : (low + high) / 2 - at;
    at += by;
    if (!(Math.abs(by) > SETTLED * u)) break;
  }
  return at;
}

/** The parts' weight below a place, and its density there. */
function cumulated(parts: readonly Part[], at: number): { readonly share: number; readonly density: number } {
  let [share, density] = [0, 0];
  for (const { weight, mean, sd } of parts) {
    const z = (at - mean) / sd;
    share += weight * normalCdf(z);
    density += (weight * normalDensity(z)) / sd;
  }
  return { share, density };
}
