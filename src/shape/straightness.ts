import { hull } from "./hull.js";

/** The straight line from which deviations are counted. */
export type ReferenceLine = "endPoint" | "leastSquares" | "minimumZone";

/** Straightness of a profile about one reference line; y = intercept + slope x, deviations parallel to y, all in the unit of y. */
export type Straightness = {
  readonly reference: ReferenceLine;
  /** Largest deviation above the line plus largest below it. */
  readonly width: number;
  readonly slope: number;
  /** Of the reference line; for the minimum zone of the line in its middle. */
  readonly intercept: number;
  /** Largest deviation above the line, 0 or more. */
  readonly peak: number;
  /** Largest deviation below the line, 0 or more. */
  readonly valley: number;
  readonly residuals: readonly number[];
};

/**
 * Straightness error of a profile.
 * `endPoint`: about the line through the first and last point. `leastSquares`: about the line with the least sum of squared deviations (STRt of ISO 12780-1).
 * `minimumZone`: between the two parallel lines that enclose the profile with the least distance (ISO 1101); no reference line gives less.
 * Distances are taken parallel to y, which for the slopes of a neck is the same as square to the line.
 * @param x places, increasing, two or more
 * @param y heights at them, in any unit
 * @throws {RangeError} lists of unlike length, fewer than two points, places that do not increase, or numbers that are not finite
 * @source ISO 12780-1:2011 and ISO 230-1:2012 by their summaries; checked in tests/published/straightness.test.ts
 * @example near(straightness([0, 1, 2, 3, 4, 5], [0, 3, 1, 0, 0, 0], "minimumZone").width, 3, { abs: 1e-12 });
 */
export function straightness(x: readonly number[], y: readonly number[], reference: ReferenceLine): Straightness {
  check(x, y);
  const middle = x.reduce((sum, value) => sum + value, 0) / x.length;
  const centred = x.map((value) => value - middle);
  const slope = { endPoint: endPointSlope, leastSquares: leastSquaresSlope, minimumZone: minimumZoneSlope }[reference](centred, y);
  const sheared = y.map((value, at) => value - slope * (centred[at] ?? 0));
  const level = { endPoint: sheared[0] ?? 0, leastSquares: sheared.reduce((sum, value) => sum + value, 0) / y.length, minimumZone: (Math.max(...sheared) + Math.min(...sheared)) / 2 }[reference];
  const residuals = sheared.map((value) => value - level);
  const [peak, valley] = [Math.max(0, ...residuals), Math.max(0, ...residuals.map((value) => -value))];
  return { reference, width: peak + valley, slope, intercept: level - slope * middle, peak, valley, residuals };
}

function endPointSlope(x: readonly number[], y: readonly number[]): number {
  return ((y.at(-1) ?? 0) - (y[0] ?? 0)) / ((x.at(-1) ?? 1) - (x[0] ?? 0));
}

/** `x` is centred, so that the sums do not lose digits. */
function leastSquaresSlope(x: readonly number[], y: readonly number[]): number {
  const mean = y.reduce((sum, value) => sum + value, 0) / y.length;
  return x.reduce((sum, value, at) => sum + value * ((y[at] ?? 0) - mean), 0) / x.reduce((sum, value) => sum + value * value, 0);
}

/** The width over all slopes is convex and straight between the slopes of the hull's sides: the least lies at one of those. */
function minimumZoneSlope(x: readonly number[], y: readonly number[]): number {
  const points = x.map((value, at) => ({ x: value, y: y[at] ?? 0 }));
  const [upper, lower] = [hull(points, "upper"), hull(points, "lower")];
  const corners = [...upper, ...lower];
  const width = (slope: number): number => {
    const levels = corners.map((point) => point.y - slope * point.x);
    return Math.max(...levels) - Math.min(...levels);
  };
  const slopes = [upper, lower].flatMap((side) => side.slice(1).map((point, at) => (point.y - (side[at]?.y ?? 0)) / (point.x - (side[at]?.x ?? 0))));
  return slopes.reduce((best, slope) => (width(slope) < width(best) ? slope : best));
}

function check(x: readonly number[], y: readonly number[]): void {
  if (x.length !== y.length) throw new RangeError(`Cannot judge straightness: expected as many heights as places, got ${y.length} for ${x.length}`);
  if (x.length < 2) throw new RangeError(`Cannot judge straightness: expected two points or more, got ${x.length}`);
  const odd = [...x, ...y].find((value) => !Number.isFinite(value));
  if (odd !== undefined) throw new RangeError(`Cannot judge straightness: expected finite numbers, got ${odd}`);
  const back = x.findIndex((value, at) => at > 0 && value <= (x[at - 1] ?? -Infinity));
  if (back >= 0) throw new RangeError(`Cannot judge straightness: expected places that increase, got ${x[back]} after ${x[back - 1]}`);
}
