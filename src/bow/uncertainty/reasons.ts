import { rangeWords } from "../effect.js";
import type { BowBelief } from "../calibration/belief.js";
import type { Measured } from "../../units/measured.js";
import type { UnitOrder } from "../../units/words.js";
import { BOW_UNKNOWNS, type BowUnknownName } from "../unknowns/unknowns.js";
import type { Contributor } from "./contributors.js";

/** Why a prediction is wide where nothing was measured, and the reading that narrows it. */
const REASONS: Readonly<Record<BowUnknownName, { readonly why: string; readonly reading: string }>> = {
  boardStiffness: { why: "the board's stiffness is a book value", reading: "the bow of the fretted board before glue-up and of the neck after it" },
  neckStiffness: { why: "this neck's stiffness is a book value", reading: "one strung reading" },
  interferenceMm: { why: "how much thicker the tangs are than their slots is known to a hundredth of a millimetre at best", reading: "the bow of one fretted board before glue-up" },
  contactStiffnessNmm3: { why: "how hard tangs bear on their slots is hardly known", reading: "the bow of one fretted board before glue-up" },
  crushingMPa: { why: "where the slots' faces begin to crush is hardly known", reading: "the bow of one fretted board before glue-up" },
  neckFaceBowMm: { why: "the neck's gluing face was not read", reading: "an edge on the neck's gluing face before glue-up" },
  rodResponse: { why: "this rod's response was not measured", reading: "one reading before and one after a quarter turn of the rod" },
  rodDeadZoneTurns: { why: "where this rod begins to bear was not measured", reading: "a rod test in steps" },
  stringTension: { why: "the strings' tension is not known well", reading: "gauges, cores and pitches of the strings, or one strung reading" },
  stringHeightMm: { why: "the strings' height is not known well", reading: "string heights at the nut and over the last fret" },
  boardSeasonStrain: { why: "how much this board moves along its grain with moisture is a book value", reading: "one reading in the dry and one in the damp season" },
  neckSeasonStrain: { why: "how much this neck's wood moves along its grain with moisture is a book value", reading: "one reading in the dry and one in the damp season" },
  settling: { why: "how much a neck settles under lasting load differs from 1.0 to 2.0 times", reading: "one reading now and one after some months at pitch" },
};

/** Narrower than this there is nothing to explain, mm. */
const WIDE_MM = 0.06;

/**
 * A prediction in words: its range, and why it is wide and what narrows it. Never one figure.
 * @param largest of its contributors
 */
export function predictionWords(range: Pick<Measured, "low95" | "high95">, largest: Contributor | undefined, belief: BowBelief, order: UnitOrder = "mm first"): string {
  const words = rangeWords(range, order);
  if (range.high95 - range.low95 < WIDE_MM || largest === undefined || largest.share <= 0) return words;
  const { why, reading } = REASONS[largest.unknown];
  return wasLearnt(belief, largest.unknown) ? `${words}; mostly open: ${plain(why)}, though readings have narrowed it; ${reading} narrows it further` : `${words}; wide, because ${why}; ${reading} narrows it`;
}

/** The reason without claiming a book value that readings have since changed. */
function plain(why: string): string {
  return why.replace(/ is a book value$/, "");
}

function wasLearnt({ covariance }: BowBelief, unknown: BowUnknownName): boolean {
  const index = BOW_UNKNOWNS.indexOf(unknown);
  return (covariance[index]?.[index] ?? 1) < LEARNT;
}

/** Variance left, as a share of the prior's. */
const LEARNT = 0.9;
