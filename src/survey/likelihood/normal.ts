import erfc from "@stdlib/math-base-special-erfc";
import erfcinv from "@stdlib/math-base-special-erfcinv";

/** Probability that a standard normal number is `x` or less; full relative accuracy in the lower tail. */
export function normalCdf(x: number): number {
  return erfc(-x * Math.SQRT1_2) / 2;
}

/**
 * The x below which a standard normal number lies with probability `p`; -Infinity at 0, Infinity at 1.
 * @throws {RangeError} a probability outside 0..1
 */
export function normalQuantile(p: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`Cannot give a quantile: expected a probability in 0..1, got ${p}`);
  return -Math.SQRT2 * erfcinv(2 * p);
}

/** Density of the standard normal distribution; 0 at either infinity. */
export function normalDensity(x: number): number {
  return Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI);
}
