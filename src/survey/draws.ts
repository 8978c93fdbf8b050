import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { along } from "./estimation/expectationPropagation.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import { drawFrom } from "./linear/arrow.js";
import type { SparseRow } from "./linear/arrow.js";
import { normalQuantile } from "./likelihood/normal.js";

/**
 * Joint draws of several linear forms from the posterior, scatters integrated.
 * Draws come in mirrored pairs about each grid point's mean, so that their mean is the posterior's.
 * @returns one array a draw, in the order of `rows`; the same seed gives the same draws
 */
export function jointDraws(grid: readonly GridPoint[], rows: readonly SparseRow[], count: number, seed: number): readonly Float64Array[] {
  const random = xoroshiro128plus(seed);
  const uniform = (): number => uniformFloat64(random);
  return Array.from({ length: Math.ceil(count / 2) }, () => {
    const point = picked(grid, uniform());
    const normals = Float64Array.from(point.posterior.mean, () => normalQuantile(Math.max(uniform(), Number.MIN_VALUE)));
    const deviation = drawFrom(point.posterior.factor, normals);
    const centre = rows.map((row) => along(row, point.posterior.mean));
    const apart = rows.map((row) => along(row, deviation));
    return [Float64Array.from(centre, (mean, index) => mean + (apart[index] ?? 0)), Float64Array.from(centre, (mean, index) => mean - (apart[index] ?? 0))];
  }).flat();
}

function picked(grid: readonly GridPoint[], at: number): GridPoint {
  let left = at;
  for (const point of grid) {
    left -= point.weight;
    if (left < 0) return point;
  }
  const last = grid.at(-1);
  if (last === undefined) throw new RangeError("Cannot draw from no grid points: expected one or more");
  return last;
}
