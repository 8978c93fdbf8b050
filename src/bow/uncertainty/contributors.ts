import { slopes, type BowBelief, type BowPrediction } from "../calibration/belief.js";
import { BOW_UNKNOWNS, type BowUnknownName } from "../unknowns/unknowns.js";

/** What one unknown adds to the standard uncertainty of a prediction, mm, with sign: what one standard deviation more of it would do. */
export type Contributor = {
  readonly unknown: BowUnknownName;
  readonly effectMm: number;
  /** Its part of the variance, correlations halved between the two they join; all parts add up to 1. */
  readonly share: number;
};

/**
 * Which unknowns make a prediction uncertain, the largest first: linear propagation (JCGM 100, 5.1 and 5.2) at the middle of a belief.
 * @param predict mm from a set of unknowns
 */
export function contributors(belief: BowBelief, predict: BowPrediction): readonly Contributor[] {
  const slope = slopes(belief.priors, belief.mean, predict);
  const parts = slope.map((one, row) => one * slope.reduce((sum, other, column) => sum + other * (belief.covariance[row]?.[column] ?? 0), 0));
  const variance = parts.reduce((sum, part) => sum + part, 0);
  return BOW_UNKNOWNS.map((unknown, index) => ({
    unknown,
    effectMm: (slope[index] ?? 0) * Math.sqrt(Math.max(0, belief.covariance[index]?.[index] ?? 0)),
    share: variance > 0 ? (parts[index] ?? 0) / variance : 0,
  })).sort((a, b) => b.share - a.share);
}
