import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { covariancesWith, waysOf } from "./corners.js";
import type { Way } from "./corners.js";
import { along } from "./estimation/expectationPropagation.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import type { Explanation } from "./explanation.js";
import type { Form } from "./functional.js";
import { drawFrom } from "./linear/arrow.js";
import type { SparseRow } from "./linear/arrow.js";
import { normalQuantile } from "./likelihood/normal.js";
import type { LineSupposed } from "./survey.js";

/**
 * Joint draws of several forms from the posterior, explanations and scatters integrated.
 * Draws come in mirrored pairs about each grid point's mean, so that their mean is the posterior's.
 * @param line `with corners`: the neck line may have a corner at any place, which an integrated random walk would round
 * @returns one array a draw, in the order of `forms`; the same seed gives the same draws
 */
export function jointDraws(explanations: readonly Explanation[], forms: readonly Form[], count: number, seed: number, line: LineSupposed = "smooth"): readonly Float64Array[] {
  const random = xoroshiro128plus(seed);
  const uniform = (): number => uniformFloat64(random);
  const normal = (): number => normalQuantile(Math.max(uniform(), Number.MIN_VALUE));
  const sources = explanations.flatMap(({ layout, grid, probability }) => {
    const rows = forms.map((form) => form(layout));
    return grid.flatMap((point) => (line === "smooth" ? [{ share: 1 }] : waysOf(layout, point)).map((way) => ({ weight: probability * point.weight * way.share, from: once(() => drawnFrom(point.posterior, rows, way)) })));
  });
  const all = line === "smooth" ? 1 : sources.reduce((sum, { weight }) => sum + weight, 0);
  return Array.from({ length: Math.ceil(count / 2) }, () => {
    const { posterior, rows, centre, corner } = picked(sources, all * uniform()).from();
    const deviation = drawFrom(posterior.factor, Float64Array.from(posterior.mean, normal));
    const ofCorner = corner === undefined ? 0 : normal();
    return mirrored(centre, rows.map((row, at) => along(row, deviation) + ofCorner * (corner?.[at] ?? 0)));
  }).flat();
}

/** The forms' centres in one posterior, and what one standard deviation of its corner adds to them. */
type DrawnFrom = { readonly posterior: GridPoint["posterior"]; readonly rows: readonly SparseRow[]; readonly centre: readonly number[]; readonly corner?: readonly number[] };

function drawnFrom(posterior: GridPoint["posterior"], rows: readonly SparseRow[], { corner }: Pick<Way, "corner">): DrawnFrom {
  const centre = rows.map((row) => along(row, posterior.mean));
  if (corner === undefined) return { posterior, rows, centre };
  const covariances = covariancesWith(posterior, corner.row);
  const moved = rows.map((row) => along(row, covariances));
  return { posterior, rows, centre: centre.map((value, at) => value + corner.shift * (moved[at] ?? 0)), corner: moved.map((value) => corner.spread * value) };
}

/** Most corners are never drawn, and each costs a solution. */
function once<T>(made: () => T): () => T {
  let found: { readonly value: T } | undefined;
  return () => (found ??= { value: made() }).value;
}

/** The forms at a deviation from their centres, and at its mirror image. */
function mirrored(centre: readonly number[], apart: readonly number[]): readonly [Float64Array, Float64Array] {
  return [Float64Array.from(centre, (value, at) => value + (apart[at] ?? 0)), Float64Array.from(centre, (value, at) => value - (apart[at] ?? 0))];
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
