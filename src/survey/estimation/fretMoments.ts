import { invertSmall, smallDot, smallProduct } from "../linear/smallSpd.js";
import type { FretClass } from "../model/fretClasses.js";

/** Classes of a fret with what does not change from context to context. */
export type PreparedClasses = {
  readonly classes: readonly PreparedClass[];
  readonly basePrecision: number;
  readonly logBase: number;
};

type PreparedClass = { readonly mean: Float64Array; readonly precision: Float64Array; readonly pull: Float64Array; readonly logConstant: number };

/** Room for the moments of one fret, used again and again; holds the result. */
export type FretWork = {
  readonly size: number;
  /** The context in natural parameters. */
  readonly precision: Float64Array;
  readonly shift: Float64Array;
  /** Moments of context times site. */
  readonly mean: Float64Array;
  readonly covariance: Float64Array;
  /** Probability of each class; room for more than there are. */
  readonly shares: Float64Array;
  /** Logarithm of the integral of site times exp(shift' d - d' precision d / 2). */
  logIntegral: number;
  readonly factor: Float64Array;
  readonly matrix: Float64Array;
  readonly right: Float64Array;
  readonly partMeans: Float64Array[];
  readonly partCovariances: Float64Array[];
};

const MOST_CLASSES = 16;

export function fretWork(size: number): FretWork {
  const square = (): Float64Array => new Float64Array(size * size);
  const line = (): Float64Array => new Float64Array(size);
  return {
    size, precision: square(), shift: line(), mean: line(), covariance: square(), shares: new Float64Array(MOST_CLASSES), logIntegral: 0,
    factor: square(), matrix: square(), right: line(),
    partMeans: Array.from({ length: MOST_CLASSES }, line), partCovariances: Array.from({ length: MOST_CLASSES }, square),
  };
}

/** @throws {RangeError} more classes than there is room for */
export function preparedClasses(classes: readonly FretClass[], baseSd: number): PreparedClasses {
  if (classes.length > MOST_CLASSES) throw new RangeError(`Cannot tell ${classes.length} kinds of fret apart: expected at most ${MOST_CLASSES}`);
  return {
    basePrecision: 1 / baseSd ** 2, logBase: Math.log(2 * Math.PI * baseSd ** 2),
    classes: classes.map(({ weight, mean, precision, logPrecision }) => {
      const pull = smallProduct(precision, mean);
      return { mean, precision, pull, logConstant: Math.log(weight) + 0.5 * (logPrecision - smallDot(pull, mean)) };
    }),
  };
}

/**
 * Moments of the site times the context that stands in `work.precision` and `work.shift`; it need not be proper by itself, only together with every class.
 * @returns false where it is not; else the result is in `work`
 */
export function naturalFretMoments(prepared: PreparedClasses, work: FretWork): boolean {
  const { size, precision, shift, factor, matrix, right, shares, partMeans, partCovariances } = work;
  let top = -Infinity;
  for (let k = 0; k < prepared.classes.length; k++) {
    const one = prepared.classes[k];
    const [mean, covariance] = [partMeans[k], partCovariances[k]];
    if (one === undefined || mean === undefined || covariance === undefined) return false;
    for (let at = 0; at < matrix.length; at++) matrix[at] = (precision[at] ?? 0) + (one.precision[at] ?? 0);
    for (let i = 0; i < size; i++) {
      matrix[i * (size + 1)] = (matrix[i * (size + 1)] ?? 0) - prepared.basePrecision;
      right[i] = (shift[i] ?? 0) + (one.pull[i] ?? 0);
    }
    const logTotal = invertSmall(matrix, size, factor, covariance);
    if (logTotal === undefined) return false;
    smallProduct(covariance, right, mean);
    const logWeight = one.logConstant + 0.5 * (smallDot(right, mean) - logTotal);
    shares[k] = logWeight;
    top = Math.max(top, logWeight);
  }
  work.logIntegral = mixClasses(work, prepared.classes.length, top) + 0.5 * size * prepared.logBase;
  return true;
}

/** Mixes the classes' moments, turning their log weights into shares; returns the logarithm of the sum of weights. */
function mixClasses({ size, shares, mean, covariance, partMeans, partCovariances }: FretWork, count: number, top: number): number {
  let sum = 0;
  for (let k = 0; k < count; k++) {
    shares[k] = Math.exp((shares[k] ?? 0) - top);
    sum += shares[k] ?? 0;
  }
  mean.fill(0);
  covariance.fill(0);
  for (let k = 0; k < count; k++) {
    const share = (shares[k] ?? 0) / sum;
    shares[k] = share;
    const part = partMeans[k];
    for (let i = 0; i < size; i++) mean[i] = (mean[i] ?? 0) + share * (part?.[i] ?? 0);
  }
  for (let k = 0; k < count; k++) {
    const [share, part, spread] = [shares[k] ?? 0, partMeans[k], partCovariances[k]];
    if (part === undefined || spread === undefined) continue;
    for (let i = 0; i < size; i++) {
      const apart = (part[i] ?? 0) - (mean[i] ?? 0);
      for (let j = 0; j < size; j++) covariance[i * size + j] = (covariance[i * size + j] ?? 0) + share * ((spread[i * size + j] ?? 0) + apart * ((part[j] ?? 0) - (mean[j] ?? 0)));
    }
  }
  return top + Math.log(sum);
}
