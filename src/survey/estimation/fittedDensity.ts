import { smallInverse, smallProduct } from "../linear/smallSpd.js";
import { noFlatterThan } from "./curvature.js";
import type { Curvature } from "./curvature.js";

/** A place in two directions so scaled that the density is about as wide as a standard normal one in each. */
export type Spot = readonly [number, number];

/** What is known of a log density at a place: its value and slopes. */
export type Known = { readonly at: Spot; readonly logDensity: number; readonly slopes: Spot };

/** A density fitted to what is known of it: at each place also how it curves. */
export type FittedDensity = readonly (Known & { readonly curvature: Curvature })[];

/** A place that stands for so much of the plane. */
export type Cell = { readonly at: Spot; readonly area: number };

/** Logarithm of the integral of a density, and its means of 1, x, y, x^2, xy, y^2. */
export type Moments = { readonly logIntegral: number; readonly means: readonly number[] };

/** Of fewer places there are hardly more numbers than a cubic has. */
const LEAST_PLACES = 5;
/** Weight against one known number with which cubic terms are held at nothing, so that ill-placed places do not make them up. */
const HELD = 1e-2;
/** A density flatter than this is not believed: nothing says where it would end. */
const LEAST_FITTED_CURVATURE = 0.2;

/** The density with, at each place, the curvature of the cubic that fits all values and slopes best; that of a standard normal one where too few places are known. */
export function fittedDensity(known: readonly Known[]): FittedDensity {
  const cubic = known.length < LEAST_PLACES ? undefined : fittedCubic(known);
  return known.map((one) => ({ ...one, curvature: cubic === undefined ? [1, 0, 1] : noFlatterThan(LEAST_FITTED_CURVATURE, curvatureOf(cubic, one.at)) }));
}

/** Means of these make weights right for what changes with the place by squares at most. */
function squaresAt([x, y]: Spot): readonly number[] {
  return [1, x, y, x * x, x * y, y * y];
}

/** Terms of a cubic, and the first that is one of the third degree. */
const [CUBIC_TERMS, FIRST_CUBIC] = [10, 6];

/** Coefficients of 1, x, y, x^2, xy, y^2, x^3, x^2 y, x y^2, y^3 by least squares. */
function fittedCubic(known: readonly Known[]): Float64Array | undefined {
  const top = highest(known);
  const rows = known.flatMap(({ at: [x, y], logDensity, slopes }) => [
    { terms: [...squaresAt([x, y]), x ** 3, x * x * y, x * y * y, y ** 3], value: logDensity - top },
    { terms: [0, 1, 0, 2 * x, y, 0, 3 * x * x, 2 * x * y, y * y, 0], value: slopes[0] },
    { terms: [0, 0, 1, 0, x, 2 * y, 0, x * x, 2 * x * y, 3 * y * y], value: slopes[1] },
  ]);
  const normal = new Float64Array(CUBIC_TERMS * CUBIC_TERMS);
  const right = new Float64Array(CUBIC_TERMS);
  for (let i = 0; i < CUBIC_TERMS; i++) if (i >= FIRST_CUBIC) normal[i * (CUBIC_TERMS + 1)] = HELD;
  for (const { terms, value } of rows) {
    for (let i = 0; i < CUBIC_TERMS; i++) {
      const term = terms[i] ?? 0;
      right[i] = (right[i] ?? 0) + term * value;
      for (let j = 0; j < CUBIC_TERMS; j++) normal[i * CUBIC_TERMS + j] = (normal[i * CUBIC_TERMS + j] ?? 0) + term * (terms[j] ?? 0);
    }
  }
  const found = smallInverse(normal, CUBIC_TERMS);
  return found === undefined ? undefined : smallProduct(found.inverse, right);
}

function curvatureOf(cubic: Float64Array, [x, y]: Spot): Curvature {
  const of = (term: number): number => cubic[term] ?? 0;
  return [-2 * of(3) - 6 * of(6) * x - 2 * of(7) * y, -of(4) - 2 * of(7) * x - 2 * of(8) * y, -2 * of(5) - 2 * of(8) * x - 6 * of(9) * y];
}

