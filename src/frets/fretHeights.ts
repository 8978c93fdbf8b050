import { fretDistanceMm } from "../neck/frets.js";
import { limitsOf } from "../neck/limits.js";
import { normalCdf } from "../survey/likelihood/normal.js";
import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { isEndOfCurve, overNeckLine, readPlaces } from "./places.js";
import type { FretPlace } from "./places.js";

/** How one fret stands on one line. */
export type FretHeight = FretPlace & {
  readonly xMm: number;
  /** Height of the crown over the smooth neck line, mm; negative is below it. */
  readonly high: Measured;
  /** Probability that it stands over the shop's limit, and that it stands as far below the line. */
  readonly probabilityHigh: number;
  readonly probabilityLow: number;
  readonly stands: "high" | "low" | "as intended";
  /** Among the end two frets at a side of what was read on this line: a curve has no neighbours there. */
  readonly endOfCurve: boolean;
};

const known = new WeakMap<Survey, readonly FretHeight[]>();

/**
 * Height of every read fret over the smooth neck line, line by line (never over a chord), with its probability over the shop's limit.
 * By fret, then from bass to treble. What was only rocked has its height from its neighbours and from how frets are pressed in.
 * @param survey what `adjust` gave
 * @returns nothing where the readings reach fewer than three places
 */
export function fretHeights(survey: Survey): readonly FretHeight[] {
  const heights = known.get(survey) ?? workedOut(survey);
  known.set(survey, heights);
  return heights;
}

function workedOut(survey: Survey): readonly FretHeight[] {
  const { highMm } = limitsOf(survey.neck);
  const reached = readPlaces(survey).flatMap((place) => {
    const high = heightOver(survey, place);
    return high === undefined ? [] : [{ ...place, high }];
  });
  return reached.map(({ high, ...place }): FretHeight => {
    const probabilityHigh = probabilityOver(high, highMm);
    const probabilityLow = probabilityOver({ ...high, value: -high.value }, highMm);
    const stands = probabilityHigh > 0.5 ? "high" : probabilityLow > 0.5 ? "low" : "as intended";
    return { ...place, xMm: fretDistanceMm(survey.neck.scaleLengthMm, place.fret), high, probabilityHigh, probabilityLow, stands, endOfCurve: isEndOfCurve(reached, place) };
  });
}

/** A survey refuses what it does not reach: then there is no height to give. */
function heightOver(survey: Survey, place: FretPlace): Measured | undefined {
  try {
    return survey.linear(overNeckLine(survey.neck, place));
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

function probabilityOver({ value, u }: Measured, limitMm: number): number {
  return u > 0 ? normalCdf((value - limitMm) / u) : Number(value > limitMm);
}
