import type { BowGrid } from "./grid.js";

const GAUSS = 0.5 - Math.sqrt(3) / 6;

/**
 * How a neck bends: smooth curvature between the nodes and kinks at them. Curvature above 0 is forward bow (ends rise against the middle).
 */
export type Bending = {
  /** v'' at the grid's points, per mm. */
  readonly curvaturePerMm: Float64Array;
  /** Sudden change of slope at the grid's nodes, rad; above 0 bends toward forward bow. A slot pressed open is one of below 0. */
  readonly kinkRad: Float64Array;
};

/** A bending of nothing on this grid. */
export function straight(grid: BowGrid): Bending {
  return { curvaturePerMm: new Float64Array(grid.pointMm.length), kinkRad: new Float64Array(grid.nodeMm.length) };
}

/**
 * Deflection: curvature integrated twice from the first node, where deflection and slope are 0. In each cell the two-point Gauss rule,
 * exact for curvature up to a cubic (slope) and a quadratic (deflection); kinks enter exactly.
 * @param into where to write, one place a node; a new array if absent
 * @returns v at the nodes, mm, up
 * @example near(deflection(bowGrid([0, 100], 10), { curvaturePerMm: new Float64Array(20).fill(1e-4), kinkRad: new Float64Array(11) })[10] ?? 0, 0.5, { abs: 1e-12 });
 */
export function deflection(grid: BowGrid, { curvaturePerMm, kinkRad }: Bending, into: Float64Array = new Float64Array(grid.nodeMm.length)): Float64Array {
  const { nodeMm } = grid;
  let slope = 0;
  let v = 0;
  into[0] = 0;
  for (let node = 1; node < nodeMm.length; node++) {
    const h = (nodeMm[node] ?? 0) - (nodeMm[node - 1] ?? 0);
    slope += kinkRad[node - 1] ?? 0;
    const first = curvaturePerMm[2 * node - 2] ?? 0;
    const second = curvaturePerMm[2 * node - 1] ?? 0;
    v += h * (slope + (h / 2) * (first * (1 - GAUSS) + second * GAUSS));
    slope += (h / 2) * (first + second);
    into[node] = v;
  }
  return into;
}

/**
 * Takes the chord between two nodes out of a deflection, in place: afterwards both are 0.
 * @returns the same array
 */
export function overChord(grid: BowGrid, v: Float64Array, fromNode: number, toNode: number): Float64Array {
  const [x0, x1] = [grid.nodeMm[fromNode] ?? 0, grid.nodeMm[toNode] ?? 0];
  const [v0, v1] = [v[fromNode] ?? 0, v[toNode] ?? 0];
  const tilt = (v1 - v0) / (x1 - x0);
  for (let node = 0; node < v.length; node++) v[node] = (v[node] ?? 0) - v0 - tilt * ((grid.nodeMm[node] ?? 0) - x0);
  return v;
}

/** Integral of a quantity given at the grid's points between two nodes, by the two-point Gauss rule. */
export function integralOver(grid: BowGrid, atPoints: Float64Array, fromNode: number, toNode: number): number {
  let sum = 0;
  for (let node = fromNode + 1; node <= toNode; node++) {
    sum += (((grid.nodeMm[node] ?? 0) - (grid.nodeMm[node - 1] ?? 0)) / 2) * ((atPoints[2 * node - 2] ?? 0) + (atPoints[2 * node - 1] ?? 0));
  }
  return sum;
}
