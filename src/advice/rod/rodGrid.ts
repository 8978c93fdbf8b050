import { Matrix, inverse } from "ml-matrix";
import type { TrussRod } from "../../neck/neck.js";

/** One reading of a rod test: where the nut stood, and the relief at the middle. */
export type RodReading = {
  /** Turns from neutral: above 0 toward back bow, or clockwise where it is not known which way does what. */
  readonly turns: number;
  /** Relief at the middle, mm; positive is forward bow. */
  readonly reliefMm: number;
  /** Its standard uncertainty, mm. What all readings share (an edge's own bow) cancels between them. */
  readonly uMm: number;
};

/** Readings of a rod with what ties their errors together. */
export type RodReadings = {
  readonly readings: readonly RodReading[];
  /** Covariance of their reliefs, mm2; independent errors of `uMm` where absent. */
  readonly covarianceMm2?: readonly (readonly number[])[];
  /**
   * How surely turns above 0 are toward back bow: 1 where they are counted so; `CLOCKWISE_TIGHTENS` where they are counted clockwise and nothing
   * says which way does what; in between where a neck file says so. Below 1 both ways round are tried.
   */
  readonly towardBackShare: number;
};

/** A rod as one point of the grid: what a turn past the dead zone moves, and the turns before it bears. */
export type RodGuess = {
  /** Turns above 0 are toward back bow (1), or toward forward bow (-1). */
  readonly sense: 1 | -1;
  /** Relief taken away toward back bow, mm per turn, 0 or more. */
  readonly backPerTurn: number;
  /** Relief given toward forward bow, mm per turn, 0 or more. */
  readonly forwardPerTurn: number;
  readonly deadTurns: number;
  readonly weight: number;
};

/** A turn of a dual-action rod moves the middle 0.4 to 1.4 mm (a quarter turn 0.1 to 0.35 mm; own estimate). */
const PER_TURN_MM = 0.75;
const PER_TURN_FACTOR = 2;
/** Share of rods that do nothing one way (own estimate); of a rod said to work one way, nearly surely the other way. */
const DEAD_SHARE = 0.1;
const ONE_WAY_SHARE = 0.95;
/** Mean dead zone, turns (own estimate). */
const DEAD_TURNS = 0.12;
/** A neck does not come back to the same hundredth each time (own estimate), mm. */
const REPEAT_MM = 0.008;
/** Where nothing says which way gives more relief, clockwise tightens most rods (common practice, no source). */
export const CLOCKWISE_TIGHTENS = 0.9;
/** A neck file is seldom wrong about its own nut (own estimate); the readings decide. */
export const FILE_IS_RIGHT = 0.97;

const STEPS = 25;
const DEAD_STEPS = 13;
const MOST_DEAD_TURNS = 0.65;
/** Grids laid anew, each over what the one before left possible, until they are fine against what the readings tell. */
const LAYINGS = 3;
const NEGLIGIBLE = 1e-6;

/** One axis of the grid: evenly spaced points between two ends, each standing for its cell. */
type Axis = { readonly from: number; readonly to: number; readonly points: readonly number[] };

function axis(from: number, to: number, count: number): Axis {
  return { from, to, points: Array.from({ length: count }, (_, index) => from + ((to - from) * (index + 0.5)) / count) };
}

/** The same axis over the cells that kept weight, and one more on each side. */
function narrowed({ from, to, points }: Axis, weights: ReadonlyMap<number, number>): Axis {
  const kept = [...points.keys()].filter((index) => (weights.get(points[index] ?? NaN) ?? 0) > NEGLIGIBLE);
  const cell = (to - from) / points.length;
  const [first, last] = [kept[0], kept.at(-1)];
  return first === undefined || last === undefined ? axis(from, to, points.length) : axis(Math.max(from, from + (first - 1) * cell), Math.min(to, from + (last + 2) * cell), points.length);
}

/** The unknowns of a rod: responses in standard deviations of their log-normal prior, dead zone in turns. */
type Axes = { readonly back: Axis; readonly forward: Axis; readonly dead: Axis };

/** Responses of one way: nothing at all, or log-normal about what rods do. A logarithm of the weight, cell included. */
function responses({ from, to, points }: Axis, deadShare: number): readonly { readonly z: number; readonly perTurn: number; readonly log: number }[] {
  const cell = (to - from) / points.length;
  const bearing = points.map((z) => ({ z, perTurn: PER_TURN_MM * PER_TURN_FACTOR ** z, log: Math.log(((1 - deadShare) * cell) / Math.sqrt(2 * Math.PI)) - (z * z) / 2 }));
  return [{ z: NaN, perTurn: 0, log: Math.log(deadShare) }, ...bearing];
}

/**
 * Everything that a rod may be, weighed by the readings: Bayes' rule summed over a grid, the neck's relief at neutral integrated out as unknown.
 * relief = r0 - back max(0, turns - dead) + forward max(0, -turns - dead), turns toward back bow, normal errors.
 * @returns guesses whose weights sum to 1
 * @throws {RangeError} fewer than two readings, or one that is not finite
 */
