/**
 * What nobody knows of a neck before it is measured, in this order. Factors multiply what the neck file or the books say; the others are
 * values of their own in the unit of their name.
 */
export const BOW_UNKNOWNS = [
  "boardStiffness", "neckStiffness", "interferenceMm", "contactStiffnessNmm3", "crushingMPa", "neckFaceBowMm",
  "rodResponse", "rodDeadZoneTurns", "stringTension", "stringHeightMm", "boardSeasonStrain", "neckSeasonStrain", "settling",
] as const;

/** One of `BOW_UNKNOWNS`. */
export type BowUnknownName = (typeof BOW_UNKNOWNS)[number];

/**
 * One set of values for everything unknown: what every case of the bow model is worked out from.
 * `boardStiffness`, `neckStiffness`: true stiffness along the grain over the stated one. `interferenceMm`: tang less slot, mean over the frets.
 * `contactStiffnessNmm3`: of one slot face under its tang. `crushingMPa`: mean pressure at which a slot face yields. `neckFaceBowMm`: relief of the
 * neck's gluing face before glue-up, positive is forward bow. `rodResponse`: true bow per turn over that of the rod's geometry.
 * `rodDeadZoneTurns`: turns before the rod bears. `stringTension`: factor. `stringHeightMm`: added to the string's height all along.
 * `boardSeasonStrain`, `neckSeasonStrain`: free lengthening of board and neck between the two seasons asked about. `settling`: what bow under
 * lasting load grows to, as a factor, with the years.
 */
export type BowUnknowns = { readonly [Name in BowUnknownName]: number };

/**
 * What is believed of one unknown before measuring: `plain` is normal about `middle` with standard deviation `spread`;
 * `log` is log-normal: `middle` is its median and `spread` the standard deviation of its natural logarithm.
 */
export type BowPrior = {
  readonly scale: "plain" | "log";
  readonly middle: number;
  readonly spread: number;
  /** Where the belief comes from, in a builder's words. */
  readonly why: string;
};

/** A belief for each unknown. Calibration gives a posterior over the same standard coordinates that `unknownsAt` takes. */
export type BowPriors = { readonly [Name in BowUnknownName]: BowPrior };

/**
 * The value of an unknown at a number of standard deviations from its middle, in the scale of its prior.
 * @param z standard deviations from the middle
 * @example near(priorValue({ scale: "log", middle: 1000, spread: Math.log(2), why: "" }, 1), 2000, { rel: 1e-12 });
 */
export function priorValue({ scale, middle, spread }: BowPrior, z: number): number {
  return scale === "plain" ? middle + spread * z : middle * Math.exp(spread * z);
}

/**
 * A set of values from standard coordinates: independent standard normals under the prior, in the order of `BOW_UNKNOWNS`. All 0 gives the middles.
 * Draws, linear propagation and calibration all work in these coordinates.
 */
export function unknownsAt(priors: BowPriors, z: ArrayLike<number> = []): BowUnknowns {
  const at = (name: BowUnknownName, index: number): number => priorValue(priors[name], z[index] ?? 0);
  return {
    boardStiffness: at("boardStiffness", 0), neckStiffness: at("neckStiffness", 1), interferenceMm: at("interferenceMm", 2),
    contactStiffnessNmm3: at("contactStiffnessNmm3", 3), crushingMPa: at("crushingMPa", 4), neckFaceBowMm: at("neckFaceBowMm", 5),
    rodResponse: at("rodResponse", 6), rodDeadZoneTurns: Math.max(0, at("rodDeadZoneTurns", 7)), stringTension: at("stringTension", 8),
    stringHeightMm: at("stringHeightMm", 9), boardSeasonStrain: at("boardSeasonStrain", 10), neckSeasonStrain: at("neckSeasonStrain", 11),
    settling: Math.max(1, at("settling", 12)),
  };
}
