import { fretDistanceMm } from "../neck/frets.js";
import { limitsOf } from "../neck/limits.js";
import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { isEndOfCurve, overNeckLine, readPlaces } from "./places.js";
import type { FretPlace } from "./places.js";

/** How one fret stands on one line. */
export type FretHeight = FretPlace & {
  readonly xMm: number;
  /** Height of the crown over the smooth neck line, mm; negative is below it. */
  readonly high: Measured;
  /** Probability that it stands over the shop's limit, and that it stands as far below the line, as shares of joint draws. */
  readonly probabilityHigh: number;
  readonly probabilityLow: number;
  readonly stands: "high" | "low" | "as intended";
  /** Among the end two frets at a side of what was read on this line: a curve has no neighbours there. */
  readonly endOfCurve: boolean;
};

/** Joint draws of how far every fret read stands over the neck line, in the order of `places`. */
export type FretDraws = { readonly places: readonly FretPlace[]; readonly draws: readonly Float64Array[]; /** The heights themselves, in the same order. */ readonly highs: readonly Measured[] };

const DRAWS = 4000;
const SEED = 41;

const drawn = new WeakMap<Survey, FretDraws>();

/**
 * Joint draws of the heights of all frets read, worked out once for a survey. A fret of which little was read is either pressed in as intended or far out: no
 * normal distribution says how likely that is, its draws do.
 */
export function fretDraws(survey: Survey): FretDraws {
  const found = drawn.get(survey) ?? drawAll(survey);
  drawn.set(survey, found);
  return found;
}

function drawAll(survey: Survey): FretDraws {
  const read = readPlaces(survey);
  const heights = heightsOver(survey, read);
  const reached = read.flatMap((place, index) => {
    const high = heights[index];
    return high === undefined ? [] : [{ place, high }];
  });
  const places = reached.map(({ place }) => place);
  return { places, highs: reached.map(({ high }) => high), draws: places.length === 0 ? [] : survey.draws(places.map((place) => overNeckLine(survey.neck, place)), DRAWS, SEED) };
}

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
  const { places, draws, highs } = fretDraws(survey);
  const share = (index: number, isHit: (heightMm: number) => boolean): number => draws.filter((draw) => isHit(draw[index] ?? NaN)).length / draws.length;
  return places.flatMap((place, index): FretHeight[] => {
    const high = highs[index];
    if (high === undefined) return [];
    const probabilityHigh = share(index, (heightMm) => heightMm > highMm);
    const probabilityLow = share(index, (heightMm) => heightMm < -highMm);
    const stands = probabilityHigh > 0.5 ? "high" : probabilityLow > 0.5 ? "low" : "as intended";
    return [{ ...place, xMm: fretDistanceMm(survey.neck.scaleLengthMm, place.fret), high, probabilityHigh, probabilityLow, stands, endOfCurve: isEndOfCurve(places, place) }];
  });
}

/** A survey refuses what it does not reach: then there is no height to give. */
function heightsOver(survey: Survey, places: readonly FretPlace[]): readonly (Measured | undefined)[] {
  const asked = places.map((place) => overNeckLine(survey.neck, place));
  return unlessRefused(() => survey.linearAll(asked)) ?? asked.map((terms) => unlessRefused(() => survey.linear(terms)));
}

function unlessRefused<T>(answer: () => T): T | undefined {
  try {
    return answer();
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}
