import { CholeskyDecomposition, Matrix } from "ml-matrix";

// Apart from what is published: the kernel's compiler need not read the types of the linear algebra.

/** A covariance's factor: rounding leaves products a hair asymmetric, which the library refuses. */
export function cholesky(covariance: Matrix): CholeskyDecomposition {
  return new CholeskyDecomposition(symmetric(covariance));
}

/** The mean of a matrix and its transpose. */
export function symmetric(matrix: Matrix): Matrix {
  return Matrix.add(matrix, matrix.transpose()).mul(0.5);
}
