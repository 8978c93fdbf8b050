import { Matrix } from "ml-matrix";
import { BOW_UNKNOWNS, type BowUnknownName } from "../unknowns/unknowns.js";
import type { BowBelief } from "./belief.js";
import { cholesky, symmetric } from "./cholesky.js";
import type { BowCalibration } from "./calibrate.js";

/** For each unknown, how much of its prior variance all necks of a batch share, 0 to 1: one saw, one wire, one plank, one kind of rod. */
export type BatchShares = { readonly [Name in BowUnknownName]: number };

/** Own judgement, not measured: what comes from the shop's tools and stock is mostly shared, what comes from a piece of wood mostly not. */
export const COMMON_SHARES: BatchShares = {
  boardStiffness: 0.2, neckStiffness: 0.2, interferenceMm: 0.85, contactStiffnessNmm3: 0.9, crushingMPa: 0.9, neckFaceBowMm: 0.2,
  rodResponse: 0.85, rodDeadZoneTurns: 0.5, stringTension: 0.8, stringHeightMm: 0.5, boardSeasonStrain: 0.5, neckSeasonStrain: 0.5, settling: 0.5,
};

/** What is believed of what a batch shares, and of the neck that comes next. */
export type BatchBelief = { readonly shared: BowBelief; readonly shares: BatchShares; readonly nextNeck: BowBelief };

/**
 * What is believed of a batch before its first neck.
 * @param belief what is believed of any one neck, before measuring
 * @throws {RangeError} a share outside 0 to 1
 */
export function newBatch(belief: BowBelief, shares: BatchShares = COMMON_SHARES): BatchBelief {
  const outside = BOW_UNKNOWNS.find((name) => !(shares[name] >= 0 && shares[name] <= 1));
  if (outside !== undefined) throw new RangeError(`Cannot begin a batch: expected the share of ${outside} between 0 and 1, got ${shares[outside]}`);
  const root = BOW_UNKNOWNS.map((name) => Math.sqrt(shares[name]));
  const covariance = belief.covariance.map((row, at) => row.map((value, column) => value * (root[at] ?? 0) * (root[column] ?? 0)));
  return batchOf({ ...belief, covariance }, shares);
}

/**
 * The batch after one more of its necks was measured: what the neck taught of what all share. The neck must have been calibrated from `batch.nextNeck`.
 * @source conditional mean and covariance of jointly normal numbers; the neck's own part, being fresh, drops out
 */
export function batchAfter(batch: BatchBelief, { after, before }: BowCalibration): BatchBelief {
  const shared = new Matrix(batch.shared.covariance.map((row) => [...row]));
  const neck = new Matrix(before.covariance.map((row) => [...row]));
  const gain = cholesky(neck).solve(shared).transpose();
  const moved = gain.mmul(Matrix.columnVector(after.mean.map((value, index) => value - (before.mean[index] ?? 0)))).to1DArray();
  const learnt = Matrix.sub(new Matrix(after.covariance.map((row) => [...row])), neck);
  const covariance = symmetric(Matrix.add(shared, gain.mmul(learnt).mmul(gain.transpose())));
  return batchOf({ priors: batch.shared.priors, mean: batch.shared.mean.map((value, index) => value + (moved[index] ?? 0)), covariance: covariance.to2DArray() }, batch.shares);
}

/** The neck that comes next: what is shared, and a part of its own as wide as before the first. */
function batchOf(shared: BowBelief, shares: BatchShares): BatchBelief {
  const covariance = shared.covariance.map((row, at) => row.map((value, column) => value + (at === column ? 1 - shares[BOW_UNKNOWNS[at] ?? "settling"] : 0)));
  return { shared, shares, nextNeck: { ...shared, covariance } };
}
