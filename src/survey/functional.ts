import { NORMAL_95 } from "../units/measured.js";
import type { Measured } from "../units/measured.js";
import { waysOf } from "./corners.js";
import { along } from "./estimation/expectationPropagation.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import type { Explanation } from "./explanation.js";
import { mixtureCentral95, mixtureMoments } from "./likelihood/normalMixture.js";
import type { Moments, NormalPart } from "./likelihood/normalMixture.js";
import { rowVariance, rowVariances, solveArrow } from "./linear/arrow.js";
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
