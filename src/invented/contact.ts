/** A point that a tool could touch: place along the tool's path, and height there with the tool's own shape taken off, mm. */
export type ContactPoint = { readonly xMm: number; readonly zMm: number };

/** How a rigid edge lies: on two points (indices into those given), as the straight line through them. */
export type EdgeAtRest = {
  readonly supports: readonly [number, number];
  /** Height of the edge's reference line at `xMm`. */
  readonly heightMm: (xMm: number) => number;
};

/**
 * How a rigid edge lies on points when pressed or pulled down at one place: it touches one point on each side of that place and no
 * point stands above it. That is the stretch of the points' upper convex hull over the place, found exactly.
 * At rest the place is the edge's centre of gravity; pressed down with a finger it is the finger's.
 * @param points in order of place, all different places
 * @throws {RangeError} the place lies outside the points: the edge would tip off
 * @source statics: of all lines that nothing stands above, the edge takes the one lowest at the load
 */
export function edgeAtRest(points: readonly ContactPoint[], loadMm: number): EdgeAtRest {
  const hull = upperHull(points);
  for (let k = 1; k < hull.length; k += 1) {
    const left = hull[k - 1];
    const right = hull[k];
    if (left === undefined || right === undefined) continue;
    if (loadMm >= left.point.xMm && loadMm <= right.point.xMm) return lyingOn(left, right);
  }
  throw new RangeError(`Cannot set the edge down: its load at ${loadMm} mm lies outside what is under it, ${points.map((point) => point.xMm).join(", ")} mm (move it)`);
}

type HullPoint = { readonly index: number; readonly point: ContactPoint };

function lyingOn(left: HullPoint, right: HullPoint): EdgeAtRest {
  const slope = (right.point.zMm - left.point.zMm) / (right.point.xMm - left.point.xMm);
  return { supports: [left.index, right.index], heightMm: (xMm) => left.point.zMm + slope * (xMm - left.point.xMm) };
}

/** Andrew's monotone chain, upper half. */
function upperHull(points: readonly ContactPoint[]): HullPoint[] {
  const hull: HullPoint[] = [];
  points.forEach((point, index) => {
    while (hull.length >= 2 && !turnsRight(hull, point)) hull.pop();
    hull.push({ index, point });
  });
  return hull;
}

function turnsRight(hull: readonly HullPoint[], next: ContactPoint): boolean {
  const before = hull.at(-2);
  const last = hull.at(-1);
  if (before === undefined || last === undefined) return true;
  const [a, b] = [before.point, last.point];
  return (b.xMm - a.xMm) * (next.zMm - a.zMm) - (b.zMm - a.zMm) * (next.xMm - a.xMm) < 0;
}
