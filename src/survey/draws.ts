import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { once } from "../units/once.js";
import { waysOf } from "./corners.js";
import type { Way } from "./corners.js";
import { along } from "./estimation/expectationPropagation.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import type { Explanation } from "./explanation.js";
import type { Form } from "./functional.js";
import { drawFrom } from "./linear/arrow.js";
import type { SparseRow } from "./linear/arrow.js";
import { normalQuantile } from "./likelihood/normal.js";

/**
 * Joint draws of several forms from the posterior, explanations and scatters integrated.
 * Draws come in mirrored pairs about the mean of a grid point drawn by its weight: their mean strays only by how often each grid point is drawn.
 * @param line `smooth`: the neck line has no corners, which cancel where a change is asked about
 * @returns one array a draw, in the order of `forms`; the same seed gives the same draws
 */
export function jointDraws(explanations: readonly Explanation[], forms: readonly Form[], count: number, seed: number, line: "smooth" | "with corners" = "with corners"): readonly Float64Array[] {
  const random = xoroshiro128plus(seed);
  const uniform = (): number => uniformFloat64(random);
  const normal = (): number => normalQuantile(Math.max(uniform(), Number.MIN_VALUE));
  const sources = explanations.flatMap((explanation) => {
    const { layout, grid, probability } = explanation;
    const rows = forms.map((form) => form(layout));
    const meansAt = new Map(grid.map((point) => [point, once(() => rows.map((row) => along(row, point.posterior.mean)))]));
    const ways: readonly Way[] = line === "smooth" ? grid.map((point) => ({ point, weight: point.weight })) : waysOf(explanation);
    return ways.map((way) => ({ weight: probability * way.weight, from: once(() => drawnFrom(rows, meansAt.get(way.point)?.() ?? [], way)) }));
  });
  return Array.from({ length: Math.ceil(count / 2) }, () => {
    const { posterior, rows, centre, corner } = picked(sources, uniform()).from();
    const deviation = drawFrom(posterior.factor, Float64Array.from(posterior.mean, normal));
    const ofCorner = corner === undefined ? 0 : normal();
    const [ahead, back] = [new Float64Array(rows.length), new Float64Array(rows.length)];
    for (const [at, row] of rows.entries()) {
      const apart = along(row, deviation) + ofCorner * (corner?.[at] ?? 0);
      ahead[at] = (centre[at] ?? NaN) + apart;
      back[at] = (centre[at] ?? NaN) - apart;
    }
    return [ahead, back];
  }).flat().slice(0, count);
}

/** The forms' centres in one posterior, and what one standard deviation of its corner adds to them. */
type DrawnFrom = { readonly posterior: GridPoint["posterior"]; readonly rows: readonly SparseRow[]; readonly centre: readonly number[]; readonly corner?: readonly number[] };

function drawnFrom(rows: readonly SparseRow[], means: readonly number[], { point: { posterior }, corner }: Way): DrawnFrom {
  if (corner === undefined) return { posterior, rows, centre: means };
  const covariances = corner.covariances();
  const moved = rows.map((row) => along(row, covariances));
  return { posterior, rows, centre: means.map((value, at) => value + corner.shift * (moved[at] ?? 0)), corner: moved.map((value) => corner.spread * value) };
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
