import { checkSparseRow, type ArrowMatrix, type ArrowShape, type SparseRow } from "./arrowMatrix.js";
import { addScaled, dot } from "./vectors.js";

/** Lower triangle L with L L' = A, kept in the same pattern as A. */
export type ArrowFactor = ArrowShape & { readonly band: Float64Array; readonly edge: Float64Array; readonly corner: Float64Array };

/**
 * Cholesky factor of a symmetric positive definite arrow matrix; the pattern does not fill in.
 * @param relTol smallest pivot against its diagonal entry; below the default no more than two or three digits of the unknown would be left
 * @returns the factor, or `undefined` if the matrix is not positive definite within the tolerance (or holds a number that is not finite)
 * @source Golub and Van Loan, Matrix Computations, banded Cholesky factorisation; checks against a dense library in tests/survey/linear/
 */
export function factorArrow(matrix: ArrowMatrix, relTol = 1e-13): ArrowFactor | undefined {
  const { banded, bandwidth, border } = matrix;
  const factor: ArrowFactor = { banded, bandwidth, border, band: matrix.band.slice(), edge: matrix.edge.slice(), corner: matrix.corner.slice() };
  for (let i = 0; i < banded; i++) if (!factorBandRow(factor, i, relTol)) return undefined;
  for (let p = 0; p < border; p++) {
    factorEdgeRow(factor, p);
    if (!factorCornerRow(factor, p, relTol)) return undefined;
  }
  return factor;
}

function factorBandRow(factor: ArrowFactor, i: number, relTol: number): boolean {
  const { band, bandwidth } = factor;
  const row = bandStart(factor, i);
  const first = Math.max(0, i - bandwidth);
  for (let j = first; j < i; j++) {
    const other = bandStart(factor, j);
    const sum = dot(band, row + first, band, other + first, j - first);
    band[row + j] = ((band[row + j] ?? 0) - sum) / (band[other + j] ?? 0);
  }
  return takeRoot(band, row + i, dot(band, row + first, band, row + first, i - first), relTol);
}

function factorEdgeRow(factor: ArrowFactor, p: number): void {
  const { band, edge, banded, bandwidth } = factor;
  const row = p * banded;
  for (let j = 0; j < banded; j++) {
    const first = Math.max(0, j - bandwidth);
    const other = bandStart(factor, j);
    const sum = dot(edge, row + first, band, other + first, j - first);
    edge[row + j] = ((edge[row + j] ?? 0) - sum) / (band[other + j] ?? 0);
  }
}

function factorCornerRow(factor: ArrowFactor, p: number, relTol: number): boolean {
  const { edge, corner, banded, border } = factor;
  const row = p * border;
  for (let q = 0; q < p; q++) {
    const sum = dot(edge, p * banded, edge, q * banded, banded) + dot(corner, row, corner, q * border, q);
    corner[row + q] = ((corner[row + q] ?? 0) - sum) / (corner[q * border + q] ?? 0);
  }
  return takeRoot(corner, row + p, dot(edge, p * banded, edge, p * banded, banded) + dot(corner, row, corner, row, p), relTol);
}

function takeRoot(array: Float64Array, place: number, explained: number, relTol: number): boolean {
  const diagonal = array[place] ?? 0;
  const pivot = diagonal - explained;
  array[place] = Math.sqrt(pivot);
  return diagonal > 0 && pivot > relTol * diagonal && pivot < Infinity;
}

/** Where entry (i, 0) of a band row would stand; (i, j) stands j further on. */
function bandStart(factor: ArrowShape, i: number): number {
  return i * factor.bandwidth + factor.bandwidth;
}

/** Entry (i, i) of the factor. */
export function pivotAt(factor: ArrowFactor, i: number): number {
  const { banded, border } = factor;
  return (i < banded ? factor.band[bandStart(factor, i) + i] : factor.corner[(i - banded) * (border + 1)]) ?? 0;
}

