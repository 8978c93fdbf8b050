import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { along } from "./estimation/expectationPropagation.js";
import type { Explanation } from "./explanation.js";
import type { Form } from "./functional.js";
import { drawFrom } from "./linear/arrow.js";
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
    return grid.map(({ weight, posterior }) => ({ weight: probability * weight, posterior, rows }));
  });
  return Array.from({ length: Math.ceil(count / 2) }, () => {
    const { posterior, rows } = picked(points, uniform());
    const normals = Float64Array.from(posterior.mean, () => normalQuantile(Math.max(uniform(), Number.MIN_VALUE)));
    const deviation = drawFrom(posterior.factor, normals);
    const centre = rows.map((row) => along(row, posterior.mean));
    const apart = rows.map((row) => along(row, deviation));
    return [Float64Array.from(centre, (mean, index) => mean + (apart[index] ?? 0)), Float64Array.from(centre, (mean, index) => mean - (apart[index] ?? 0))];
  }).flat();
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
