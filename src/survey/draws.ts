import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { along } from "./estimation/expectationPropagation.js";
import type { Explanation } from "./explanation.js";
import type { Form } from "./functional.js";
import { drawFrom } from "./linear/arrow.js";
import type { SparseRow } from "./linear/arrow.js";
import { normalQuantile } from "./likelihood/normal.js";

/**
 * Joint draws of several forms from the posterior, explanations and scatters integrated.
 * Draws come in mirrored pairs about each grid point's mean, so that their mean is the posterior's.
 * @returns one array a draw, in the order of `forms`; the same seed gives the same draws
 */
export function jointDraws(explanations: readonly Explanation[], forms: readonly Form[], count: number, seed: number): readonly Float64Array[] {
  const random = xoroshiro128plus(seed);
  const uniform = (): number => uniformFloat64(random);
  const points = explanations.flatMap(({ layout, grid, probability }) => {
    const rows = forms.map((form) => form(layout));
    return grid.map(({ weight, posterior }) => ({ weight: probability * weight, posterior, rows, centre: rows.map((row) => along(row, posterior.mean)) }));
  });
  return Array.from({ length: Math.ceil(count / 2) }, () => {
    const { posterior, rows, centre } = picked(points, uniform());
    const normals = new Float64Array(posterior.mean.length);
    for (let at = 0; at < normals.length; at++) normals[at] = normalQuantile(Math.max(uniform(), Number.MIN_VALUE));
    return mirrored(centre, rows, drawFrom(posterior.factor, normals));
  }).flat();
}

/** The forms at a deviation from their centres, and at its mirror image. */
function mirrored(centre: readonly number[], rows: readonly SparseRow[], deviation: Float64Array): readonly [Float64Array, Float64Array] {
  const above = new Float64Array(rows.length);
  const below = new Float64Array(rows.length);
  for (let at = 0; at < rows.length; at++) {
    const row = rows[at];
    let apart = 0;
    for (let position = 0; position < (row?.index.length ?? 0); position++) apart += (row?.coefficient[position] ?? 0) * (deviation[row?.index[position] ?? 0] ?? 0);
    above[at] = (centre[at] ?? 0) + apart;
    below[at] = (centre[at] ?? 0) - apart;
  }
  return [above, below];
}

function picked<T extends { readonly weight: number }>(grid: readonly T[], at: number): T {
  let left = at;
  for (const point of grid) {
    left -= point.weight;
    if (left < 0) return point;
  }
  const last = grid.at(-1);
  if (last === undefined) throw new RangeError("Cannot draw from no grid points: expected one or more");
  return last;
}
