import { gaussLegendre } from "../likelihood/gaussLegendre.js";
import { truncatedNormal } from "../likelihood/truncatedNormal.js";
import type { SparseRow } from "../linear/arrow.js";
import { smallProduct } from "../linear/smallSpd.js";
import type { PreparedMixture } from "./mixtureMoments.js";

/** One factor of the posterior that depends on the unknowns through one linear form, or a few. */
export type Site =
  /** The form has a value with a standard uncertainty. */
  | { readonly kind: "exact"; readonly rows: readonly [SparseRow]; readonly value: number; readonly u: number }
  /** The form lies in an interval, judged with normal noise: Phi((high - g)/s) - Phi((low - g)/s). */
  | { readonly kind: "interval"; readonly rows: readonly [SparseRow]; readonly low: number; readonly high: number; readonly s: number }
  /** A few forms come from one of a few normal classes, as the deviations of one fret on all lines do; the normal base of the same forms in the prior is divided out. */
  | { readonly kind: "mixture"; readonly rows: readonly SparseRow[]; readonly mixture: PreparedMixture };

/** Normal approximation of a site in natural parameters: exp(shift' g - g' precision g / 2); matrices flat, row-major. */
export type Natural = { readonly precision: Float64Array; readonly shift: Float64Array };

/** What all else says of the forms. */
export type Context = { readonly mean: Float64Array; readonly covariance: Float64Array };

/** Mean and variance of a form, and the logarithm of the integral they are normalised by. */
export type Moments = { readonly logIntegral: number; readonly mean: number; readonly variance: number };

/** Where the iteration starts: width^2/12 for an interval (GUM 4.3.7), the first class of a mixture. */
export function startOf(site: Site): Natural {
  if (site.kind === "exact") return scalar(1 / site.u ** 2, site.value / site.u ** 2);
  if (site.kind === "mixture") return classNatural(site.mixture);
  if (!Number.isFinite(site.high) || !Number.isFinite(site.low)) return scalar(0, 0);
  const variance = (site.high - site.low) ** 2 / 12 + site.s ** 2;
  return scalar(1 / variance, (site.low + site.high) / 2 / variance);
}

function scalar(precision: number, shift: number): Natural {
  return { precision: Float64Array.of(precision), shift: Float64Array.of(shift) };
}

function classNatural({ classes: [first], basePrecision }: PreparedMixture): Natural {
  const size = first?.mean.length ?? 0;
  const precision = Float64Array.from(first?.precision ?? []);
  const shift = smallProduct(precision, Float64Array.from(first?.mean ?? []));
  for (let i = 0; i < size; i++) precision[i * size + i] = (precision[i * size + i] ?? 0) - basePrecision;
  return { precision, shift };
}

/**
 * Moments of an interval site times exp(shift g - precision g^2 / 2): y = g + noise lies in the interval, and g follows by regression on y.
 * The precision may be negative, as what other sites say can be, as long as the product is proper; undefined where it is not.
 */
export function intervalMoments(low: number, high: number, s: number, precision: number, shift: number): Moments | undefined {
  const total = 1 + precision * s * s;
  if (!(total > 0)) return undefined;
  const y = precision > 0 ? withinNormal(low, high, precision / total, shift / total) : withinConvex(low, high, precision / total, shift / total);
  if (y === undefined) return undefined;
  const noise = (s * s) / total;
  return {
    logIntegral: y.logIntegral - 0.5 * Math.log(total) + 0.5 * shift * shift * noise,
    mean: noise * shift + y.mean / total, variance: noise + y.variance / (total * total),
  };
}

function withinNormal(low: number, high: number, precision: number, shift: number): Moments {
  const y = truncatedNormal(shift / precision, 1 / Math.sqrt(precision), low, high);
  return { logIntegral: y.logProbability + 0.5 * (Math.log((2 * Math.PI) / precision) + (shift * shift) / precision), mean: y.mean, variance: y.variance };
}

const RULE = gaussLegendre(40);
/** Beyond this range of its exponent the rule does not see where the integrand lies. */
const MOST_RANGE = 60;

/** exp(shift y - precision y^2 / 2) over the interval, for a precision that is not positive. */
function withinConvex(low: number, high: number, precision: number, shift: number): Moments | undefined {
  const length = high - low;
  const exponent = (y: number): number => y * (shift - 0.5 * precision * y);
  const top = Math.max(exponent(low), exponent(high));
  const middle = (low + high) / 2;
  if (!(length < Infinity) || !(top - Math.min(exponent(low), exponent(high), exponent(middle)) < MOST_RANGE)) return undefined;
  let sum = 0;
  let first = 0;
  let second = 0;
  for (let k = 0; k < RULE.nodes.length; k++) {
    const apart = ((RULE.nodes[k] ?? 0) - 0.5) * length;
    const weight = (RULE.weights[k] ?? 0) * Math.exp(exponent(middle + apart) - top);
    sum += weight;
    first += weight * apart;
    second += weight * apart * apart;
  }
  return { logIntegral: top + Math.log(sum * length), mean: middle + first / sum, variance: second / sum - (first / sum) ** 2 };
}