function highest(known: readonly Known[]): number {
  return Math.max(...known.map(({ logDensity }) => logDensity));
}

/** Squared distance within which a known place alone decides. */
const AT_A_PLACE = 1e-3;

/** Log density expected at a place: near each known place as its value, slopes and curvature there have it, in between a mean of what is expected from all, the nearer the more. */
export function expectedAt(density: FittedDensity, [x, y]: Spot): number {
  let total = 0;
  let expected = 0;
  for (const { at, logDensity, slopes, curvature } of density) {
    const dx = x - at[0];
    const dy = y - at[1];
    const nearness = 1 / (dx * dx + dy * dy + AT_A_PLACE) ** 2;
    total += nearness;
    expected += nearness * (logDensity + slopes[0] * dx + slopes[1] * dy - 0.5 * (curvature[0] * dx * dx + 2 * curvature[1] * dx * dy + curvature[2] * dy * dy));
  }
  return expected / total;
}

/** Sums over the cells. */
export function momentsOf(density: FittedDensity, cells: readonly Cell[]): Moments {
  const top = highest(density);
  const sums = new Float64Array(squaresAt([0, 0]).length);
  for (const { at, area } of cells) {
    const mass = area * Math.exp(expectedAt(density, at) - top);
    const terms = squaresAt(at);
    for (let k = 0; k < sums.length; k++) sums[k] = (sums[k] ?? 0) + mass * (terms[k] ?? 0);
  }
  const all = sums[0] ?? NaN;
  return { logIntegral: top + Math.log(all), means: Array.from(sums, (sum) => sum / all) };
}

/** How many of the means are held at a time: first what makes the mean place right, then the spread too. */
const HELD_MEANS = [3, 6];

/**
 * Weights, as near to the given ones as may be, with which the places have the means that the density has; as much of the way as leaves no weight negative.
 * @source calibration of weights: J.-C. Deville, C.-E. Särndal, Calibration estimators in survey sampling, Journal of the American Statistical Association 87, 1992 (from memory)
 */
export function calibratedWeights(places: readonly Spot[], given: readonly number[], means: readonly number[]): readonly number[] {
  const sum = given.reduce((total, weight) => total + weight, 0);
  let weights = given.map((weight) => weight / sum);
  for (const count of HELD_MEANS) {
    const wanted = places.length < count ? undefined : weightsWithMeans(places.map((at) => squaresAt(at).slice(0, count)), weights, means.slice(0, count));
    if (wanted !== undefined) weights = partWay(weights, wanted);
  }
  return weights;
}

/** Means that are missed by more cannot be had at these places, as where all lie on one circle: the equations for the weights have no solution, though rounding gives them one. */
const MISSED = 1e-6;

function weightsWithMeans(terms: readonly (readonly number[])[], weights: readonly number[], means: readonly number[]): readonly number[] | undefined {
  const overPlaces = (value: (row: readonly number[]) => number): number => terms.reduce((sum, row, k) => sum + (weights[k] ?? 0) * value(row), 0);
  const normal = Float64Array.from(means.flatMap((_, i) => means.map((__, j) => overPlaces((row) => (row[i] ?? 0) * (row[j] ?? 0)))));
  const short = Float64Array.from(means, (mean, i) => mean - overPlaces((row) => row[i] ?? 0));
  const found = smallInverse(normal, means.length);
  if (found === undefined) return undefined;
  const factors = smallProduct(found.inverse, short);
  const wanted = terms.map((row, k) => (weights[k] ?? 0) * (1 + row.reduce((sum, term, i) => sum + term * (factors[i] ?? 0), 0)));
  const isMissed = means.some((mean, i) => Math.abs(terms.reduce((sum, row, k) => sum + (wanted[k] ?? 0) * (row[i] ?? 0), 0) - mean) > MISSED);
  return isMissed ? undefined : wanted;
}

function partWay(from: readonly number[], to: readonly number[]): number[] {
  const share = Math.min(1, ...to.map((weight, k) => (weight < 0 ? (from[k] ?? 0) / ((from[k] ?? 0) - weight) : 1)));
  return from.map((weight, k) => weight + share * ((to[k] ?? 0) - weight));
}
