import { crossProduct } from "./blocks.js";
import { smallDot } from "./smallSpd.js";
import { checkSparseRow, eachLaterColumn } from "./arrowPattern.js";
import type { ArrowPattern, SparseRow } from "./arrowPattern.js";

/** Lower triangle L with L L' = A, its entries in the same pattern as those of A. */
export type ArrowFactor = {
  readonly pattern: ArrowPattern;
  readonly entries: Float64Array;
  /** Entries of A^-1 inside the pattern, where they are known already. */
  readonly inverse?: Float64Array;
};

/**
 * Cholesky factor of a symmetric positive definite matrix.
 * @param entries the matrix, as filled by `addOuter`; not changed
 * @param relTol smallest pivot against its diagonal entry; below the default no more than two or three digits of the unknown would be left
 * @param into where the factor is written; a new array if absent
 * @returns the factor, or `undefined` if the matrix is not positive definite within the tolerance (or holds a number that is not finite)
 * @source sparse Cholesky factorisation block by block, each taken from the later ones as soon as it is factored: T. A. Davis, Direct Methods for Sparse Linear Systems, 2006 (from memory); checks against a dense library in tests/survey/linear/
 */
export function factorArrow(pattern: ArrowPattern, entries: Float64Array, relTol = 1e-13, into: Float64Array = new Float64Array(pattern.entries)): ArrowFactor | undefined {
  const { first, panelAt, tallest } = pattern;
  const product = roomFor(tallest * tallest);
  into.set(entries);
  for (let block = 0; block + 1 < first.length; block++) {
    const width = (first[block + 1] ?? 0) - (first[block] ?? 0);
    const height = heightOf(pattern, block);
    const at = panelAt[block] ?? 0;
    if (!factorPanel(entries, into, at, width, height, relTol)) return undefined;
    const below = height - width;
    const rows = { of: into, at: at + width, row: height, column: 1 };
    crossProduct({ terms: width, rows: below, columns: below, lower: true }, rows, rows, { of: product, at: 0, height: below });
    takeFromLater(pattern, into, product, block, below);
  }
  return { pattern, entries: into };
}

/** Rows in the columns of a block: its own, and those it fills below. */
export function heightOf({ first, rowStart }: ArrowPattern, block: number): number {
  return (first[block + 1] ?? 0) - (first[block] ?? 0) + (rowStart[block + 1] ?? 0) - (rowStart[block] ?? 0);
}

let room = new Float64Array(0);

/** Room for one block's work, used again and again. */
function roomFor(size: number): Float64Array {
  if (room.length < size) room = new Float64Array(size);
  return room;
}

/** Columns of one block, each less what those before it explain, by two of them at a time. */
function factorPanel(matrix: Float64Array, panel: Float64Array, at: number, width: number, height: number, relTol: number): boolean {
  for (let j = 0, column = at; j < width; j++, column += height) {
    let c = 0;
    let known = at;
    for (; c + 1 < j; c += 2, known += 2 * height) {
      const beside = known + height;
      const f = panel[known + j] ?? 0;
      const g = panel[beside + j] ?? 0;
      for (let i = j; i < height; i++) panel[column + i] = (panel[column + i] ?? 0) - f * (panel[known + i] ?? 0) - g * (panel[beside + i] ?? 0);
    }
    if (c < j) {
      const f = panel[known + j] ?? 0;
      for (let i = j; i < height; i++) panel[column + i] = (panel[column + i] ?? 0) - f * (panel[known + i] ?? 0);
    }
    const pivot = panel[column + j] ?? 0;
    const diagonal = matrix[column + j] ?? 0;
    if (!(diagonal > 0 && pivot > relTol * diagonal && pivot < Infinity)) return false;
    const root = Math.sqrt(pivot);
    const scale = 1 / root;
    panel[column + j] = root;
    for (let i = j + 1; i < height; i++) panel[column + i] = (panel[column + i] ?? 0) * scale;
  }
  return true;
}

