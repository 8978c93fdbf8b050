import { gaussLegendre } from "./gaussLegendre.js";
import type { Quadrature } from "./gaussLegendre.js";
import { normalCdf, normalDensity } from "./normal.js";

/** A normal number of which only an interval is known. */
export type TruncatedNormal = {
  /** Natural logarithm of the probability that the number falls into the interval. */
  readonly logProbability: number;
  /** Mean and variance of the number, given that it does. */
  readonly mean: number;
  readonly variance: number;
};

/**
 * Mean and variance of Y ~ N(mean, sd²) given low <= Y <= high, and the logarithm of the probability of that.
 * Holds its digits in far tails and in intervals far narrower than sd: the moments are sums of positive terms about the nearer end of the interval,
 * never differences of large numbers.
 * @param low lower end, may be -Infinity
 * @param high upper end, above `low`, may be Infinity
 * @returns the mean lies inside the interval; the variance is positive and not above sd²; beyond 1e154 sd the probability is 0 and its logarithm -Infinity
 * @throws {RangeError} a mean that is not finite, an sd that is not finite and positive, or ends that are not in order
 * @source definition of the truncated normal distribution; checks against 60-digit arithmetic in tests/survey/likelihood/
 */
export function truncatedNormal(mean: number, sd: number, low: number, high: number): TruncatedNormal {
  if (!Number.isFinite(mean) || !Number.isFinite(sd) || !(sd > 0)) {
    throw new RangeError(`Cannot truncate a normal distribution: expected a finite mean and a finite positive sd, got ${mean} and ${sd}`);
  }
  if (!(low < high) || low === Infinity || high === -Infinity) {
    throw new RangeError(`Cannot truncate a normal distribution: expected an interval with its low end below its high end, got ${low} and ${high}`);
  }
  const below = (low - mean) / sd;
  const above = (high - mean) / sd;
  const mirrored = below + above < 0;
  const start = mirrored ? -above : below;
  writeMoments(start, (high - low) / sd, mirrored ? -below : above);
  const fromEnd = mirrored ? high - sd * part.beyondStart : low + sd * part.beyondStart;
  const at = part.fromCentre ? mean + (mirrored ? -sd : sd) * part.beyondStart : fromEnd;
  const variance = Math.max(sd * sd * part.variance, Number.MIN_VALUE);
  return { logProbability: part.logProbability, mean: Math.min(Math.max(at, low), high), variance };
}

/**
 * Logarithm of the probability that a standard normal number lies between `low` and `high`, full relative accuracy in either tail.
 * @throws {RangeError} ends that are not in order
 */
export function normalLogProbability(low: number, high: number): number {
  return truncatedNormal(0, 1, low, high).logProbability;
}

/** `beyondStart` is measured from the interval's start, or from the untruncated mean where `fromCentre`. */
type Part = { logProbability: number; beyondStart: number; variance: number; fromCentre: boolean };

/** Where a part is written, again and again: a survey asks for thousands. */
const part: Part = { logProbability: NaN, beyondStart: NaN, variance: NaN, fromCentre: false };

function written(logProbability: number, beyondStart: number, variance: number, fromCentre: boolean): void {
  part.logProbability = logProbability;
  part.beyondStart = beyondStart;
  part.variance = variance;
  part.fromCentre = fromCentre;
}

/** Writes the part of a standard normal between `start` and `end`, whose middle is 0 or more; `width` is given apart because end - start loses digits. */
function writeMoments(start: number, width: number, end: number): void {
  if (start === Infinity) written(-Infinity, 0, 0, false);
  else if (start < 0 && width >= 2) aroundPeak(start, end);
  else fromStart(start, width);
}

/** The closed forms; safe here because the interval holds the peak and more than a third of the distribution. */
function aroundPeak(start: number, end: number): void {
  const outside = normalCdf(start) + normalCdf(-end);
  const inside = 1 - outside;
  const mean = (normalDensity(start) - normalDensity(end)) / inside;
  const variance = 1 + (timesDensity(start) - timesDensity(end)) / inside - mean * mean;
  written(Math.log1p(-outside), mean, variance, true);
}

function timesDensity(x: number): number {
  return Number.isFinite(x) ? x * normalDensity(x) : 0;
}

/**
 * Forty nodes carry exp(-42 t) and exp(-42 t²) over 0..1 to the last digits of a double; fewer do where the exponent ranges over less,
 * by the remainder of the rule, (n!)^4 / ((2n + 1) (2n)!^3) times the derivative of order 2n (NIST DLMF 3.5.20).
 */
const RULES = [{ range: 1, rule: gaussLegendre(10) }, { range: 5, rule: gaussLegendre(16) }, { range: 10, rule: gaussLegendre(20) }, { range: Infinity, rule: gaussLegendre(40) }] as const;

function ruleFor(range: number): Quadrature {
  for (const { range: most, rule } of RULES) if (range <= most) return rule;
  return RULES[3].rule;
}
/** exp(-42) is below the last digit of a double. */
const NEGLIGIBLE = 42;
/** Room for the densities at the nodes, used again and again. */
const density = new Float64Array(40);
const LOG_SQRT_2PI = Math.log(2 * Math.PI) / 2;

/** Sums over exp(-start t - t²/2), the density relative to that at the start, t = 0..width as far as it is not negligible. */
function fromStart(start: number, width: number): void {
  // so far out the root is the start itself, and its square might be none
  const root = start < 1e9 ? Math.sqrt(start * start + 2 * NEGLIGIBLE) : start;
  const reach = (2 * NEGLIGIBLE) / (root + start);
  const length = Math.min(width, reach);
  const { nodes, weights } = ruleFor(length * (start + length / 2));
  let total = 0;
  let first = 0;
  for (let k = 0; k < nodes.length; k++) {
    const t = (nodes[k] ?? 0) * length;
    density[k] = (weights[k] ?? 0) * Math.exp(-t * (start + t / 2));
    total += density[k] ?? 0;
    first += (density[k] ?? 0) * (nodes[k] ?? 0);
  }
  const centre = first / total;
  let second = 0;
  for (let k = 0; k < nodes.length; k++) second += (density[k] ?? 0) * ((nodes[k] ?? 0) - centre) ** 2;
  written(Math.log(total) + Math.log(length) - (start * start) / 2 - LOG_SQRT_2PI, centre * length, (second / total) * length * length, false);
}