export function rodGrid(series: RodReadings, rod: Pick<TrussRod, "works"> | undefined): readonly RodGuess[] {
  const { readings } = series;
  const bad = readings.find(({ turns, reliefMm, uMm }) => !Number.isFinite(turns) || !Number.isFinite(reliefMm) || !(uMm >= 0 && Number.isFinite(uMm)));
  if (bad !== undefined) throw new RangeError(`Cannot judge a rod by a reading of ${bad.reliefMm} mm, give or take ${bad.uMm}, at ${bad.turns} turns: expected finite numbers, and an uncertainty of 0 mm or more`);
  if (readings.length < 2) throw new RangeError(`Cannot judge a rod by ${readings.length} readings: expected two or more, at different positions of the nut`);
  let axes: Axes = { back: axis(-4, 4, STEPS), forward: axis(-4, 4, STEPS), dead: axis(0, MOST_DEAD_TURNS, DEAD_STEPS) };
  const likelihood = likelihoodOf(series);
  let laid = weighed(axes, likelihood, rod, series.towardBackShare);
  for (let laying = 1; laying < LAYINGS; laying++) {
    axes = { back: narrowed(axes.back, marginal(laid, ({ back }) => back)), forward: narrowed(axes.forward, marginal(laid, ({ forward }) => forward)), dead: narrowed(axes.dead, marginal(laid, ({ guess }) => guess.deadTurns)) };
    laid = weighed(axes, likelihood, rod, series.towardBackShare);
  }
  return laid.map(({ guess }) => guess);
}

type Laid = { readonly guess: RodGuess; readonly back: number; readonly forward: number };

function marginal(laid: readonly Laid[], of: (one: Laid) => number): ReadonlyMap<number, number> {
  const sums = new Map<number, number>();
  for (const one of laid) sums.set(of(one), (sums.get(of(one)) ?? 0) + one.guess.weight);
  return sums;
}

function weighed(axes: Axes, likelihood: (guess: Omit<RodGuess, "weight">) => number, rod: Pick<TrussRod, "works"> | undefined, towardBackShare: number): readonly Laid[] {
  const senses: readonly { readonly sense: RodGuess["sense"]; readonly share: number }[] = towardBackShare >= 1 ? [{ sense: 1, share: 1 }] : [{ sense: 1, share: towardBackShare }, { sense: -1, share: 1 - towardBackShare }];
  const [back, forward] = [responses(axes.back, DEAD_SHARE), responses(axes.forward, rod?.works === "one way" ? ONE_WAY_SHARE : DEAD_SHARE)];
  const laid = senses.flatMap(({ sense, share }) => back.flatMap((a) => forward.flatMap((b) => axes.dead.points.map((deadTurns) => {
    const guess = { sense, backPerTurn: a.perTurn, forwardPerTurn: b.perTurn, deadTurns };
    return { guess, back: a.z, forward: b.z, log: Math.log(share) + a.log + b.log - deadTurns / DEAD_TURNS + likelihood(guess) };
  }))));
  const top = laid.reduce((most, { log }) => Math.max(most, log), -Infinity);
  const sum = laid.reduce((total, { log }) => total + Math.exp(log - top), 0);
  return laid.map(({ guess, back: ofBack, forward: ofForward, log }) => ({ back: ofBack, forward: ofForward, guess: { ...guess, weight: Math.exp(log - top) / sum } }));
}

/** Logarithm of the likelihood, with the level r0 integrated out: what all errors share drops out with it. */
function likelihoodOf({ readings, covarianceMm2 }: RodReadings): (guess: Omit<RodGuess, "weight">) => number {
  const covariance = new Matrix(readings.map(({ uMm }, row) => readings.map((_, column) => (covarianceMm2?.[row]?.[column] ?? (row === column ? uMm ** 2 : 0)) + (row === column ? REPEAT_MM ** 2 : 0))));
  const precision = inverse(covariance).to2DArray();
  const ofLevel = precision.map((row) => row.reduce((sum, entry) => sum + entry, 0));
  const all = ofLevel.reduce((sum, entry) => sum + entry, 0);
  return (guess) => {
    const left = readings.map(({ turns, reliefMm }) => reliefMm - movedMm(guess, turns));
    const squared = precision.reduce((sum, row, i) => sum + (left[i] ?? 0) * row.reduce((inner, entry, j) => inner + entry * (left[j] ?? 0), 0), 0);
    const level = ofLevel.reduce((sum, entry, i) => sum + entry * (left[i] ?? 0), 0);
    return -(squared - (level * level) / all) / 2;
  };
}

/** Relief that a rod adds at a position of its nut, mm, from neutral. */
export function movedMm({ sense, backPerTurn, forwardPerTurn, deadTurns }: Omit<RodGuess, "weight">, turns: number): number {
  const toward = sense * turns;
  return toward > 0 ? 0 - backPerTurn * Math.max(0, toward - deadTurns) : forwardPerTurn * Math.max(0, -toward - deadTurns);
}
