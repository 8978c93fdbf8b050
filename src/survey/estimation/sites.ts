import { truncatedNormal } from "../likelihood/truncatedNormal.js";
import type { SparseRow } from "../linear/arrow.js";
import { smallDot, smallInverse, smallProduct } from "../linear/smallSpd.js";
import type { FretClass } from "../model/fretClasses.js";

/** One factor of the posterior that depends on the unknowns through one linear form, or a few. */
export type Site =
  /** The form has a value with a standard uncertainty. */
  | { readonly kind: "exact"; readonly rows: readonly [SparseRow]; readonly value: number; readonly u: number }
  /** The form lies in an interval, judged with normal noise: Phi((high - g)/s) - Phi((low - g)/s). */
  | { readonly kind: "interval"; readonly rows: readonly [SparseRow]; readonly low: number; readonly high: number; readonly s: number }
  /** The deviations of one fret on all lines come from one of a few classes; the wide normal base of the same unknowns is divided out. */
  | { readonly kind: "fret"; readonly rows: readonly SparseRow[]; readonly classes: readonly FretClass[]; readonly baseSd: number };

/** Normal approximation of a site in natural parameters: exp(shift' g - g' precision g / 2); matrices flat, row-major. */
export type Natural = { readonly precision: Float64Array; readonly shift: Float64Array };

/** What all else says of the forms. */
export type Context = { readonly mean: Float64Array; readonly covariance: Float64Array };

/** Moments of the forms under their context times the site itself. */
export type Tilted = Context & { readonly logZ: number };

/** Moments of context times site; undefined where rounding leaves no proper distribution. */
export function tilted(site: Site, context: Context): Tilted | undefined {
  if (site.kind === "fret") return fretTilted(site.classes, site.baseSd, context)?.moments;
  const [mean = 0, variance = 1] = [context.mean[0], context.covariance[0]];
  return site.kind === "exact" ? exactTilted(site.value, site.u, mean, variance) : intervalTilted(site.low, site.high, site.s, mean, variance);
}

/** Probabilities of the classes of a fret in its context, in the order of `classes`. */
export function classProbabilities(classes: readonly FretClass[], baseSd: number, context: Context): readonly number[] {
  return fretTilted(classes, baseSd, context)?.shares ?? classes.map(({ weight }) => weight);
}

/** Where the iteration starts: width^2/12 for an interval (GUM 4.3.7), the first class for a fret. */
export function startOf(site: Site): Natural {
  if (site.kind === "exact") return scalar(1 / site.u ** 2, site.value / site.u ** 2);
  if (site.kind === "fret") return classNatural(site.classes, site.baseSd);
  if (!Number.isFinite(site.high) || !Number.isFinite(site.low)) return scalar(0, 0);
  const variance = (site.high - site.low) ** 2 / 12 + site.s ** 2;
  return scalar(1 / variance, (site.low + site.high) / 2 / variance);
}

function scalar(precision: number, shift: number): Natural {
  return { precision: Float64Array.of(precision), shift: Float64Array.of(shift) };
}

function classNatural([first]: readonly FretClass[], baseSd: number): Natural {
  const size = first?.mean.length ?? 0;
  const precision = Float64Array.from(first?.precision ?? []);
  for (let i = 0; i < size; i++) precision[i * size + i] = (precision[i * size + i] ?? 0) - 1 / baseSd ** 2;
  return { precision, shift: new Float64Array(size) };
}

function exactTilted(value: number, u: number, mean: number, variance: number): Tilted {
  const total = variance + u * u;
  return {
    logZ: -0.5 * (Math.log(2 * Math.PI * total) + (value - mean) ** 2 / total),
    mean: Float64Array.of(mean + (variance / total) * (value - mean)), covariance: Float64Array.of((variance * u * u) / total),
  };
}

/** y = g + noise is truncated; g follows by regression on y. */
function intervalTilted(low: number, high: number, s: number, mean: number, variance: number): Tilted {
  const total = variance + s * s;
  const y = truncatedNormal(mean, Math.sqrt(total), low, high);
  const gain = variance / total;
  return { logZ: y.logProbability, mean: Float64Array.of(mean + gain * (y.mean - mean)), covariance: Float64Array.of(gain * s * s + gain * gain * y.variance) };
}

function fretTilted(classes: readonly FretClass[], baseSd: number, context: Context): { readonly moments: Tilted; readonly shares: readonly number[] } | undefined {
  const size = context.mean.length;
  const known = smallInverse(context.covariance, size);
  if (known === undefined) return undefined;
  const shift = smallProduct(known.inverse, context.mean);
  const data = Float64Array.from(known.inverse);
  for (let i = 0; i < size; i++) data[i * size + i] = (data[i * size + i] ?? 0) - 1 / baseSd ** 2;
  const parts = classes.map((one) => withClass(one, data, shift));
  if (parts.some((part) => part === undefined)) return undefined;
  const present = parts.filter((part) => part !== undefined);
  const top = Math.max(...present.map((part) => part.logWeight));
  const weights = present.map((part) => Math.exp(part.logWeight - top));
  const sum = weights.reduce((total, weight) => total + weight, 0);
  const shares = weights.map((weight) => weight / sum);
  const contextNorm = -0.5 * (size * Math.log(2 * Math.PI) + known.logDeterminant + smallDot(context.mean, shift));
  const baseNorm = -0.5 * size * Math.log(2 * Math.PI * baseSd ** 2);
  return { shares, moments: { ...mixed(present, shares, size), logZ: top + Math.log(sum) + contextNorm - baseNorm } };
}

type Part = { readonly logWeight: number; readonly mean: Float64Array; readonly covariance: Float64Array };

/** Integral and moments of the class's normal times exp(shift' d - d' precision d / 2). */
function withClass(one: FretClass, precision: Float64Array, shift: Float64Array): Part | undefined {
  const total = smallInverse(Float64Array.from(precision, (value, at) => value + (one.precision[at] ?? 0)), shift.length);
  if (total === undefined) return undefined;
  const pull = smallProduct(one.precision, one.mean);
  const right = Float64Array.from(shift, (value, at) => value + (pull[at] ?? 0));
  const mean = smallProduct(total.inverse, right);
  const logWeight = Math.log(one.weight) + 0.5 * (one.logPrecision - total.logDeterminant + smallDot(right, mean) - smallDot(pull, one.mean));
  return { logWeight, mean, covariance: total.inverse };
}

function mixed(parts: readonly Part[], shares: readonly number[], size: number): Context {
  const mean = new Float64Array(size);
  for (const [index, part] of parts.entries()) for (let i = 0; i < size; i++) mean[i] = (mean[i] ?? 0) + (shares[index] ?? 0) * (part.mean[i] ?? 0);
  const covariance = new Float64Array(size * size);
  for (const [index, part] of parts.entries()) {
    for (let i = 0; i < size; i++) {
      for (let j = 0; j < size; j++) {
        const apart = ((part.mean[i] ?? 0) - (mean[i] ?? 0)) * ((part.mean[j] ?? 0) - (mean[j] ?? 0));
        covariance[i * size + j] = (covariance[i * size + j] ?? 0) + (shares[index] ?? 0) * ((part.covariance[i * size + j] ?? 0) + apart);
      }
    }
  }
  return { mean, covariance };
}
