import type { Straining } from "../effect.js";
import type { Influence } from "../model/setup.js";
import type { BowGrid } from "../beam/grid.js";

/** A straining of nothing on this grid. */
export function unstrained(grid: BowGrid): Straining {
  return { curvaturePerMm: new Float64Array(grid.pointMm.length), kinkRad: new Float64Array(grid.nodeMm.length), axialStrain: new Float64Array(grid.pointMm.length) };
}

/** Relief at the span's middle fret, mm, positive in forward bow: the same number as `effectOf` gives, without integrating. */
export function reliefOf({ pointMm2, nodeMm }: Influence, { curvaturePerMm, kinkRad }: Pick<Straining, "curvaturePerMm" | "kinkRad">): number {
  let relief = 0;
  for (let point = 0; point < pointMm2.length; point++) relief += (pointMm2[point] ?? 0) * (curvaturePerMm[point] ?? 0);
  for (let node = 0; node < nodeMm.length; node++) relief += (nodeMm[node] ?? 0) * (kinkRad[node] ?? 0);
  return relief;
}
