/** A point under a flat face. */
export type FacePoint = { readonly xMm: number; readonly yMm: number; readonly heightMm: number };

/** A flat face: its height at a place, and the three points that it lies on (indices). */
export type RestingFace = { readonly on: readonly [number, number, number]; readonly at: (xMm: number, yMm: number) => number };

/** Under this a point does not stand over the face, mm. */
const OVER_MM = 1e-10;

/**
 * The flat face that comes to rest on points: none stands over it, and of all such faces it lies lowest at `centre`, which is where it is heaviest, among the three points it lies on.
 * From a triangle round the centre it goes on to the point that stands up farthest, and lets go of the one without which the centre is still among the three (the dual simplex method).
 * @param points three or more, not all on one line in x and y
 * @param centre among the points; their mean if absent
 * @throws {RangeError} points on one line, or a centre outside them
 * @example equal(restingTriple([[0, 0, 0], [9, 0, 0], [0, 9, 0], [9, 9, 1]].map(([xMm = 0, yMm = 0, heightMm = 0]) => ({ xMm, yMm, heightMm })), [6, 3]).on, [0, 1, 3]);
 */
export function restingTriple(points: readonly FacePoint[], centre: readonly [number, number] = meanOf(points)): RestingFace {
  const near = nudged(points, centre);
  let on = triangleRound(points, near);
  for (let steps = 0; steps < 50 * points.length; steps++) {
    const at = faceOn(points, on);
    const next = farthest(points, at);
    if (next === undefined) return { on: inOrder(on), at };
    on = exchanged(points, on, next, near);
  }
  throw new RangeError(`Cannot rest a face on ${points.length} points: it goes from triangle to triangle without end`);
}

type Triple = readonly [number, number, number];

function meanOf(points: readonly FacePoint[]): readonly [number, number] {
  const mean = (of: (point: FacePoint) => number): number => points.reduce((sum, point) => sum + of(point), 0) / points.length;
  return [mean(({ xMm }) => xMm), mean(({ yMm }) => yMm)];
}

/** A hair off, so that the centre lies on no line between two points: else it could go round in a ring of triangles that are all as good. */
function nudged(points: readonly FacePoint[], [x, y]: readonly [number, number]): readonly [number, number] {
  const [xs, ys] = [points.map(({ xMm }) => xMm), points.map(({ yMm }) => yMm)];
  return [x + 0.618e-7 * (Math.max(...xs) - Math.min(...xs)), y + 0.414e-7 * (Math.max(...ys) - Math.min(...ys))];
}

/** Shares of three points that make up the centre; they add up to 1, and none is below 0 where it lies among them. */
function sharesOf(points: readonly FacePoint[], [a, b, c]: Triple, [x, y]: readonly [number, number]): Triple {
  const [A, B, C] = [pointAt(points, a), pointAt(points, b), pointAt(points, c)];
  const whole = twiceArea(A, B, C);
  const shareB = ((x - A.xMm) * (C.yMm - A.yMm) - (C.xMm - A.xMm) * (y - A.yMm)) / whole;
  const shareC = ((B.xMm - A.xMm) * (y - A.yMm) - (x - A.xMm) * (B.yMm - A.yMm)) / whole;
  return [1 - shareB - shareC, shareB, shareC];
}

function twiceArea(a: FacePoint, b: FacePoint, c: FacePoint): number {
  return (b.xMm - a.xMm) * (c.yMm - a.yMm) - (c.xMm - a.xMm) * (b.yMm - a.yMm);
}

function pointAt(points: readonly FacePoint[], index: number): FacePoint {
  const found = points[index];
  if (found === undefined) throw new RangeError(`Cannot rest a face: there is no point ${index}`);
  return found;
}

/** The largest triangle of points that has the centre inside. */
function triangleRound(points: readonly FacePoint[], centre: readonly [number, number]): Triple {
  const corners = cornersOf(points);
  let best: Triple | undefined;
  let bestArea = 0;
  for (const a of corners) for (const b of corners) for (const c of corners) {
    if (!(a < b && b < c)) continue;
    const area = Math.abs(twiceArea(pointAt(points, a), pointAt(points, b), pointAt(points, c)));
    if (area > bestArea && sharesOf(points, [a, b, c], centre).every((share) => share > -1e-12)) [best, bestArea] = [[a, b, c], area];
  }
  if (best === undefined) throw new RangeError(`Cannot rest a face on ${points.length} points: expected three or more, not on one line, round ${centre.join(", ")} mm`);
  return best;
}

/** Points that lie outermost in some of sixteen directions; a triangle of them holds the mean of all. */
function cornersOf(points: readonly FacePoint[]): readonly number[] {
  const [xs, ys] = [points.map(({ xMm }) => xMm), points.map(({ yMm }) => yMm)];
  const [wide, high] = [Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)].map((size) => (size > 0 ? size : 1));
  const found = Array.from({ length: 16 }, (_, k) => {
    const [cos, sin] = [Math.cos((k * Math.PI) / 8) / (wide ?? 1), Math.sin((k * Math.PI) / 8) / (high ?? 1)];
    const out = points.map(({ xMm, yMm }) => cos * xMm + sin * yMm);
    return out.indexOf(Math.max(...out));
  });
  return [...new Set(found)].sort((a, b) => a - b);
}

function faceOn(points: readonly FacePoint[], on: Triple): RestingFace["at"] {
  const [a, b, c] = on.map((index) => pointAt(points, index).heightMm);
  return (xMm, yMm) => {
    const [shareA, shareB, shareC] = sharesOf(points, on, [xMm, yMm]);
    return shareA * (a ?? 0) + shareB * (b ?? 0) + shareC * (c ?? 0);
  };
}

function farthest(points: readonly FacePoint[], at: RestingFace["at"]): number | undefined {
  let [found, most]: [number | undefined, number] = [undefined, OVER_MM];
  for (const [index, { xMm, yMm, heightMm }] of points.entries()) {
    const over = heightMm - at(xMm, yMm);
    if (over > most) [found, most] = [index, over];
  }
  return found;
}

/** The next point instead of the one whose share of the centre runs out first. */
function exchanged(points: readonly FacePoint[], on: Triple, next: number, centre: readonly [number, number]): Triple {
  const [now, ofNext] = [sharesOf(points, on, centre), sharesOf(points, on, [pointAt(points, next).xMm, pointAt(points, next).yMm])];
  const runsOut = now.map((share, k) => ((ofNext[k] ?? 0) > 1e-12 ? Math.max(0, share) / (ofNext[k] ?? 1) : Infinity));
  const out = runsOut.indexOf(Math.min(...runsOut));
  const [a, b, c] = on.map((index, k) => (k === out ? next : index));
  return [a ?? 0, b ?? 0, c ?? 0];
}

function inOrder(on: Triple): Triple {
  const [a, b, c] = [...on].sort((one, other) => one - other);
  return [a ?? 0, b ?? 0, c ?? 0];
}
