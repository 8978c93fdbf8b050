import { smallDot } from "./smallSpd.js";
import { checkSparseRow, type ArrowPattern, type SparseRow } from "./arrowPattern.js";

/** Lower triangle L with L L' = A, its entries in the same pattern as those of A. */
export type ArrowFactor = { readonly pattern: ArrowPattern; readonly entries: Float64Array };

/**
 * Cholesky factor of a symmetric positive definite matrix.
 * @param entries the matrix, as filled by `addOuter`; not changed
 * @param relTol smallest pivot against its diagonal entry; below the default no more than two or three digits of the unknown would be left
 * @param into where the factor is written; a new array if absent
 * @returns the factor, or `undefined` if the matrix is not positive definite within the tolerance (or holds a number that is not finite)
 * @source up-looking sparse Cholesky factorisation, T. A. Davis, Direct Methods for Sparse Linear Systems, 2006 (from memory); checks against a dense library in tests/survey/linear/
 */
export function factorArrow(pattern: ArrowPattern, entries: Float64Array, relTol = 1e-13, into: Float64Array = new Float64Array(pattern.entries)): ArrowFactor | undefined {
  const work = new Float64Array(pattern.inner);
  for (let i = 0; i < pattern.inner; i++) {
    if (!factorRow(pattern, entries, into, work, i, relTol)) return undefined;
    factorEdge(pattern, entries, into, i);
  }
  const { cornerAt, border } = pattern;
  condenseCorner(pattern, entries, into);
  return factorCorner(entries, into, cornerAt, pattern.stride, border, relTol) ? { pattern, entries: into } : undefined;
}

function factorRow(pattern: ArrowPattern, entries: Float64Array, factor: Float64Array, work: Float64Array, i: number, relTol: number): boolean {
  const { rowStart, rowColumn, diagonalAt } = pattern;
  const from = rowStart[i] ?? 0;
  const to = rowStart[i + 1] ?? 0;
  for (let t = from; t < to; t++) work[rowColumn[t] ?? 0] = entries[t] ?? 0;
  let explained = 0;
  for (let t = from; t < to; t++) {
    const j = rowColumn[t] ?? 0;
    let value = work[j] ?? 0;
    const end = rowStart[j + 1] ?? 0;
    for (let u = rowStart[j] ?? 0; u < end; u++) value -= (factor[u] ?? 0) * (work[rowColumn[u] ?? 0] ?? 0);
    value /= factor[diagonalAt + j] ?? 0;
    work[j] = value;
    factor[t] = value;
    explained += value * value;
  }
  for (let t = from; t < to; t++) work[rowColumn[t] ?? 0] = 0;
  return takeRoot(factor, diagonalAt + i, entries[diagonalAt + i] ?? 0, explained, relTol);
}

function takeRoot(factor: Float64Array, at: number, diagonal: number, explained: number, relTol: number): boolean {
  const pivot = diagonal - explained;
  factor[at] = Math.sqrt(pivot);
  return diagonal > 0 && pivot > relTol * diagonal && pivot < Infinity;
}

/** One inner unknown's entries in the border, four at a time: sums that do not wait for each other. */
function factorEdge(pattern: ArrowPattern, entries: Float64Array, factor: Float64Array, i: number): void {
  const { rowStart, rowColumn, stride, edgeAt, diagonalAt } = pattern;
  const from = rowStart[i] ?? 0;
  const to = rowStart[i + 1] ?? 0;
  const scale = 1 / (factor[diagonalAt + i] ?? 0);
  for (let p = edgeAt + i * stride, end = p + stride, q = edgeAt; p < end; p += 4, q += 4) {
    let a = entries[p] ?? 0;
    let b = entries[p + 1] ?? 0;
    let c = entries[p + 2] ?? 0;
    let d = entries[p + 3] ?? 0;
    for (let t = from; t < to; t++) {
      const known = factor[t] ?? 0;
      const at = q + (rowColumn[t] ?? 0) * stride;
      a -= known * (factor[at] ?? 0);
      b -= known * (factor[at + 1] ?? 0);
      c -= known * (factor[at + 2] ?? 0);
      d -= known * (factor[at + 3] ?? 0);
    }
    factor[p] = a * scale;
    factor[p + 1] = b * scale;
    factor[p + 2] = c * scale;
    factor[p + 3] = d * scale;
  }
}

