import { quantileSorted, sampleStandardDeviation } from "simple-statistics";
import type { Measured } from "../../units/measured.js";

/**
 * Draws of a length as median, standard deviation and probabilistically symmetric 95 % interval.
 * @throws {RangeError} fewer than two draws, or one that is not finite
 * @source JCGM 101, 7.6 and 7.7 (the median in place of the mean, since predictions are skew)
 * @example near(rangeOf([1, 2, 3, 4, 5]).value, 3, { abs: 1e-12 });
 */
export function rangeOf(drawsMm: ArrayLike<number>): Measured {
  const sorted = Array.from(drawsMm).sort((a, b) => a - b);
  if (sorted.length < 2 || !sorted.every(Number.isFinite)) throw new RangeError(`Cannot give a range: expected two finite draws or more, got ${sorted.length}`);
  return { value: quantileSorted(sorted, 0.5), u: sampleStandardDeviation(sorted), unit: "mm", low95: quantileSorted(sorted, 0.025), high95: quantileSorted(sorted, 0.975) };
}
