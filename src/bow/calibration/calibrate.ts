import { Matrix } from "ml-matrix";
import { normalQuantile } from "../../survey/likelihood/normal.js";
import type { Measured } from "../../units/measured.js";
import { rangeOf } from "../uncertainty/range.js";
import { unknownsAt } from "../unknowns/unknowns.js";
import { believedDraws, middleUnknowns, slopes, type BowBelief, type BowPrediction } from "./belief.js";
import { cholesky, symmetric } from "./cholesky.js";

/** One thing measured on a neck, and how the model says it follows from the unknowns; both in mm, forward bow positive. */
export type BowObservation = {
  /** In a builder's words: `free board`, `after glue-up`, `strung`. */
  readonly of: string;
  readonly measured: Measured;
  /** The parts of the measurement's uncertainty that all observations naming the same error have in common: the bow of one edge. */
  readonly shared?: readonly { readonly error: string; readonly uMm: number }[];
  readonly predictMm: BowPrediction;
};

/** How well one observation is met: what was believed of it before, and after. */
export type BowFit = { readonly of: string; readonly measured: Measured; readonly before: Measured; readonly after: Measured };

/** What a neck's own readings taught of it. */
export type BowCalibration = {
  readonly before: BowBelief;
  readonly after: BowBelief;
  readonly fits: readonly BowFit[];
  /** Squared misfit of all observations together in units of what was to be expected, and its number of observations. */
  readonly misfit: { readonly chi2: number; readonly observations: number; /** Such a misfit, or a larger one, is rarer than 1 in 100. */ readonly isLarge: boolean };
};

/** What the model may be off by, as a share of a bow: the closed form of tang pressure lies within 5 to 7 % of its finite-element study; beams less. */
export const MODEL_SHARE_U = 0.03;

const MOST_ROUNDS = 60;
const SETTLED = 1e-9;
/** Chance beyond which a misfit is called large. */
const RARE = 0.01;

/**
 * Learns from measurements: the normal distribution nearest to what remains possible of the unknowns (the iterated Gauss-Newton update
 * of a normal prior by measurements with normal errors), with its full covariance.
 * @param belief what was believed before; `priorBelief` or an earlier calibration's `after`
 * @param observations measured bows, all of one neck; none leaves the belief as it was
 * @returns what is believed now, each observation before and after, and whether they fit
 * @throws {RangeError} a measurement or prediction that is not finite, or one without uncertainty
 * @source posterior mode by Gauss-Newton, covariance by the Laplace approximation; exact where the model is linear
 */
export function calibrated(belief: BowBelief, observations: readonly BowObservation[], modelShareU: number = MODEL_SHARE_U): BowCalibration {
  const bad = observations.find(({ measured }) => !(measured.u > 0 && Number.isFinite(measured.value + measured.u)));
  if (bad !== undefined) throw new RangeError(`Cannot learn from "${bad.of}": expected a finite bow with an uncertainty above 0, got ${bad.measured.value} mm and ${bad.measured.u} mm`);
  const noise = noiseOf(observations, modelShareU);
  const prior = new Matrix(belief.covariance.map((row) => [...row]));
  let z = [...belief.mean];
  let step = observations.length === 0 ? undefined : updateAt(belief, prior, noise, observations, z);
  for (let round = 0; step !== undefined && round < MOST_ROUNDS; round++) {
    const next = damped(belief, prior, noise, observations, z, step.z);
    const moved = Math.max(...next.map((value, index) => Math.abs(value - (z[index] ?? 0))));
    z = next;
    step = updateAt(belief, prior, noise, observations, z);
    if (moved < SETTLED) break;
  }
  const after: BowBelief = { priors: belief.priors, mean: z, covariance: step?.covariance ?? belief.covariance };
  const chi2 = step?.chi2 ?? 0;
  return {
    before: belief, after,
    fits: observations.map(({ of, measured, predictMm }) => ({ of, measured, before: drawnRange(belief, predictMm), after: drawnRange(after, predictMm) })),
    misfit: { chi2, observations: observations.length, isLarge: observations.length > 0 && chi2 > chiSquareBeyond(observations.length) },
  };
}

