import { bandEntry, pivotAt, rowVariance, type ArrowFactor } from "./arrowFactor.js";
import { checkSparseRow, type ArrowShape, type SparseRow } from "./arrowMatrix.js";
import { addScaled, dot } from "./vectors.js";

/** Entries of the inverse of A inside the pattern of A. */
type SelectedInverse = ArrowShape & {
  /** Rows of 2 bandwidth + 1 entries, the middle one on the diagonal. */
  readonly band: Float64Array;
  readonly edge: Float64Array;
  readonly corner: Float64Array;
};

/** Of a variance that is smaller than this share of the terms it is made of, too few digits are left. */
const CANCELLED = 1e-5;

/**
 * Variances of many rows of unknowns whose covariance is the inverse of A, each row inside the pattern of A.
 * One pass over the factor for all rows; a row whose terms cancel is done by `rowVariance` instead.
 * @throws {RangeError} a row that does not fit into the pattern, as `addOuter` does
 * @source K. Takahashi, J. Fagan, M.-S. Chen, Formation of a sparse bus impedance matrix, 1973: L' Z = L^-1 solved from the last unknown to the first
 */
export function rowVariances(factor: ArrowFactor, rows: readonly SparseRow[]): Float64Array {
  const inverse = selectedInverse(factor);
  return Float64Array.from(rows, (row) => {
    checkSparseRow(factor, row);
    const { sum, size } = quadraticForm(inverse, row);
    return sum > CANCELLED * size || size === 0 ? sum : rowVariance(factor, row);
  });
}

function quadraticForm(inverse: SelectedInverse, row: SparseRow): { sum: number; size: number } {
  const { index, coefficient } = row;
  let sum = 0;
  let size = 0;
  for (let a = 0; a < index.length; a++) {
    for (let b = 0; b < index.length; b++) {
      const term = (coefficient[a] ?? 0) * (coefficient[b] ?? 0) * inverseEntry(inverse, index[a] ?? 0, index[b] ?? 0);
      sum += term;
      size += Math.abs(term);
    }
  }
  return { sum, size };
}

function inverseEntry(inverse: SelectedInverse, a: number, b: number): number {
  const [i, j] = a >= b ? [a, b] : [b, a];
  const { banded, border } = inverse;
  if (i < banded) return inverse.band[bandStart(inverse, i) + j] ?? 0;
  return (j < banded ? inverse.edge[(i - banded) * banded + j] : inverse.corner[(i - banded) * border + j - banded]) ?? 0;
}

/** Where entry (i, 0) of a full band row would stand. */
function bandStart(inverse: ArrowShape, i: number): number {
  return i * (2 * inverse.bandwidth) + inverse.bandwidth;
}

function selectedInverse(factor: ArrowFactor): SelectedInverse {
  const { banded, bandwidth, border } = factor;
  const inverse: SelectedInverse = {
    banded, bandwidth, border,
    band: new Float64Array(banded * (2 * bandwidth + 1)), edge: new Float64Array(border * banded), corner: new Float64Array(border * border),
  };
  for (let p = border - 1; p >= 0; p--) fillCorner(factor, inverse, p);
  for (let i = banded - 1; i >= 0; i--) fillBand(factor, inverse, i);
  return inverse;
}

function fillCorner(factor: ArrowFactor, inverse: SelectedInverse, p: number): void {
  const { border, corner } = factor;
  const after = border - p - 1;
  const column = new Float64Array(after);
  for (let k = 0; k < after; k++) column[k] = corner[(p + 1 + k) * border + p] ?? 0;
  const pivot = pivotAt(factor, factor.banded + p);
  for (let q = border - 1; q >= p; q--) {
    const known = q === p ? 1 / pivot : 0;
    const value = (known - dot(column, 0, inverse.corner, q * border + p + 1, after)) / pivot;
    inverse.corner[q * border + p] = value;
    inverse.corner[p * border + q] = value;
  }
}

function fillBand(factor: ArrowFactor, inverse: SelectedInverse, i: number): void {
  const { banded, bandwidth, border } = factor;
  const after = Math.min(bandwidth, banded - 1 - i);
  const column = new Float64Array(after);
  for (let k = 0; k < after; k++) column[k] = bandEntry(factor, i + 1 + k, i);
  const below = new Float64Array(border);
  for (let p = 0; p < border; p++) below[p] = factor.edge[p * banded + i] ?? 0;
  const pivot = pivotAt(factor, i);
  const alongside = new Float64Array(border);
  for (let p = 0; p < border; p++) {
    const sum = dot(column, 0, inverse.edge, p * banded + i + 1, after) + dot(below, 0, inverse.corner, p * border, border);
    alongside[p] = -sum / pivot;
  }
  const beside = new Float64Array(after);
  for (let k = 0; k < after; k++) beside[k] = -dot(column, 0, inverse.band, bandStart(inverse, i + 1 + k) + i + 1, after) / pivot;
  for (let p = 0; p < border; p++) addScaled(-(below[p] ?? 0) / pivot, inverse.edge, p * banded + i + 1, beside, 0, after);
  const diagonal = (1 / pivot - dot(column, 0, beside, 0, after) - dot(below, 0, alongside, 0, border)) / pivot;
  store(inverse, i, diagonal, beside, alongside);
}

function store(inverse: SelectedInverse, i: number, diagonal: number, beside: Float64Array, alongside: Float64Array): void {
  inverse.band[bandStart(inverse, i) + i] = diagonal;
  for (const [k, value] of beside.entries()) {
    inverse.band[bandStart(inverse, i) + i + 1 + k] = value;
    inverse.band[bandStart(inverse, i + 1 + k) + i] = value;
  }
  for (const [p, value] of alongside.entries()) inverse.edge[p * inverse.banded + i] = value;
}
