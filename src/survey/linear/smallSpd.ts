/**
 * Symmetric positive definite matrices of a few rows, as flat row-major arrays: for the handful of unknowns of one fret,
 * where a general library's overhead is many times the work.
 */
export type SmallSpd = { readonly inverse: Float64Array; readonly logDeterminant: number };

/** Inverse and log determinant by Cholesky, or undefined where the matrix is not positive definite. */
export function smallInverse(matrix: Float64Array, size: number): SmallSpd | undefined {
  const factor = smallCholesky(matrix, size);
  if (factor === undefined) return undefined;
  const inverse = new Float64Array(size * size);
  let logDeterminant = 0;
  for (let column = 0; column < size; column++) {
    logDeterminant += 2 * Math.log(factor[column * size + column] ?? 1);
    solveUnit(factor, size, column, inverse);
  }
  return { inverse, logDeterminant };
}

/** Product of a matrix and a vector. */
export function smallProduct(matrix: Float64Array, vector: Float64Array): Float64Array {
  const size = vector.length;
  const product = new Float64Array(size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) product[i] = (product[i] ?? 0) + (matrix[i * size + j] ?? 0) * (vector[j] ?? 0);
  }
  return product;
}

/** Inner product of two vectors. */
export function smallDot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] ?? 0) * (b[i] ?? 0);
  return sum;
}

function smallCholesky(matrix: Float64Array, size: number): Float64Array | undefined {
  const factor = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * size + j] ?? 0;
      for (let k = 0; k < j; k++) sum -= (factor[i * size + k] ?? 0) * (factor[j * size + k] ?? 0);
      if (i === j && !(sum > 0)) return undefined;
      factor[i * size + j] = i === j ? Math.sqrt(sum) : sum / (factor[j * size + j] ?? 1);
    }
  }
  return factor;
}

/** Writes one column of the inverse. */
function solveUnit(factor: Float64Array, size: number, column: number, inverse: Float64Array): void {
  const x = new Float64Array(size);
  for (let i = column; i < size; i++) {
    let sum = i === column ? 1 : 0;
    for (let k = column; k < i; k++) sum -= (factor[i * size + k] ?? 0) * (x[k] ?? 0);
    x[i] = sum / (factor[i * size + i] ?? 1);
  }
  for (let i = size - 1; i >= 0; i--) {
    let sum = x[i] ?? 0;
    for (let k = i + 1; k < size; k++) sum -= (factor[k * size + i] ?? 0) * (inverse[k * size + column] ?? 0);
    inverse[i * size + column] = sum / (factor[i * size + i] ?? 1);
  }
}
