/** One normal distribution that a few linear forms together may come from. */
export type NormalClass = {
  readonly weight: number;
  readonly mean: Float64Array;
  /** Inverse covariance, flat row-major, and its log determinant. */
  readonly precision: Float64Array;
  readonly logPrecision: number;
  /** How both change with the logarithm of the scatter that the class has its spread from; absent where they do not. */
  readonly change?: { readonly precision: Float64Array; readonly logPrecision: number };
};

/** Linear forms come from one of a few classes; the prior already holds them as independent normals of one spread, which is divided out. */
export type Mixture = {
  readonly classes: readonly NormalClass[];
  readonly baseSd: number;
  /** No class is wider than this, and none is centred farther out than the outermost centre and this. */
  readonly widest: number;
  readonly beyond: number;
};
