import { Matrix, SingularValueDecomposition } from "ml-matrix";

/** What a set of observations can say about its parameters: the space spanned by the rows of its design. */
export type RowSpace = {
  readonly rank: number;
  readonly columns: number;
  /** Length of each column, by which the space is scaled; 1 for a column of zeros. */
  readonly scale: readonly number[];
  /** Orthonormal basis of the scaled rows, `rank` vectors of `columns` numbers. */
  readonly basis: readonly (readonly number[])[];
  /** Orthonormal basis of what the rows leave free, in the same scale. */
  readonly free: readonly (readonly number[])[];
};

/** Columns are scaled to length 1 first, so that units do not decide; singular values below this share of the largest count as zero. */
export const RANK_TOLERANCE = 1e-10;

/**
 * The row space of a design, rank by singular values.
 * @param design one row per observation, one column per parameter; may have fewer rows than columns
 * @param relTol smallest singular value that counts, as a share of the largest
 * @throws {RangeError} no column, rows of unlike length, or a number that is not finite
 */
export function rowSpace(design: readonly (readonly number[])[], relTol: number = RANK_TOLERANCE): RowSpace {
  const columns = checkedColumns(design);
  const scale = columnLengths(design, columns);
  const scaled = Matrix.zeros(Math.max(design.length, columns), columns);
  for (const [i, row] of design.entries()) for (const [j, value] of row.entries()) scaled.set(i, j, value / (scale[j] ?? 1));
  const svd = new SingularValueDecomposition(scaled, { computeLeftSingularVectors: false });
  const largest = Math.max(...svd.diagonal);
  const vectors = svd.rightSingularVectors.transpose().to2DArray();
  const counts = svd.diagonal.map((value) => value > relTol * largest);
  return {
    rank: counts.filter(Boolean).length, columns, scale,
    basis: vectors.filter((_, k) => counts[k] === true), free: vectors.filter((_, k) => counts[k] !== true),
  };
}

/**
 * Whether the observations determine a linear combination of the parameters, that is, whether it lies in their row space.
 * @param functional one coefficient per parameter
 * @param relTol largest part of the functional (scaled as the space is) that may lie outside
 * @throws {RangeError} another number of coefficients than columns
 */
export function isEstimable(space: RowSpace, functional: readonly number[], relTol = 1e-7): boolean {
  if (functional.length !== space.columns) {
    throw new RangeError(`Cannot judge this combination: expected ${space.columns} coefficients, one for each parameter, got ${functional.length}`);
  }
  const scaled = functional.map((value, j) => value / (space.scale[j] ?? 1));
  const outside = space.free.map((vector) => vector.reduce((sum, value, j) => sum + value * (scaled[j] ?? 0), 0));
  return Math.hypot(...outside) <= relTol * Math.hypot(...scaled);
}

/** Parameters that the observations leave undetermined by themselves, as column indices. */
export function freeColumns(space: RowSpace, relTol = 1e-7): readonly number[] {
  return space.scale.flatMap((_, j) => (Math.hypot(...space.free.map((vector) => vector[j] ?? 0)) > relTol ? [j] : []));
}

/**
 * Number of columns of a design.
 * @throws {RangeError} no row or column, rows of unlike length, or a number that is not finite
 */
export function checkedColumns(design: readonly (readonly number[])[]): number {
  const columns = design[0]?.length ?? 0;
  if (columns === 0) throw new RangeError("Cannot use this design: expected at least one row and one column, got none");
  for (const [i, row] of design.entries()) {
    if (row.length !== columns) throw new RangeError(`Cannot use this design: expected ${columns} numbers in each row, got ${row.length} in row ${i}`);
    const odd = row.find((value) => !Number.isFinite(value));
    if (odd !== undefined) throw new RangeError(`Cannot use this design: expected finite numbers, got ${odd} in row ${i}`);
  }
  return columns;
}

/** Euclidean length of each column, 1 for a column of zeros. */
export function columnLengths(design: readonly (readonly number[])[], columns: number): readonly number[] {
  return Array.from({ length: columns }, (_, j) => {
    const length = Math.hypot(...design.map((row) => row[j] ?? 0));
    return length > 0 ? length : 1;
  });
}
