import { NORMAL_95 } from "../units/measured.js";
import type { Measured } from "../units/measured.js";
import { covariancesWith, waysOf } from "./corners.js";
import { along } from "./estimation/expectationPropagation.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import type { Explanation } from "./explanation.js";
import { mixtureCentral95, mixtureMoments } from "./likelihood/normalMixture.js";
import type { Moments, NormalPart } from "./likelihood/normalMixture.js";
import { rowVariance, rowVariances } from "./linear/arrow.js";
import type { SparseRow } from "./linear/arrow.js";
import type { Layout } from "./model/layout.js";

/** A linear form of heights, as a row over the unknowns of whichever explanation it is asked of. */
export type Form = (layout: Layout) => SparseRow;

/** A form under the posterior, explanations, scatters and corners integrated: mean and standard deviation, and the central 95 %, which may lie about the mean unevenly. */
export function measuredForm(explanations: readonly Explanation[], form: Form): Measured {
  const parts: NormalPart[] = [];
  eachNormal(explanations, [form], (_, weight, mean, variance) => parts.push(normalPart(weight, mean, variance)));
  return measuredParts(parts);
}

/** As `measuredForm`, for many forms at once. */
export function measuredForms(explanations: readonly Explanation[], forms: readonly Form[]): readonly Measured[] {
  const parts: NormalPart[][] = forms.map(() => []);
  eachNormal(explanations, forms, (form, weight, mean, variance) => parts[form]?.push(normalPart(weight, mean, variance)));
  return parts.map(measuredParts);
}

function normalPart(weight: number, mean: number, variance: number): NormalPart {
  return { weight, mean, sd: Math.sqrt(Math.max(0, variance)) };
}

function measuredParts(parts: readonly NormalPart[]): Measured {
  return { ...mixtureMoments(parts), unit: "mm", ...mixtureCentral95(parts) };
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

/**
 * Covariance of a form with each of others, explanations, scatters and corners integrated.
 * @param mean the form's, as `momentsOfForms` has it
 */
export function covariancesOfForms(explanations: readonly Explanation[], asked: Form, mean: number, others: readonly Form[]): readonly number[] {
  const joint = explanations.map((explanation) => jointWith(explanation, asked(explanation.layout), mean));
  return others.map((other) => explanations.reduce((sum, { layout, probability }, index) => sum + probability * along(other(layout), joint[index] ?? new Float64Array(0)), 0));
}

/** Of all unknowns, the mean over an explanation's ways of their product with the form less `about`: over all explanations together their covariance with it. */
function jointWith(explanation: Explanation, asked: SparseRow, about: number): Float64Array {
  const of = new Map(explanation.grid.map((point) => [point, { covariances: covariancesWith(point.posterior, asked), mean: along(asked, point.posterior.mean), weight: 0, apart: 0 }]));
  const sum = new Float64Array(explanation.grid[0]?.posterior.mean.length ?? 0);
  for (const { point, weight, corner } of waysOf(explanation)) {
    const plain = of.get(point);
    if (plain === undefined) continue;
    const covariances = corner?.covariances();
    const own = covariances === undefined ? 0 : along(asked, covariances);
    const apart = weight * (plain.mean + (corner?.shift ?? 0) * own - about);
    plain.weight += weight;
    plain.apart += apart;
    if (corner !== undefined && covariances !== undefined) addTimes(sum, weight * corner.spread ** 2 * own + apart * corner.shift, covariances);
  }
  for (const [{ posterior }, { covariances, weight, apart }] of of) {
    addTimes(sum, weight, covariances);
    addTimes(sum, apart, posterior.mean);
  }
  return sum;
}

function addTimes(sum: Float64Array, factor: number, vector: Float64Array): void {
  for (let at = 0; at < sum.length; at++) sum[at] = (sum[at] ?? 0) + factor * (vector[at] ?? 0);
}

/** Visits each form's normals in all ways of all explanations; weights sum to 1. */
function eachNormal(explanations: readonly Explanation[], forms: readonly Form[], visit: (form: number, weight: number, mean: number, variance: number) => void): void {
  for (const explanation of explanations) {
    const rows = forms.map((form) => form(explanation.layout));
    const plainAt = new Map(explanation.grid.map((point) => [point, normalsOf(rows, point)]));
    for (const { point, weight, corner } of waysOf(explanation)) {
      const plain = plainAt.get(point) ?? [];
      const covariances = corner?.covariances();
      for (const [form, { row, mean, variance }] of plain.entries()) {
        const covariance = covariances === undefined ? 0 : along(row, covariances);
        visit(form, explanation.probability * weight, mean + (corner?.shift ?? 0) * covariance, variance + ((corner?.spread ?? 0) * covariance) ** 2);
      }
    }
  }
}

/** A row without a corner at one grid point. */
type RowNormal = { readonly row: SparseRow; readonly mean: number; readonly variance: number };

function normalsOf(rows: readonly SparseRow[], { posterior }: GridPoint): readonly RowNormal[] {
  const [first, ...others] = rows;
  const variances = first !== undefined && others.length === 0 ? [rowVariance(posterior.factor, first)] : rowVariances(posterior.factor, rows);
  return rows.map((row, index) => ({ row, mean: along(row, posterior.mean), variance: variances[index] ?? NaN }));
}

/** A form under the posterior of a line without corners, explanations and scatters integrated: mean, standard deviation, and as far either way as a normal has 95 %. */
export function measuredSmooth(explanations: readonly Explanation[], form: Form): Measured {
  return normally(explanations.flatMap((explanation) => smoothParts(explanation, [form]).flat()));
}

/** As `measuredSmooth`, for many forms at once. */
export function measuredSmoothForms(explanations: readonly Explanation[], forms: readonly Form[]): readonly Measured[] {
  const each = explanations.map((explanation) => smoothParts(explanation, forms));
  return forms.map((_, index) => normally(each.flatMap((parts) => parts[index] ?? [])));
}

/** Each form's normals at all grid points of an explanation. */
function smoothParts({ layout, grid, probability }: Explanation, forms: readonly Form[]): readonly (readonly NormalPart[])[] {
  const rows = forms.map((form) => form(layout));
  const points = grid.map((point) => ({ weight: probability * point.weight, normals: normalsOf(rows, point) }));
  return rows.map((_, index) => points.flatMap(({ weight, normals }) => normals.slice(index, index + 1).map(({ mean, variance }) => normalPart(weight, mean, variance))));
}

function normally(parts: readonly NormalPart[]): Measured {
  const { value, u } = mixtureMoments(parts);
  return { value, u, unit: "mm", low95: value - NORMAL_95 * u, high95: value + NORMAL_95 * u };
}

/** Variance that a form would have after one more reading, everything taken as normal. */
export function variancesAfter(posterior: GridPoint["posterior"], asked: SparseRow, next: readonly { readonly row: SparseRow; readonly noiseMm: number }[]): readonly number[] {
  const weights = covariancesWith(posterior, asked);
  const now = along(asked, weights);
  const variances = rowVariances(posterior.factor, next.map(({ row }) => row));
  return next.map(({ row, noiseMm }, index) => Math.max(0, now - along(row, weights) ** 2 / ((variances[index] ?? NaN) + noiseMm ** 2)));
}