/** The border's matrix less what the inner unknowns explain of it, in tiles of four by two. */
function condenseCorner(pattern: ArrowPattern, entries: Float64Array, factor: Float64Array): void {
  const { inner, stride, edgeAt, cornerAt } = pattern;
  for (let p = 0; p < stride; p += 4) {
    for (let q = 0; q <= p + 2; q += 2) {
      let a0 = 0;
      let a1 = 0;
      let b0 = 0;
      let b1 = 0;
      let c0 = 0;
      let c1 = 0;
      let d0 = 0;
      let d1 = 0;
      for (let j = 0, at = edgeAt; j < inner; j++, at += stride) {
        const left = factor[at + q] ?? 0;
        const right = factor[at + q + 1] ?? 0;
        const a = factor[at + p] ?? 0;
        const b = factor[at + p + 1] ?? 0;
        const c = factor[at + p + 2] ?? 0;
        const d = factor[at + p + 3] ?? 0;
        a0 += a * left;
        a1 += a * right;
        b0 += b * left;
        b1 += b * right;
        c0 += c * left;
        c1 += c * right;
        d0 += d * left;
        d1 += d * right;
      }
      writeLess(entries, factor, cornerAt + p * stride + q, a0, a1);
      writeLess(entries, factor, cornerAt + (p + 1) * stride + q, b0, b1);
      writeLess(entries, factor, cornerAt + (p + 2) * stride + q, c0, c1);
      writeLess(entries, factor, cornerAt + (p + 3) * stride + q, d0, d1);
    }
  }
}

function writeLess(entries: Float64Array, factor: Float64Array, at: number, first: number, second: number): void {
  factor[at] = (entries[at] ?? 0) - first;
  factor[at + 1] = (entries[at + 1] ?? 0) - second;
}

/** Dense Cholesky factorisation in place of what is left of the border; pivots are judged against the whole matrix's diagonal. */
function factorCorner(entries: Float64Array, factor: Float64Array, cornerAt: number, stride: number, border: number, relTol: number): boolean {
  for (let p = 0; p < border; p++) {
    const row = cornerAt + p * stride;
    let explained = 0;
    for (let q = 0; q < p; q++) {
      const other = cornerAt + q * stride;
      let value = factor[row + q] ?? 0;
      for (let k = 0; k < q; k++) value -= (factor[row + k] ?? 0) * (factor[other + k] ?? 0);
      value /= factor[other + q] ?? 0;
      factor[row + q] = value;
      explained += value * value;
    }
    const diagonal = entries[row + p] ?? 0;
    if (!takeRoot(factor, row + p, diagonal, explained + diagonal - (factor[row + p] ?? 0), relTol)) return false;
  }
  return true;
}

/**
 * Solves A x = rhs.
 * @param rhs one number for each unknown; not changed
 * @throws {RangeError} a right side of another length
 */
export function solveArrow(factor: ArrowFactor, rhs: Float64Array): Float64Array {
  const x = placed(factor, rhs);
  solveForward(factor, x);
  solveBackward(factor, x);
  return unplaced(factor, x);
}

/** Logarithm of the determinant of A. */
export function logDeterminant({ pattern, entries }: ArrowFactor): number {
  let sum = 0;
  for (let i = 0; i < pattern.inner; i++) sum += Math.log(entries[pattern.diagonalAt + i] ?? 0);
  for (let p = 0; p < pattern.border; p++) sum += Math.log(entries[pattern.cornerAt + p * (pattern.stride + 1)] ?? 0);
  return 2 * sum;
}

/**
 * Variance of a row of unknowns whose covariance is the inverse of A: row A^-1 row'.
 * A sum of squares, so that it keeps its digits where the entries of the inverse are far larger (heights over a loose datum).
 * @throws {RangeError} an index outside the matrix; the row need not lie in the pattern
 */
