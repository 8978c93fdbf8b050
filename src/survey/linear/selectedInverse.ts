import type { ArrowFactor } from "./arrowFactor.js";
import type { ArrowPattern } from "./arrowPattern.js";

/**
 * What is needed for the covariance of any two rows r, q inside the pattern: r' B^-1 q over the inner unknowns, plus the inner
 * product of both rows' sums of `carried` vectors.
 */
export type InverseParts = {
  readonly pattern: ArrowPattern;
  /** Entries of B^-1 inside the pattern of B, at the same positions as those of B. */
  readonly inner: Float64Array;
  /** For each place `stride` numbers: how the border's uncertainty reaches the unknown. */
  readonly carried: Float64Array;
};

/** Room for the parts, to be used again and again. */
export function inverseParts(pattern: ArrowPattern): InverseParts {
  return { pattern, inner: new Float64Array(pattern.edgeAt), carried: new Float64Array(pattern.place.length * pattern.stride) };
}

/**
 * Fills the parts from a factor.
 * @source K. Takahashi, J. Fagan, M.-S. Chen, Formation of a sparse bus impedance matrix, 1973: L' Z = L^-1 solved from the last unknown to the first
 */
export function fillInverse(factor: ArrowFactor, into: InverseParts): void {
  fillInner(factor, into.inner);
  fillCarriedBorder(factor, into.carried);
  for (let i = factor.pattern.inner - 1; i >= 0; i--) backSubstitute(factor, into.carried, i);
  for (let i = 0; i < factor.pattern.inner; i += 4) whiten(factor, into.carried, i);
}

function fillInner({ pattern, entries }: ArrowFactor, inverse: Float64Array): void {
  const { inner, rowStart, rowColumn, columnStart, columnRow, columnEntry, diagonalAt } = pattern;
  const column = new Float64Array(inner);
  const sums = new Float64Array(inner);
  for (let i = inner - 1; i >= 0; i--) {
    const from = columnStart[i] ?? 0;
    const to = columnStart[i + 1] ?? 0;
    for (let t = from; t < to; t++) column[columnRow[t] ?? 0] = entries[columnEntry[t] ?? 0] ?? 0;
    for (let t = from; t < to; t++) {
      const k = columnRow[t] ?? 0;
      const own = column[k] ?? 0;
      let sum = (inverse[diagonalAt + k] ?? 0) * own;
      const end = rowStart[k + 1] ?? 0;
      for (let u = (columnEntry[t] ?? 0) + 1; u < end; u++) {
        const j = rowColumn[u] ?? 0;
        const known = inverse[u] ?? 0;
        sum += known * (column[j] ?? 0);
        sums[j] = (sums[j] ?? 0) + known * own;
      }
      sums[k] = (sums[k] ?? 0) + sum;
    }
    const scale = 1 / (entries[diagonalAt + i] ?? 0);
    let explained = 0;
    for (let t = from; t < to; t++) {
      const k = columnRow[t] ?? 0;
      const value = -(sums[k] ?? 0) * scale;
      inverse[columnEntry[t] ?? 0] = value;
      explained += value * (column[k] ?? 0);
    }
    inverse[diagonalAt + i] = (scale - explained) * scale;
    clearColumn(pattern, column, sums, from, to);
  }
}

/** Sums were also made where the column is zero: in the rows' columns between. */
function clearColumn({ rowStart, rowColumn, columnRow, columnEntry }: ArrowPattern, column: Float64Array, sums: Float64Array, from: number, to: number): void {
  for (let t = from; t < to; t++) {
    const k = columnRow[t] ?? 0;
    column[k] = 0;
    sums[k] = 0;
    const end = rowStart[k + 1] ?? 0;
    for (let u = (columnEntry[t] ?? 0) + 1; u < end; u++) sums[rowColumn[u] ?? 0] = 0;
  }
}

/** Each border unknown's column of the inverse of the corner's factor. */
function fillCarriedBorder({ pattern, entries }: ArrowFactor, carried: Float64Array): void {
  const { inner, border, stride, cornerAt } = pattern;
  for (let a = 0; a < border; a++) {
    const at = (inner + a) * stride;
    carried.fill(0, at, at + stride);
    for (let p = a; p < border; p++) {
      const row = cornerAt + p * stride;
      let value = p === a ? 1 : 0;
      for (let q = a; q < p; q++) value -= (entries[row + q] ?? 0) * (carried[at + q] ?? 0);
      carried[at + p] = value / (entries[row + p] ?? 0);
    }
  }
}

/** One inner unknown's row of B^-1 C', four border unknowns at a time. */
function backSubstitute({ pattern, entries }: ArrowFactor, carried: Float64Array, i: number): void {
  const { stride, columnStart, columnRow, columnEntry, edgeAt, diagonalAt } = pattern;
  const from = columnStart[i] ?? 0;
  const to = columnStart[i + 1] ?? 0;
  const scale = 1 / (entries[diagonalAt + i] ?? 0);
  for (let p = 0; p < stride; p += 4) {
    const edge = edgeAt + i * stride + p;
    let a = entries[edge] ?? 0;
    let b = entries[edge + 1] ?? 0;
    let c = entries[edge + 2] ?? 0;
    let d = entries[edge + 3] ?? 0;
    for (let t = from; t < to; t++) {
      const known = entries[columnEntry[t] ?? 0] ?? 0;
      const at = (columnRow[t] ?? 0) * stride + p;
      a -= known * (carried[at] ?? 0);
      b -= known * (carried[at + 1] ?? 0);
      c -= known * (carried[at + 2] ?? 0);
      d -= known * (carried[at + 3] ?? 0);
    }
    const own = i * stride + p;
    carried[own] = a * scale;
    carried[own + 1] = b * scale;
    carried[own + 2] = c * scale;
    carried[own + 3] = d * scale;
  }
}

/** Turns rows of B^-1 C' into minus their image under the inverse of the corner's factor, four inner unknowns at a time. */
function whiten({ pattern, entries }: ArrowFactor, carried: Float64Array, first: number): void {
  const { inner, border, stride, cornerAt } = pattern;
  const last = inner - 1;
  const rowA = first * stride;
  const rowB = Math.min(first + 1, last) * stride;
  const rowC = Math.min(first + 2, last) * stride;
  const rowD = Math.min(first + 3, last) * stride;
  for (let p = 0; p < border; p++) {
    const row = cornerAt + p * stride;
    let a = -(carried[rowA + p] ?? 0);
    let b = -(carried[rowB + p] ?? 0);
    let c = -(carried[rowC + p] ?? 0);
    let d = -(carried[rowD + p] ?? 0);
    for (let q = 0; q < p; q++) {
      const known = entries[row + q] ?? 0;
      a -= known * (carried[rowA + q] ?? 0);
      b -= known * (carried[rowB + q] ?? 0);
      c -= known * (carried[rowC + q] ?? 0);
      d -= known * (carried[rowD + q] ?? 0);
    }
    const scale = 1 / (entries[row + p] ?? 0);
    carried[rowA + p] = a * scale;
    carried[rowB + p] = b * scale;
    carried[rowC + p] = c * scale;
    carried[rowD + p] = d * scale;
  }
}