const DRAWS = 100;
const SEED = 20_29;

/** The middle of a belief, and the range of draws from it. */
function drawnRange(belief: BowBelief, predict: BowPrediction): Measured {
  return { ...rangeOf(believedDraws(belief, DRAWS, SEED).map(predict)), value: predict(middleUnknowns(belief)) };
}

type Update = { readonly z: readonly number[]; readonly covariance: readonly (readonly number[])[]; readonly chi2: number };

/** The update as if the model were linear about z. */
function updateAt(belief: BowBelief, prior: Matrix, noise: Matrix, observations: readonly BowObservation[], z: readonly number[]): Update {
  const slope = new Matrix(observations.map(({ predictMm }) => [...slopes(belief.priors, z, predictMm)]));
  const apart = Matrix.columnVector(z.map((value, index) => value - (belief.mean[index] ?? 0)));
  const misses = Matrix.columnVector(missesAt(belief, observations, z)).add(slope.mmul(apart));
  const spread = slope.mmul(prior).mmul(slope.transpose()).add(noise);
  const solver = cholesky(spread);
  const gain = solver.solve(slope.mmul(prior)).transpose();
  const left = Matrix.eye(z.length).sub(gain.mmul(slope));
  const joseph = left.mmul(prior).mmul(left.transpose()).add(gain.mmul(noise).mmul(gain.transpose())); // Joseph's form stays positive
  return {
    z: gain.mmul(misses).to1DArray().map((value, index) => value + (belief.mean[index] ?? 0)),
    covariance: symmetric(joseph).to2DArray(), chi2: misses.transpose().mmul(solver.solve(misses)).get(0, 0),
  };
}

/** A full step, or as much of it as lowers what is to be least. */
function damped(belief: BowBelief, prior: Matrix, noise: Matrix, observations: readonly BowObservation[], from: readonly number[], to: readonly number[]): number[] {
  const cost = (z: readonly number[]): number => squared(prior, z.map((value, index) => value - (belief.mean[index] ?? 0))) + squared(noise, missesAt(belief, observations, z));
  const now = cost(from);
  for (let share = 1; share > 1e-4; share /= 2) {
    const tried = from.map((value, index) => value + share * ((to[index] ?? value) - value));
    if (cost(tried) <= now) return tried;
  }
  return [...from];
}

function squared(covariance: Matrix, deviation: readonly number[]): number {
  const column = Matrix.columnVector([...deviation]);
  return column.transpose().mmul(cholesky(Matrix.add(covariance, Matrix.eye(covariance.rows, covariance.rows, 1e-13))).solve(column)).get(0, 0);
}

function missesAt(belief: BowBelief, observations: readonly BowObservation[], z: readonly number[]): number[] {
  const unknowns = unknownsAt(belief.priors, z);
  return observations.map(({ of, measured, predictMm }) => {
    const miss = measured.value - predictMm(unknowns);
    if (!Number.isFinite(miss)) throw new RangeError(`Cannot learn from "${of}": the model gives no finite bow for it`);
    return miss;
  });
}

/** Errors of one edge are common to all that it measured; the rest, and the model's own share, are each observation's. */
function noiseOf(observations: readonly BowObservation[], modelShareU: number): Matrix {
  return new Matrix(observations.map((one, row) => observations.map((other, column) => {
    const common = sharedVariance(one, other);
    if (row !== column) return common;
    return Math.max(one.measured.u ** 2, common * (1 + 1e-6)) + (modelShareU * one.measured.value) ** 2;
  })));
}

function sharedVariance({ shared = [] }: BowObservation, { shared: others = [] }: BowObservation): number {
  return shared.reduce((sum, { error, uMm }) => sum + uMm * (others.find((other) => other.error === error)?.uMm ?? 0), 0);
}

/** The value that a chi-square number of so many degrees of freedom exceeds once in a hundred (Wilson and Hilferty, 1931; within 1 % from two on, 3 % at one). */
function chiSquareBeyond(dof: number): number {
  const spread = 2 / (9 * dof);
  return dof * (1 - spread + normalQuantile(1 - RARE) * Math.sqrt(spread)) ** 3;
}