export function rowVariance(factor: ArrowFactor, row: SparseRow): number {
  checkSparseRow(factor.pattern.shape, row);
  const y = new Float64Array(factor.pattern.place.length);
  for (const [k, unknown] of row.index.entries()) {
    const at = factor.pattern.place[unknown] ?? 0;
    y[at] = (y[at] ?? 0) + (row.coefficient[k] ?? 0);
  }
  solveForward(factor, y);
  return smallDot(y, y);
}

/**
 * One draw from the normal distribution with mean 0 whose covariance is the inverse of A: the solution of L' x = normals.
 * @param normals independent standard normal numbers, one for each unknown; not changed
 * @throws {RangeError} another number of them
 */
export function drawFrom(factor: ArrowFactor, normals: Float64Array): Float64Array {
  const x = placed(factor, normals);
  solveBackward(factor, x);
  return unplaced(factor, x);
}

function placed({ pattern }: ArrowFactor, vector: Float64Array): Float64Array {
  const { place } = pattern;
  if (vector.length !== place.length) throw new RangeError(`Cannot solve: expected ${place.length} numbers, one for each unknown, got ${vector.length}`);
  const x = new Float64Array(place.length);
  for (let unknown = 0; unknown < place.length; unknown++) x[place[unknown] ?? 0] = vector[unknown] ?? 0;
  return x;
}

function unplaced({ pattern }: ArrowFactor, x: Float64Array): Float64Array {
  const vector = new Float64Array(x.length);
  for (let unknown = 0; unknown < x.length; unknown++) vector[unknown] = x[pattern.place[unknown] ?? 0] ?? 0;
  return vector;
}

/** L x = x in place, by places; leading zeros are passed over. */
export function solveForward({ pattern, entries }: ArrowFactor, x: Float64Array): void {
  const { inner, border, stride, rowStart, rowColumn, diagonalAt, edgeAt, cornerAt } = pattern;
  let first = 0;
  while (first < inner && x[first] === 0) first++;
  for (let i = first; i < inner; i++) {
    let value = x[i] ?? 0;
    const end = rowStart[i + 1] ?? 0;
    for (let t = rowStart[i] ?? 0; t < end; t++) value -= (entries[t] ?? 0) * (x[rowColumn[t] ?? 0] ?? 0);
    value /= entries[diagonalAt + i] ?? 0;
    x[i] = value;
    if (value === 0) continue;
    const edge = edgeAt + i * stride;
    for (let p = 0; p < border; p++) x[inner + p] = (x[inner + p] ?? 0) - value * (entries[edge + p] ?? 0);
  }
  for (let p = 0; p < border; p++) {
    let value = x[inner + p] ?? 0;
    const row = cornerAt + p * stride;
    for (let q = 0; q < p; q++) value -= (entries[row + q] ?? 0) * (x[inner + q] ?? 0);
    x[inner + p] = value / (entries[row + p] ?? 0);
  }
}

/** L' x = x in place, by places. */
export function solveBackward({ pattern, entries }: ArrowFactor, x: Float64Array): void {
  const { inner, border, stride, rowStart, rowColumn, diagonalAt, edgeAt, cornerAt } = pattern;
  for (let p = border - 1; p >= 0; p--) {
    const row = cornerAt + p * stride;
    const value = (x[inner + p] ?? 0) / (entries[row + p] ?? 0);
    x[inner + p] = value;
    for (let q = 0; q < p; q++) x[inner + q] = (x[inner + q] ?? 0) - value * (entries[row + q] ?? 0);
  }
  for (let i = inner - 1; i >= 0; i--) {
    let value = x[i] ?? 0;
    const edge = edgeAt + i * stride;
    for (let p = 0; p < border; p++) value -= (entries[edge + p] ?? 0) * (x[inner + p] ?? 0);
    value /= entries[diagonalAt + i] ?? 0;
    x[i] = value;
    const end = rowStart[i + 1] ?? 0;
    for (let t = rowStart[i] ?? 0; t < end; t++) {
      const j = rowColumn[t] ?? 0;
      x[j] = (x[j] ?? 0) - value * (entries[t] ?? 0);
    }
  }
}
