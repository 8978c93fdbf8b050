/** Size of an arrow matrix: a banded block of `banded` unknowns whose neighbours lie within `bandwidth`, then `border` unknowns that may touch every other. */
export type ArrowShape = { readonly banded: number; readonly bandwidth: number; readonly border: number };

/**
 * Symmetric matrix [[B, C'], [C, D]], B banded, C and D dense; only what lies on and below the diagonal is kept.
 * The arrays are an accumulator: `addOuter` writes into them.
 */
export type ArrowMatrix = ArrowShape & {
  /** B by rows of bandwidth + 1 entries, the last of each on the diagonal. */
  readonly band: Float64Array;
  /** C by rows of `banded` entries. */
  readonly edge: Float64Array;
  /** D by rows of `border` entries. */
  readonly corner: Float64Array;
};

/** A row of coefficients that are zero except at `index`; in any order, an index that comes twice counts twice. */
export type SparseRow = { readonly index: readonly number[]; readonly coefficient: readonly number[] };

/**
 * An arrow matrix of zeros.
 * @throws {RangeError} a size that is not a whole number of 0 or more
 */
export function arrowMatrix(shape: ArrowShape): ArrowMatrix {
  for (const [name, size] of [["banded", shape.banded], ["bandwidth", shape.bandwidth], ["border", shape.border]] as const) {
    if (!Number.isInteger(size) || size < 0) throw new RangeError(`Cannot make a matrix: expected ${name} to be a whole number of 0 or more, got ${size}`);
  }
  const { banded, bandwidth, border } = shape;
  return {
    banded, bandwidth, border,
    band: new Float64Array(banded * (bandwidth + 1)), edge: new Float64Array(border * banded), corner: new Float64Array(border * border),
  };
}

/** A copy that can be added to without changing the first. */
export function copyArrow(matrix: ArrowMatrix): ArrowMatrix {
  return { ...matrix, band: matrix.band.slice(), edge: matrix.edge.slice(), corner: matrix.corner.slice() };
}

/**
 * Adds weight times row' row to the matrix.
 * @param row unknowns 0..banded - 1 lie in the band, banded..banded + border - 1 in the border
 * @param weight precision of an observation of this row; negative takes it away again
 * @throws {RangeError} an index outside the matrix, banded unknowns farther apart than the bandwidth, or lists of unlike length; the matrix is then unchanged
 */
export function addOuter(matrix: ArrowMatrix, row: SparseRow, weight: number): void {
  checkSparseRow(matrix, row);
  const { index, coefficient } = row;
  for (let a = 0; a < index.length; a++) {
    const scaled = weight * (coefficient[a] ?? 0);
    for (let b = 0; b < index.length; b++) addEntry(matrix, index[a] ?? 0, index[b] ?? 0, scaled * (coefficient[b] ?? 0));
  }
}

function addEntry(matrix: ArrowMatrix, i: number, j: number, value: number): void {
  if (j > i) return;
  const { banded, bandwidth, border } = matrix;
  if (i < banded) addAt(matrix.band, i * (bandwidth + 1) + bandwidth - (i - j), value);
  else if (j < banded) addAt(matrix.edge, (i - banded) * banded + j, value);
  else addAt(matrix.corner, (i - banded) * border + (j - banded), value);
}

function addAt(array: Float64Array, place: number, value: number): void {
  array[place] = (array[place] ?? 0) + value;
}

/**
 * Checks that a row fits into the pattern of an arrow matrix.
 * @throws {RangeError} as `addOuter` does
 */
export function checkSparseRow(shape: ArrowShape, row: SparseRow): void {
  const { index, coefficient } = row;
  if (index.length !== coefficient.length) {
    throw new RangeError(`Cannot use this row: expected as many coefficients as indices, got ${coefficient.length} and ${index.length}`);
  }
  let first = shape.banded;
  let last = -1;
  for (const at of index) {
    if (!Number.isInteger(at) || at < 0 || at >= shape.banded + shape.border) {
      throw new RangeError(`Cannot use this row: expected indices in 0..${shape.banded + shape.border - 1}, got ${at}`);
    }
    if (at < shape.banded) {
      first = Math.min(first, at);
      last = Math.max(last, at);
    }
  }
  if (last - first > shape.bandwidth) {
    throw new RangeError(`Cannot use this row: expected banded unknowns within ${shape.bandwidth} of each other, got ${first} and ${last} (widen the band or move one to the border)`);
  }
}