/** Takes a block's product with itself from the later blocks that its rows belong to. */
function takeFromLater(pattern: ArrowPattern, into: Float64Array, product: Float64Array, block: number, below: number): void {
  const { runRow } = pattern;
  eachLaterColumn(pattern, block, (c, column, rows) => {
    for (let i = c, source = c * below; i < below; i++) {
      const at = column + (runRow[rows + i] ?? 0);
      into[at] = (into[at] ?? 0) - (product[source + i] ?? 0);
    }
  });
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
  const { first, panelAt } = pattern;
  let sum = 0;
  for (let block = 0; block + 1 < first.length; block++) {
    const width = (first[block + 1] ?? 0) - (first[block] ?? 0);
    const height = heightOf(pattern, block);
    for (let c = 0, at = panelAt[block] ?? 0; c < width; c++, at += height + 1) sum += Math.log(entries[at] ?? 0);
  }
  return 2 * sum;
}

/**
 * Variance of a row of unknowns whose covariance is the inverse of A: row A^-1 row'.
 * A sum of squares, so that it keeps its digits where the entries of the inverse are far larger (heights over a loose datum).
 * @throws {RangeError} an index outside the matrix; the row need not lie in the pattern
 */
export function rowVariance(factor: ArrowFactor, row: SparseRow): number {
  const half = halfSolved(factor, row);
  return smallDot(half, half);
}

/**
 * Covariances of rows of unknowns with each other, as `rowVariance`: flat, row-major.
 * @throws {RangeError} an index outside the matrix
 */
export function rowCovariances(factor: ArrowFactor, rows: readonly SparseRow[]): Float64Array {
  const halves = rows.map((row) => halfSolved(factor, row));
  const covariances = new Float64Array(rows.length * rows.length);
  for (const [i, half] of halves.entries()) {
    for (let j = 0; j <= i; j++) {
      covariances[i * rows.length + j] = smallDot(half, halves[j] ?? half);
      covariances[j * rows.length + i] = covariances[i * rows.length + j] ?? 0;
    }
  }
  return covariances;
}

/** L^-1 row', by places. */
function halfSolved(factor: ArrowFactor, row: SparseRow): Float64Array {
  checkSparseRow(factor.pattern.shape, row);
  const half = new Float64Array(factor.pattern.place.length);
  for (const [k, unknown] of row.index.entries()) {
    const at = factor.pattern.place[unknown] ?? 0;
    half[at] = (half[at] ?? 0) + (row.coefficient[k] ?? 0);
  }
  solveForward(factor, half);
  return half;
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

/** L x = x in place, by places; zeros are passed over. */
export function solveForward({ pattern, entries }: ArrowFactor, x: Float64Array): void {
  const { first, rowStart, rowPlace, panelAt } = pattern;
  for (let block = 0; block + 1 < first.length; block++) {
    const from = first[block] ?? 0;
    const width = (first[block + 1] ?? 0) - from;
    const rows = (rowStart[block] ?? 0) - width;
    const height = heightOf(pattern, block);
    for (let c = 0, column = panelAt[block] ?? 0; c < width; c++, column += height) {
      const own = x[from + c] ?? 0;
      if (own === 0) continue;
      const value = own / (entries[column + c] ?? 0);
      x[from + c] = value;
      for (let i = c + 1; i < width; i++) x[from + i] = (x[from + i] ?? 0) - value * (entries[column + i] ?? 0);
      for (let i = width; i < height; i++) {
        const at = rowPlace[rows + i] ?? 0;
        x[at] = (x[at] ?? 0) - value * (entries[column + i] ?? 0);
      }
    }
  }
}

/** L' x = x in place, by places. */
export function solveBackward({ pattern, entries }: ArrowFactor, x: Float64Array): void {
  const { first, rowStart, rowPlace, panelAt } = pattern;
  for (let block = first.length - 2; block >= 0; block--) {
    const from = first[block] ?? 0;
    const width = (first[block + 1] ?? 0) - from;
    const rows = (rowStart[block] ?? 0) - width;
    const height = heightOf(pattern, block);
    for (let c = width - 1; c >= 0; c--) {
      const column = (panelAt[block] ?? 0) + c * height;
      let value = x[from + c] ?? 0;
      for (let i = c + 1; i < width; i++) value -= (entries[column + i] ?? 0) * (x[from + i] ?? 0);
      for (let i = width; i < height; i++) value -= (entries[column + i] ?? 0) * (x[rowPlace[rows + i] ?? 0] ?? 0);
      x[from + c] = value / (entries[column + c] ?? 0);
    }
  }
}
