import { checkSparseRow } from "./arrowPattern.js";
import type { ArrowPattern, SparseRow } from "./arrowPattern.js";
import { entriesOf, factorise, matrixRoom, solveInPlace } from "./kernels.js";
import type { FactorEntries, Standing } from "./kernels.js";
import { smallDot } from "./smallSpd.js";

/** Lower triangle L with L L' = A, its entries in the same pattern as those of A. */
export type ArrowFactor = {
  readonly pattern: ArrowPattern;
  readonly entries: Float64Array;
  /** Entries of A^-1 inside the pattern, where they are known already. */
  readonly inverse?: Float64Array;
};

/** A factor that was made where the kernels work, and stands there until the next one is: nothing has been copied, and what is asked of it later is refused. */
export type StandingFactor = { readonly pattern: ArrowPattern; readonly entries: Standing };

/** Smallest pivot against its diagonal entry: below it no more than two or three digits of the unknown would be left. */
const LEAST_PIVOT = 1e-13;

/**
 * Cholesky factor of a symmetric positive definite matrix.
 * @param entries the matrix, as filled by `addOuter`; not changed
 * @param relTol smallest pivot against its diagonal entry
 * @returns the factor, or `undefined` if the matrix is not positive definite within the tolerance (or holds a number that is not finite)
 * @source sparse Cholesky factorisation block by block, each taken from the later ones as soon as it is factored: T. A. Davis, Direct Methods for Sparse Linear Systems, 2006 (from memory); checks against a dense library in tests/survey/linear/
 */
export function factorArrow(pattern: ArrowPattern, entries: Float64Array, relTol: number = LEAST_PIVOT): ArrowFactor | undefined {
  const standing = standingFactor(pattern, (matrix) => matrix.set(entries), relTol);
  return standing === undefined ? undefined : { pattern, entries: entriesOf(pattern, standing.entries, "factor").slice() };
}

/** The same of a matrix that is written where it is factored. @param write fills in all entries */
export function standingFactor(pattern: ArrowPattern, write: (matrix: Float64Array) => void, relTol: number = LEAST_PIVOT): StandingFactor | undefined {
  write(matrixRoom(pattern));
  const entries = factorise(relTol);
  return entries === undefined ? undefined : { pattern, entries };
}

/** The same factor, and the inverse, to keep. @throws {Error} a factor that stands no longer */
export function keptFactor({ pattern, entries }: StandingFactor): ArrowFactor & { readonly inverse: Float64Array } {
  return { pattern, inverse: entriesOf(pattern, entries, "inverse").slice(), entries: entriesOf(pattern, entries, "factor").slice() };
}

/**
 * Solves A x = rhs.
 * @param rhs one number for each unknown; not changed
 * @throws {RangeError} a right side of another length
 */
export function solveArrow(factor: ArrowFactor, rhs: Float64Array): Float64Array {
  const x = placed(factor, rhs);
  solveInPlace(factor.pattern, factor.entries, [x], "both");
  return unplaced(factor, x);
}

/** Solves A x = rhs in place, right sides and solutions by places. @throws {Error} a factor that stands no longer */
export function solvePlaced({ pattern, entries }: ArrowFactor | StandingFactor, columns: readonly Float64Array[]): void {
  solveInPlace(pattern, entries, columns, "both");
}

/** Entries of A^-1 inside the pattern of A, at the same positions as those of A; good until another is asked for, or another factor is made. @throws {Error} a factor that stands no longer */
export function inverseEntries({ pattern, entries }: ArrowFactor | StandingFactor): Float64Array {
  return entriesOf(pattern, entries, "inverse");
}

/** Logarithm of the determinant of A. @throws {Error} a factor that stands no longer */
export function logDeterminant({ pattern, entries: kept }: ArrowFactor | StandingFactor): number {
  const { first, panelAt, rowStart } = pattern;
  const entries = kept instanceof Float64Array ? kept : entriesOf(pattern, kept, "factor");
  let sum = 0;
  for (let block = 0; block + 1 < first.length; block++) {
    const width = (first[block + 1] ?? 0) - (first[block] ?? 0);
    const height = width + (rowStart[block + 1] ?? 0) - (rowStart[block] ?? 0);
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
  const [variance = NaN] = rowCovariances(factor, [row]);
  return variance;
}

/**
 * Covariances of rows of unknowns with each other, as `rowVariance`: flat, row-major.
 * @throws {RangeError} an index outside the matrix
 */
export function rowCovariances(factor: ArrowFactor | StandingFactor, rows: readonly SparseRow[]): Float64Array {
  const halves = halfSolved(factor, rows);
  const covariances = new Float64Array(rows.length * rows.length);
  for (const [i, half] of halves.entries()) {
    for (let j = 0; j <= i; j++) {
      covariances[i * rows.length + j] = smallDot(half, halves[j] ?? half);
      covariances[j * rows.length + i] = covariances[i * rows.length + j] ?? 0;
    }
  }
  return covariances;
}

/** L^-1 row' of each row, by places. */
function halfSolved({ pattern, entries }: { readonly pattern: ArrowPattern; readonly entries: FactorEntries }, rows: readonly SparseRow[]): readonly Float64Array[] {
  const halves = rows.map((row) => {
    checkSparseRow(pattern.shape, row);
    const half = new Float64Array(pattern.place.length);
    for (const [k, unknown] of row.index.entries()) {
      const at = pattern.place[unknown] ?? 0;
      half[at] = (half[at] ?? 0) + (row.coefficient[k] ?? 0);
    }
    return half;
  });
  solveInPlace(pattern, entries, halves, "forward");
  return halves;
}

/**
 * One draw from the normal distribution with mean 0 whose covariance is the inverse of A: the solution of L' x = normals.
 * @param normals independent standard normal numbers, one for each unknown; not changed
 * @throws {RangeError} another number of them
 */
export function drawFrom(factor: ArrowFactor, normals: Float64Array): Float64Array {
  const x = placed(factor, normals);
  solveInPlace(factor.pattern, factor.entries, [x], "backward");
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
