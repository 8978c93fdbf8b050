import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { Matrix } from "ml-matrix";
import { normalQuantile } from "../../survey/likelihood/normal.js";
import { NORMAL_95, type Measured } from "../../units/measured.js";
import { BOW_UNKNOWNS, unknownsAt, type BowPriors, type BowUnknownName, type BowUnknowns } from "../unknowns/unknowns.js";
import { cholesky } from "./cholesky.js";

/**
 * What is believed of a neck's unknowns: a normal distribution over the standard coordinates of its priors, in the order of `BOW_UNKNOWNS`.
 * Before anything was measured its means are 0 and its covariance is 1 on the diagonal.
 */
export type BowBelief = {
  readonly priors: BowPriors;
  readonly mean: readonly number[];
  readonly covariance: readonly (readonly number[])[];
};

/** One unknown as it is believed to be: its middle, and the interval that holds it 19 times in 20. */
export type BelievedValue = { readonly name: BowUnknownName; readonly middle: number; readonly low95: number; readonly high95: number };

/** A number that follows from a set of values for the unknowns, mm. */
export type BowPrediction = (unknowns: BowUnknowns) => number;

/** Half the width over which a prediction's slope is taken, in standard deviations of the prior. */
const STEP = 0.05;

/** What is believed before anything was measured. */
export function priorBelief(priors: BowPriors): BowBelief {
  return { priors, mean: BOW_UNKNOWNS.map(() => 0), covariance: BOW_UNKNOWNS.map((_, row) => BOW_UNKNOWNS.map((__, column) => (row === column ? 1 : 0))) };
}

/** Each unknown under a belief, in its own unit or as a factor. */
export function believedValues({ priors, mean, covariance }: BowBelief): readonly BelievedValue[] {
  return BOW_UNKNOWNS.map((name, index) => {
    const centre = mean[index] ?? 0;
    const half = NORMAL_95 * Math.sqrt(Math.max(0, covariance[index]?.[index] ?? 0));
    const at = (z: number): number => unknownsAt(priors, BOW_UNKNOWNS.map((_, other) => (other === index ? z : 0)))[name];
    return { name, middle: at(centre), low95: at(centre - half), high95: at(centre + half) };
  });
}

/** The unknowns at the middle of a belief. */
export function middleUnknowns({ priors, mean }: BowBelief): BowUnknowns {
  return unknownsAt(priors, mean);
}

/** Slope of a prediction by each standard coordinate, by central differences. */
export function slopes(priors: BowPriors, at: readonly number[], predict: BowPrediction): readonly number[] {
  return at.map((_, index) => {
    const moved = (by: number): number => predict(unknownsAt(priors, at.map((z, other) => (other === index ? z + by : z))));
    return (moved(STEP) - moved(-STEP)) / (2 * STEP);
  });
}

/**
 * A prediction with its uncertainty, carried through linearly (GUM 5.1.2) with all correlations of the belief.
 * @param modelShareU what the model itself may be off by, as a share of the prediction; 0 unless said
 * @returns mm
 */
export function believed(belief: BowBelief, predict: BowPrediction, modelShareU = 0): Measured {
  const value = predict(middleUnknowns(belief));
  const slope = slopes(belief.priors, belief.mean, predict);
  const variance = slope.reduce((sum, one, row) => sum + slope.reduce((inner, other, column) => inner + one * other * (belief.covariance[row]?.[column] ?? 0), 0), 0);
  const u = Math.hypot(Math.sqrt(Math.max(0, variance)), modelShareU * value);
  return { value, u, unit: "mm", low95: value - NORMAL_95 * u, high95: value + NORMAL_95 * u };
}

/**
 * Sets of unknowns drawn from a belief, for Monte Carlo (JCGM 101); mirrored pairs about its middle.
 * @param count how many, rounded up to even
 * @param seed any whole number; the same seed gives the same draws
 */
export function believedDraws(belief: BowBelief, count: number, seed: number): readonly BowUnknowns[] {
  const random = xoroshiro128plus(seed);
  const root = choleskyRoot(belief.covariance);
  return Array.from({ length: Math.ceil(count / 2) }, () => {
    const normals = belief.mean.map(() => normalQuantile(Math.max(uniformFloat64(random), Number.MIN_VALUE)));
    const apart = root.map((row) => row.reduce((sum, entry, column) => sum + entry * (normals[column] ?? 0), 0));
    return [1, -1].map((side) => unknownsAt(belief.priors, belief.mean.map((centre, index) => centre + side * (apart[index] ?? 0))));
  }).flat();
}

/** Lower triangle whose square is the covariance; a hair is added on the diagonal, since rounding may leave it a hair short of positive. */
function choleskyRoot(covariance: readonly (readonly number[])[]): readonly (readonly number[])[] {
  const padded = Matrix.add(new Matrix(covariance.map((row) => [...row])), Matrix.eye(covariance.length, covariance.length, 1e-12));
  return cholesky(padded).lowerTriangularMatrix.to2DArray();
}
