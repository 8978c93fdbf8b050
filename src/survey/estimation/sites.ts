import { truncatedNormal } from "../likelihood/truncatedNormal.js";
import type { SparseRow } from "../linear/arrow.js";
import type { Mixture } from "../model/scatters.js";

/** One factor of the posterior that depends on the unknowns through a single linear form. */
export type Site =
  /** The form has a value with a standard uncertainty. */
  | { readonly kind: "exact"; readonly row: SparseRow; readonly value: number; readonly u: number }
  /** The form lies in an interval, judged with normal noise: Phi((high - g)/s) - Phi((low - g)/s). */
  | { readonly kind: "interval"; readonly row: SparseRow; readonly low: number; readonly high: number; readonly s: number }
  /** The form is drawn from a mixture; the wide normal base of the same unknown is divided out. */
  | { readonly kind: "mixture"; readonly row: SparseRow; readonly mixture: Mixture; readonly baseSd: number };

/** Normal approximation of a site in natural parameters: exp(shift g - precision g^2 / 2). */
export type Natural = { readonly precision: number; readonly shift: number };

/** Moments of the form under its cavity times the site itself. */
export type Tilted = { readonly logZ: number; readonly mean: number; readonly variance: number };

/**
 * Moments of cavity times site.
 * @param cavity what all else says of the linear form: mean and variance (positive)
 */
export function tilted(site: Site, cavity: { readonly mean: number; readonly variance: number }): Tilted {
  if (site.kind === "exact") return exactTilted(site.value, site.u, cavity.mean, cavity.variance);
  return site.kind === "interval" ? intervalTilted(site.low, site.high, site.s, cavity.mean, cavity.variance) : mixtureTilted(site.mixture, site.baseSd, cavity.mean, cavity.variance);
}

/** Where the iteration starts: width^2/12 for an interval (GUM 4.3.7), the main component for a mixture. */
export function startOf(site: Site): Natural {
  if (site.kind === "exact") return { precision: 1 / site.u ** 2, shift: site.value / site.u ** 2 };
  if (site.kind === "mixture") return { precision: 1 / (site.mixture[0]?.sdMm ?? site.baseSd) ** 2 - 1 / site.baseSd ** 2, shift: 0 };
  if (!Number.isFinite(site.high) || !Number.isFinite(site.low)) return { precision: 0, shift: 0 };
  const variance = (site.high - site.low) ** 2 / 12 + site.s ** 2;
  return { precision: 1 / variance, shift: (site.low + site.high) / 2 / variance };
}

function exactTilted(value: number, u: number, mean: number, variance: number): Tilted {
  const total = variance + u * u;
  return { logZ: logNormal(value - mean, total), mean: mean + (variance / total) * (value - mean), variance: (variance * u * u) / total };
}

/** y = g + noise is truncated; g follows by regression on y. */
function intervalTilted(low: number, high: number, s: number, mean: number, variance: number): Tilted {
  const total = variance + s * s;
  const y = truncatedNormal(mean, Math.sqrt(total), low, high);
  const gain = variance / total;
  return { logZ: y.logProbability, mean: mean + gain * (y.mean - mean), variance: gain * s * s + gain * gain * y.variance };
}

function mixtureTilted(mixture: Mixture, baseSd: number, mean: number, variance: number): Tilted {
  const precision = 1 / variance - 1 / baseSd ** 2;
  const shift = mean / variance;
  const parts = mixture.map((part) => productWithNormal(part.meanMm, part.sdMm, precision, shift, Math.log(part.weight)));
  const top = Math.max(...parts.map((part) => part.logWeight));
  const weights = parts.map((part) => Math.exp(part.logWeight - top));
  const sum = weights.reduce((total, weight) => total + weight, 0);
  const share = (index: number): number => (weights[index] ?? 0) / sum;
  const centre = parts.reduce((total, part, index) => total + share(index) * part.mean, 0);
  const spread = parts.reduce((total, part, index) => total + share(index) * (part.variance + (part.mean - centre) ** 2), 0);
  // against a normalised cavity: N(g | m, v) / N(g | 0, base^2) integrated with the mixture
  const cavityNorm = -0.5 * (Math.log(2 * Math.PI * variance) + (mean * mean) / variance);
  const baseNorm = -0.5 * Math.log(2 * Math.PI * baseSd ** 2);
  return { logZ: top + Math.log(sum) + cavityNorm - baseNorm, mean: centre, variance: spread };
}

/** Integral and moments of N(g | m, sd^2) exp(shift g - precision g^2 / 2). */
function productWithNormal(m: number, sd: number, precision: number, shift: number, logWeight: number): { logWeight: number; mean: number; variance: number } {
  const total = 1 / sd ** 2 + precision;
  const mean = (m / sd ** 2 + shift) / total;
  return { logWeight: logWeight - 0.5 * Math.log(sd ** 2 * total) + 0.5 * (total * mean ** 2 - (m / sd) ** 2), mean, variance: 1 / total };
}

function logNormal(deviation: number, variance: number): number {
  return -0.5 * (Math.log(2 * Math.PI * variance) + deviation ** 2 / variance);
}