/** Entry (i, j) of the factor within the band, j <= i <= j + bandwidth. */
export function bandEntry(factor: ArrowFactor, i: number, j: number): number {
  return factor.band[bandStart(factor, i) + j] ?? 0;
}

/**
 * Solves A x = rhs.
 * @param rhs the banded unknowns' right side, then the border's; not changed
 * @throws {RangeError} a right side of another length
 */
export function solveArrow(factor: ArrowFactor, rhs: Float64Array): Float64Array {
  const x = sized(factor, rhs);
  solveForward(factor, x, 0);
  solveBackward(factor, x);
  return x;
}

/** Logarithm of the determinant of A. */
export function logDeterminant(factor: ArrowFactor): number {
  let sum = 0;
  for (let i = 0; i < factor.banded + factor.border; i++) sum += Math.log(pivotAt(factor, i));
  return 2 * sum;
}

/**
 * Variance of a row of unknowns whose covariance is the inverse of A: row A^-1 row'.
 * A sum of squares, so that it keeps its digits where the entries of the inverse are far larger (heights over a loose datum).
 * @throws {RangeError} an index outside the matrix; the row need not fit into the band
 */
export function rowVariance(factor: ArrowFactor, row: SparseRow): number {
  const size = factor.banded + factor.border;
  checkSparseRow({ ...factor, bandwidth: size }, row);
  const y = new Float64Array(size);
  let first = factor.banded;
  for (const [k, at] of row.index.entries()) {
    y[at] = (y[at] ?? 0) + (row.coefficient[k] ?? 0);
    first = Math.min(first, at);
  }
  solveForward(factor, y, first);
  return dot(y, first, y, first, size - first);
}

/**
 * One draw from the normal distribution with mean 0 whose covariance is the inverse of A: the solution of L' x = normals.
 * @param normals independent standard normal numbers, one for each unknown; not changed
 * @throws {RangeError} another number of them
 */
export function drawFrom(factor: ArrowFactor, normals: Float64Array): Float64Array {
  const x = sized(factor, normals);
  solveBackward(factor, x);
  return x;
}

function sized(factor: ArrowFactor, vector: Float64Array): Float64Array {
  const size = factor.banded + factor.border;
  if (vector.length !== size) throw new RangeError(`Cannot solve: expected ${size} numbers, one for each unknown, got ${vector.length}`);
  return vector.slice();
}

/** L x = x in place; entries before `from` are zero. */
function solveForward(factor: ArrowFactor, x: Float64Array, from: number): void {
  const { band, edge, corner, banded, bandwidth, border } = factor;
  for (let i = from; i < banded; i++) {
    const first = Math.max(from, i - bandwidth);
    const row = bandStart(factor, i);
    x[i] = ((x[i] ?? 0) - dot(band, row + first, x, first, i - first)) / (band[row + i] ?? 0);
  }
  for (let p = 0; p < border; p++) {
    const sum = dot(edge, p * banded + from, x, from, banded - from) + dot(corner, p * border, x, banded, p);
    x[banded + p] = ((x[banded + p] ?? 0) - sum) / (corner[p * (border + 1)] ?? 0);
  }
}

/** L' x = x in place. */
function solveBackward(factor: ArrowFactor, x: Float64Array): void {
  const { band, edge, corner, banded, bandwidth, border } = factor;
  for (let p = border - 1; p >= 0; p--) {
    const value = (x[banded + p] ?? 0) / (corner[p * (border + 1)] ?? 0);
    x[banded + p] = value;
    addScaled(-value, corner, p * border, x, banded, p);
    addScaled(-value, edge, p * banded, x, 0, banded);
  }
  for (let i = banded - 1; i >= 0; i--) {
    const first = Math.max(0, i - bandwidth);
    const row = bandStart(factor, i);
    const value = (x[i] ?? 0) / (band[row + i] ?? 0);
    x[i] = value;
    addScaled(-value, band, row + first, x, first, i - first);
  }
}
