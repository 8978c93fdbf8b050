import { takeProducts } from "./blocks.js";
import type { Columns } from "./blocks.js";
import { smallDot } from "./smallSpd.js";
import { checkSparseRow } from "./arrowPattern.js";
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
  const { first, panelAt } = pattern;
  into.set(entries);
  for (let block = 0; block + 1 < first.length; block++) {
    const width = (first[block + 1] ?? 0) - (first[block] ?? 0);
    const height = heightOf(pattern, block);
    const at = panelAt[block] ?? 0;
    if (!factorPanel(entries, into, at, width, height, relTol)) return undefined;
    if (width === 1) takeColumnFromLater(pattern, into, block, at + 1, height - 1);
    else takeFromLater(pattern, block, { of: into, at: at + width, apart: height }, width, height - width);
  }
  return { pattern, entries: into };
}

/** Rows in the columns of a block: its own, and those it fills below. */
export function heightOf({ first, rowStart }: ArrowPattern, block: number): number {
  return (first[block + 1] ?? 0) - (first[block] ?? 0) + (rowStart[block + 1] ?? 0) - (rowStart[block] ?? 0);
}

/** Columns of one block, each less what those before it explain: three by three, what all threes before explain being taken at once. */
function factorPanel(matrix: Float64Array, panel: Float64Array, at: number, width: number, height: number, relTol: number): boolean {
  const columns = { of: panel, at, apart: height };
  const standing = { rows: inOrder(height), from: 0 };
  for (let begin = 0; begin < width; begin += TOGETHER) {
    const end = Math.min(begin + TOGETHER, width);
    if (begin > 0) takeProducts(columns, begin, begin, end, height, columns, standing);
    for (let j = begin; j < end; j++) {
      const column = at + j * height;
      for (let known = at + begin * height; known < column; known += height) {
        const f = panel[known + j] ?? 0;
        for (let i = j; i < height; i++) panel[column + i] = (panel[column + i] ?? 0) - f * (panel[known + i] ?? 0);
      }
      if (!scaled(matrix[column + j] ?? 0, panel, column, j, height, relTol)) return false;
    }
  }
  return true;
}

const TOGETHER = 3;

/** Makes a column one of the factor; false where its pivot is no positive number, or too small. */
function scaled(diagonal: number, panel: Float64Array, column: number, j: number, height: number, relTol: number): boolean {
  const pivot = panel[column + j] ?? 0;
  if (!(diagonal > 0 && pivot > relTol * diagonal && pivot < Infinity)) return false;
  const root = Math.sqrt(pivot);
  const scale = 1 / root;
  panel[column + j] = root;
  for (let i = j + 1; i < height; i++) panel[column + i] = (panel[column + i] ?? 0) * scale;
  return true;
}

let order = new Int32Array(0);

/** 0, 1, 2, ... for at least so many rows. */
function inOrder(rows: number): Int32Array {
  if (order.length < rows) order = Int32Array.from({ length: rows }, (_, row) => row);
  return order;
}

/** Takes a block's product with itself from the later blocks that its rows belong to. */
function takeFromLater({ runStart, runFrom, runTo, runAt, runHeight, runRowStart, runRow }: ArrowPattern, block: number, columns: Columns, width: number, below: number): void {
  for (let run = runStart[block] ?? 0; run < (runStart[block + 1] ?? 0); run++) {
    const begin = runFrom[run] ?? 0;
    takeProducts(columns, width, begin, runTo[run] ?? 0, below, { at: runAt[run] ?? 0, apart: runHeight[run] ?? 0 }, { rows: runRow, from: (runRowStart[run] ?? 0) - begin });
  }
}

/** The same for a block of one column, of which there are as many as readings on the wood. */
function takeColumnFromLater({ runStart, runFrom, runTo, runAt, runHeight, runRowStart, runRow }: ArrowPattern, of: Float64Array, block: number, at: number, below: number): void {
  for (let run = runStart[block] ?? 0; run < (runStart[block + 1] ?? 0); run++) {
    const begin = runFrom[run] ?? 0;
    const rows = (runRowStart[run] ?? 0) - begin;
    for (let c = begin; c < (runTo[run] ?? 0); c++) {
      const column = (runAt[run] ?? 0) + (runRow[rows + c] ?? 0) * (runHeight[run] ?? 0);
      const factor = of[at + c] ?? 0;
      for (let i = c; i < below; i++) {
        const entry = column + (runRow[rows + i] ?? 0);
        of[entry] = (of[entry] ?? 0) - factor * (of[at + i] ?? 0);
      }
    }
  }
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

/** L x = x in place, by places; blocks with nothing but zeros are passed over. */
export function solveForward({ pattern, entries }: ArrowFactor, x: Float64Array): void {
  const { first, rowStart, rowPlace, panelAt, tallest } = pattern;
  const taken = roomFor(tallest);
  for (let block = 0; block + 1 < first.length; block++) {
    const from = first[block] ?? 0;
    const to = first[block + 1] ?? 0;
    if (isZero(x, from, to)) continue;
    const rows = rowStart[block] ?? 0;
    const below = (rowStart[block + 1] ?? 0) - rows;
    taken.fill(0, 0, below);
    // counted so that a row's place in the block leads to its entry in the column
    for (let own = from, column = (panelAt[block] ?? 0) - from; own < to; own++, column += to - from + below) {
      const value = (x[own] ?? 0) / (entries[column + own] ?? 0);
      x[own] = value;
      for (let i = own + 1; i < to; i++) x[i] = (x[i] ?? 0) - value * (entries[column + i] ?? 0);
      for (let i = 0; i < below; i++) taken[i] = (taken[i] ?? 0) + value * (entries[column + to + i] ?? 0);
    }
    for (let i = 0; i < below; i++) {
      const at = rowPlace[rows + i] ?? 0;
      x[at] = (x[at] ?? 0) - (taken[i] ?? 0);
    }
  }
}

function isZero(x: Float64Array, from: number, to: number): boolean {
  for (let at = from; at < to; at++) if (x[at] !== 0) return false;
  return true;
}

/** L' x = x in place, by places. */
export function solveBackward({ pattern, entries }: ArrowFactor, x: Float64Array): void {
  const { first, rowStart, rowPlace, panelAt, tallest } = pattern;
  const known = roomFor(tallest);
  for (let block = first.length - 2; block >= 0; block--) {
    const from = first[block] ?? 0;
    const to = first[block + 1] ?? 0;
    const rows = rowStart[block] ?? 0;
    const below = (rowStart[block + 1] ?? 0) - rows;
    const height = to - from + below;
    for (let i = 0; i < below; i++) known[i] = x[rowPlace[rows + i] ?? 0] ?? 0;
    for (let own = to - 1, column = (panelAt[block] ?? 0) + (to - 1 - from) * height - from; own >= from; own--, column -= height) {
      let value = x[own] ?? 0;
      for (let i = own + 1; i < to; i++) value -= (entries[column + i] ?? 0) * (x[i] ?? 0);
      for (let i = 0; i < below; i++) value -= (entries[column + to + i] ?? 0) * (known[i] ?? 0);
      x[own] = value / (entries[column + own] ?? 0);
    }
  }
}

let room = new Float64Array(0);

/** Room for the rows below one block, used again and again. */
function roomFor(rows: number): Float64Array {
  if (room.length < rows) room = new Float64Array(rows);
  return room;
}
