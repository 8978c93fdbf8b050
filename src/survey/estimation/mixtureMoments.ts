import { invertSmall, smallDot, smallProduct } from "../linear/smallSpd.js";
import type { Mixture, NormalClass } from "../model/normalClass.js";

/** A mixture with what does not change from context to context. */
export type PreparedMixture = Mixture & {
  readonly prepared: readonly PreparedClass[];
  readonly basePrecision: number;
  readonly logBase: number;
  /** Whether the classes change along a scatter. */
  readonly isChanging: boolean;
};

type PreparedClass = {
  readonly mean: Float64Array;
  /** Its precision less that of the base. */
  readonly precision: Float64Array;
  readonly pull: Float64Array;
  readonly logConstant: number;
  /** How precision and log precision change with the logarithm of the scatter, where they do. */
  readonly change: NormalClass["change"];
};

/** Room for the moments of one site, used again and again; holds the result. */
export type MixtureWork = {
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
/** A class of a smaller share adds nothing that a variance would show. */
const NEGLIGIBLE = 1e-12;

/** Room for a site of `size` forms. */
export function mixtureWork(size: number): MixtureWork {
  const square = (): Float64Array => new Float64Array(size * size);
  const line = (): Float64Array => new Float64Array(size);
  return {
    size, precision: square(), shift: line(), mean: line(), covariance: square(), shares: new Float64Array(MOST_CLASSES), logIntegral: 0,
    factor: square(), matrix: square(), right: line(),
    partMeans: Array.from({ length: MOST_CLASSES }, line), partCovariances: Array.from({ length: MOST_CLASSES }, square),
  };
}

/**
 * Works out what does not change from context to context.
 * @throws {RangeError} more classes than there is room for
 */
export function preparedMixture(mixture: Mixture): PreparedMixture {
  const { classes, baseSd } = mixture;
  if (classes.length > MOST_CLASSES) throw new RangeError(`Cannot tell ${classes.length} classes apart: expected at most ${MOST_CLASSES}`);
  return { ...mixture, isChanging: classes.some(({ change }) => change !== undefined), basePrecision: 1 / baseSd ** 2, logBase: Math.log(2 * Math.PI * baseSd ** 2), prepared: classes.map((one) => preparedClass(one, 1 / baseSd ** 2)) };
}

function preparedClass({ weight, mean, precision, logPrecision, change }: NormalClass, basePrecision: number): PreparedClass {
  const pull = smallProduct(precision, mean);
  const size = mean.length;
  return { mean, precision: precision.map((value, at) => (at % (size + 1) === 0 ? value - basePrecision : value)), pull, logConstant: Math.log(weight) + 0.5 * (logPrecision - smallDot(pull, mean)), change };
}

/**
 * Moments of the site times the context that stands in `work.precision` and `work.shift`; it need not be proper by itself, only together with every class.
 * @returns false where it is not; else the result is in `work`
 */
export function naturalMixtureMoments({ prepared, logBase }: PreparedMixture, work: MixtureWork): boolean {
  const { size, precision, shift, shares, partMeans, partCovariances } = work;
  let top = -Infinity;
  for (let k = 0; k < prepared.length; k++) {
    const one = prepared[k];
    const mean = partMeans[k];
    const covariance = partCovariances[k];
    if (one === undefined || mean === undefined || covariance === undefined) return false;
    const logWeight = size === 3 ? classOfThree(one, precision, shift, mean, covariance) : classOf(one, work, mean, covariance);
    if (logWeight === undefined) return false;
    shares[k] = logWeight;
    top = Math.max(top, logWeight);
  }
  work.logIntegral = mixClasses(work, prepared.length, top) + 0.5 * size * logBase;
  return true;
}

/** Moments of context times one class; returns the logarithm of its weight, undefined where they make nothing proper. */
function classOf(one: PreparedClass, { size, precision, shift, factor, matrix, right }: MixtureWork, mean: Float64Array, covariance: Float64Array): number | undefined {
  for (let at = 0; at < matrix.length; at++) matrix[at] = (precision[at] ?? 0) + (one.precision[at] ?? 0);
  for (let i = 0; i < size; i++) right[i] = (shift[i] ?? 0) + (one.pull[i] ?? 0);
  const logTotal = invertSmall(matrix, size, factor, covariance);
  if (logTotal === undefined) return undefined;
  smallProduct(covariance, right, mean);
  return one.logConstant + 0.5 * (smallDot(right, mean) - logTotal);
}

/** The same for a fret on three lines, by far the most usual, written out: L D L' of the precision with ones on L's diagonal, as in `invertSmall`. */
function classOfThree(one: PreparedClass, precision: Float64Array, shift: Float64Array, mean: Float64Array, covariance: Float64Array): number | undefined {
  const p = one.precision;
  const a = (precision[0] ?? 0) + (p[0] ?? 0);
  const b = (precision[3] ?? 0) + (p[3] ?? 0);
  const d = (precision[6] ?? 0) + (p[6] ?? 0);
  const first = 1 / a;
  const l1 = b * first;
  const l2 = d * first;
  const c = (precision[4] ?? 0) + (p[4] ?? 0) - b * l1;
  const e = (precision[7] ?? 0) + (p[7] ?? 0) - b * l2;
  const second = 1 / c;
  const m = e * second;
  const f = (precision[8] ?? 0) + (p[8] ?? 0) - d * l2 - e * m;
  if (!(a > 0 && c > 0 && f > 0)) return undefined;
  const third = 1 / f;
  const n = l1 * m - l2;
  const v00 = first + l1 * l1 * second + n * n * third;
  const v10 = -l1 * second - m * n * third;
  const v20 = n * third;
  const v11 = second + m * m * third;
  const v21 = -m * third;
  const x = (shift[0] ?? 0) + (one.pull[0] ?? 0);
  const y = (shift[1] ?? 0) + (one.pull[1] ?? 0);
  const z = (shift[2] ?? 0) + (one.pull[2] ?? 0);
  const [u, v, w] = [v00 * x + v10 * y + v20 * z, v10 * x + v11 * y + v21 * z, v20 * x + v21 * y + third * z];
  mean[0] = u;
  mean[1] = v;
  mean[2] = w;
  covariance[0] = v00;
  covariance[1] = v10;
  covariance[2] = v20;
  covariance[3] = v10;
  covariance[4] = v11;
  covariance[5] = v21;
  covariance[6] = v20;
  covariance[7] = v21;
  covariance[8] = third;
  return one.logConstant + 0.5 * (x * u + y * v + z * w - Math.log(a * c * f));
}

/** Mixes the classes' moments, turning their log weights into shares; returns the logarithm of the sum of weights. */
function mixClasses({ size, shares, mean, covariance, partMeans, partCovariances }: MixtureWork, count: number, top: number): number {
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
    const share = shares[k] ?? 0;
    const part = partMeans[k];
    const spread = partCovariances[k];
    if (share < NEGLIGIBLE || part === undefined || spread === undefined) continue;
    for (let i = 0; i < size; i++) {
      const apart = (part[i] ?? 0) - (mean[i] ?? 0);
      for (let j = 0; j <= i; j++) covariance[i * size + j] = (covariance[i * size + j] ?? 0) + share * ((spread[i * size + j] ?? 0) + apart * ((part[j] ?? 0) - (mean[j] ?? 0)));
    }
  }
  for (let i = 1; i < size; i++) for (let j = 0; j < i; j++) covariance[j * size + i] = covariance[i * size + j] ?? 0;
  return top + Math.log(sum);
}

/**
 * Slope of the logarithm of the integral over that of the scatter that the classes change with, from the moments that stand in `work`:
 * the mean over the classes of how their log densities change. The base does not change.
 */
export function integralSlope({ prepared }: PreparedMixture, { size, shares, partMeans, partCovariances }: MixtureWork): number {
  let sum = 0;
  for (let k = 0; k < prepared.length; k++) {
    const one = prepared[k];
    const part = partMeans[k];
    const spread = partCovariances[k];
    if (one?.change === undefined || part === undefined || spread === undefined || (shares[k] ?? 0) < NEGLIGIBLE) continue;
    let slope = 0.5 * one.change.logPrecision;
    for (let i = 0; i < size; i++) {
      const apart = (part[i] ?? 0) - (one.mean[i] ?? 0);
      for (let j = 0; j < size; j++) slope -= 0.5 * (one.change.precision[i * size + j] ?? 0) * ((spread[i * size + j] ?? 0) + apart * ((part[j] ?? 0) - (one.mean[j] ?? 0)));
    }
    sum += (shares[k] ?? 0) * slope;
  }
  return sum;
}
