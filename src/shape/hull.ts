/** A point of a profile. */
export type Point = { readonly x: number; readonly y: number };

/**
 * The convex hull of a profile from above or from below, in order along x.
 * @param points in order of increasing x
 * @source A. M. Andrew, Another efficient algorithm for convex hulls in two dimensions, 1979 (monotone chain; from memory)
 */
export function hull(points: readonly Point[], side: "upper" | "lower"): readonly Point[] {
  const sign = side === "upper" ? 1 : -1;
  const kept: Point[] = [];
  for (const point of points) {
    while (kept.length > 1 && sign * turn(kept.at(-2), kept.at(-1), point) >= 0) kept.pop();
    kept.push(point);
  }
  return kept;
}

/** Positive where the path a, b, c turns to the left. */
function turn(a: Point | undefined, b: Point | undefined, c: Point): number {
  if (a === undefined || b === undefined) return -Infinity;
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}
