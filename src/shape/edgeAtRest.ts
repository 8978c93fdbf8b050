import { hull } from "./hull.js";

/** The largest gap under an edge at rest, and the places it bears on. */
export type GapUnderEdge = { readonly gapMm: number; readonly atMm: number; readonly fromMm: number; readonly toMm: number };

/**
 * A perfectly straight edge laid on points: it bears on the two that carry its middle (statics: its weight lies between them),
 * and the largest gap between those two is what a leaf would find.
 * @param xMm places, mm, increasing, three or more
 * @param heightMm heights of the points, mm
 * @returns the gap, mm, never negative; 0 where neighbouring points carry the edge
 * @throws {RangeError} fewer than three points
 * @example near(gapUnderEdge([0, 100, 200], [0, -0.2, 0]).gapMm, 0.2, { abs: 1e-12 });
 */
export function gapUnderEdge(xMm: readonly number[], heightMm: readonly number[]): GapUnderEdge {
  const points = xMm.map((x, at) => ({ x, y: heightMm[at] ?? NaN }));
  const [first, last] = [xMm[0], xMm.at(-1)];
  if (first === undefined || last === undefined || points.length < 3) throw new RangeError(`Cannot lay an edge on ${points.length} points: expected three or more`);
  const upper = hull(points, "upper");
  const middle = (first + last) / 2;
  const right = Math.max(1, upper.findIndex(({ x }) => x >= middle));
  const [a, b] = [upper[right - 1], upper[right]];
  if (a === undefined || b === undefined) throw new RangeError("Cannot lay an edge on points at one place: expected places that increase");
  const under = points.filter(({ x }) => x > a.x && x < b.x).map(({ x, y }) => ({ atMm: x, gapMm: a.y + ((b.y - a.y) * (x - a.x)) / (b.x - a.x) - y }));
  const most = under.reduce((best, one) => (one.gapMm > best.gapMm ? one : best), { atMm: a.x, gapMm: 0 });
  return { ...most, fromMm: a.x, toMm: b.x };
}
