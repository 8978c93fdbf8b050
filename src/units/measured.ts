/**
 * A value with its standard uncertainty `u` (GUM, JCGM 100) and its 95 % coverage interval.
 * It has no arithmetic on purpose: numbers derived from a survey come from the survey, so that what they share is not counted twice.
 */
export type Measured = {
  readonly value: number;
  readonly u: number;
  readonly unit: "mm" | "1";
  /** Degrees of freedom, where `u` was itself estimated from few observations (GUM G.4). */
  readonly dof?: number;
  readonly low95: number;
  readonly high95: number;
};

/** Half the width of the central 95 % of a normal distribution, in standard deviations. */
export const NORMAL_95 = 1.959963984540054;

/**
 * A normally distributed value in mm.
 * @param valueMm best estimate
 * @param uMm standard uncertainty, not negative
 * @throws {RangeError} a number that is not finite, or a negative uncertainty
 */
export function normalMm(valueMm: number, uMm: number): Measured {
  if (!Number.isFinite(valueMm) || !(uMm >= 0) || !Number.isFinite(uMm)) {
    throw new RangeError(`Cannot state a length: expected a finite value and an uncertainty of 0 or more, got ${valueMm} and ${uMm}`);
  }
  return { value: valueMm, u: uMm, unit: "mm", low95: valueMm - NORMAL_95 * uMm, high95: valueMm + NORMAL_95 * uMm };
}
