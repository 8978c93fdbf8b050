/**
 * Symmetric positive definite matrices of a few rows, up to some dozens, as flat row-major arrays: for the handful of unknowns of one fret or one for each fret,
 * where a general library's overhead is many times the work.
 */
export type SmallSpd = { readonly inverse: Float64Array; readonly logDeterminant: number };

/** Inverse and log determinant by Cholesky, or undefined where the matrix is not positive definite. */
export function smallInverse(matrix: Float64Array, size: number): SmallSpd | undefined {
  const factor = new Float64Array(size * size);
  const inverse = new Float64Array(size * size);
  const logDeterminant = invertSmall(matrix, size, factor, inverse);
  return logDeterminant === undefined ? undefined : { inverse, logDeterminant };
}

/** As `smallInverse`, with room for the factor and the inverse given; returns the log determinant. */
export function invertSmall(matrix: Float64Array, size: number, factor: Float64Array, inverse: Float64Array): number | undefined {
  if (size === 3) return invertThree(matrix, inverse);
  let determinant = 1;
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * size + j] ?? 0;
      for (let k = 0; k < j; k++) sum -= (factor[i * size + k] ?? 0) * (factor[j * size + k] ?? 0);
      if (i === j) {
        if (!(sum > 0)) return undefined;
        determinant *= sum;
        factor[i * size + i] = 1 / Math.sqrt(sum);
      } else factor[i * size + j] = sum * (factor[j * size + j] ?? 0);
    }
  }
  for (let column = size - 1; column >= 0; column--) invertColumn(factor, size, column, inverse);
  return Math.log(determinant);
}

/** The same for a fret on three lines, by far the most usual: A = L D L' with ones on L's diagonal, written out. */
function invertThree(matrix: Float64Array, inverse: Float64Array): number | undefined {
  const a = matrix[0] ?? 0;
  const b = matrix[3] ?? 0;
  const d = matrix[6] ?? 0;
  const first = 1 / a;
  const l1 = b * first;
  const l2 = d * first;
  const c = (matrix[4] ?? 0) - b * l1;
  const e = (matrix[7] ?? 0) - b * l2;
  const second = 1 / c;
  const m = e * second;
  const f = (matrix[8] ?? 0) - d * l2 - e * m;
  if (!(a > 0 && c > 0 && f > 0)) return undefined;
  const third = 1 / f;
  const n = l1 * m - l2;
  const z10 = -l1 * second - m * n * third;
  inverse[0] = first + l1 * l1 * second + n * n * third;
  inverse[1] = z10;
  inverse[2] = n * third;
  inverse[3] = z10;
  inverse[4] = second + m * m * third;
  inverse[5] = -m * third;
  inverse[6] = n * third;
  inverse[7] = -m * third;
  inverse[8] = third;
  return Math.log(a * c * f);
}

/** Writes one column of the inverse on and above the diagonal and its mirror; the factor's diagonal holds reciprocals. */
function invertColumn(factor: Float64Array, size: number, column: number, inverse: Float64Array): void {
  const own = factor[column * size + column] ?? 0;
  for (let i = size - 1; i >= column; i--) {
    let sum = i === column ? own : 0;
    for (let k = column + 1; k < size; k++) sum -= (factor[k * size + column] ?? 0) * (inverse[k * size + i] ?? 0);
    inverse[i * size + column] = sum * own;
    inverse[column * size + i] = sum * own;
  }
}

/** Product of a matrix and a vector. */
export function smallProduct(matrix: Float64Array, vector: Float64Array, into: Float64Array = new Float64Array(vector.length)): Float64Array {
  const size = vector.length;
  for (let i = 0; i < size; i++) {
    let sum = 0;
    for (let j = 0; j < size; j++) sum += (matrix[i * size + j] ?? 0) * (vector[j] ?? 0);
    into[i] = sum;
  }
  return into;
}

/** Inner product of two vectors. */
export function smallDot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] ?? 0) * (b[i] ?? 0);
  return sum;
}
