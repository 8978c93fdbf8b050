import { describe, expect, test } from "vitest";
import { calibratedWeights, expectedAt, fittedDensity, momentsOf } from "../../../src/survey/estimation/fittedDensity.js";
import type { Cell, Known, Spot } from "../../../src/survey/estimation/fittedDensity.js";

const HEXAGON = Array.from({ length: 6 }, (_, k): Spot => [2 * Math.cos((k * Math.PI) / 3), 2 * Math.sin((k * Math.PI) / 3)]);
const SEVEN: readonly Spot[] = [[0, 0], ...HEXAGON];

type LogDensity = (at: Spot) => { readonly logDensity: number; readonly slopes: Spot };

const known = (of: LogDensity, places: readonly Spot[] = SEVEN): readonly Known[] => places.map((at) => ({ at, ...of(at) }));

/** Cells of so wide a side over all that the densities below cover. */
function cells(side: number, isInside: (at: Spot) => boolean = () => true): readonly Cell[] {
  const along = Array.from({ length: Math.round(12 / side) }, (_, k) => -6 + (k + 0.5) * side);
  return along.flatMap((x) => along.map((y): Cell => ({ at: [x, y], area: side * side }))).filter(({ at }) => isInside(at));
}

/** Integral and means summed over the density itself. */
function summed(of: LogDensity, fine: readonly Cell[]): { readonly logIntegral: number; readonly means: readonly number[] } {
  const sums = [0, 0, 0, 0, 0, 0];
  for (const { at: [x, y], area } of fine) for (const [k, value] of [1, x, y, x * x, x * y, y * y].entries()) sums[k] = (sums[k] ?? 0) + area * Math.exp(of([x, y]).logDensity) * value;
  return { logIntegral: Math.log(sums[0] ?? NaN), means: sums.map((sum) => sum / (sums[0] ?? NaN)) };
}

const normal: LogDensity = ([x, y]) => ({ logDensity: -0.5 * (x * x + y * y), slopes: [-x, -y] });
/** Steep towards the large and slow towards the small, as that of the logarithm of a scatter is, its curvature growing by half from one standard deviation to the next; and leaning. */
const GROWTH = 0.4;
const lopsided: LogDensity = ([x, y]) => {
  const away = y - 0.3 * x;
  const steep = Math.exp(GROWTH * x);
  return { logDensity: (x - steep / GROWTH) / GROWTH - 0.5 * away * away, slopes: [(1 - steep) / GROWTH + 0.3 * away, -away] };
};

describe("a density fitted to values and slopes", () => {
  test("of a normal density the middle gets half the weight, six places two deviations out a twelfth each (Radon 1948, exact to the fifth degree)", () => {
    const { logIntegral, means } = momentsOf(fittedDensity(known(normal)), cells(0.6));
    expect(logIntegral).toBeCloseTo(Math.log(2 * Math.PI), 4);
    const weights = calibratedWeights(SEVEN, SEVEN.map((at) => Math.exp(normal(at).logDensity)), means);
    for (const [k, weight] of weights.entries()) expect(weight).toBeCloseTo(k === 0 ? 1 / 2 : 1 / 12, 4);
    const fourth = SEVEN.reduce((sum, [x], k) => sum + (weights[k] ?? NaN) * x ** 4, 0);
    expect(fourth).toBeCloseTo(3, 3);
  });

  test("a lopsided one is known at the places themselves, and between them to a tenth of its logarithm", () => {
    const density = fittedDensity(known(lopsided));
    for (const at of SEVEN) expect(expectedAt(density, at)).toBeCloseTo(lopsided(at).logDensity, 2);
    for (const [x, y] of HEXAGON) expect(Math.abs(expectedAt(density, [x / 2, y / 2]) - lopsided([x / 2, y / 2]).logDensity)).toBeLessThan(0.1);
  });

  test("integral, mean and spread of a lopsided density, where a normal one with its top's curvature is far off", () => {
    const truth = summed(lopsided, cells(0.05));
    const found = momentsOf(fittedDensity(known(lopsided)), cells(0.6));
    expect(Math.abs(found.logIntegral - truth.logIntegral)).toBeLessThan(0.03);
    for (const [k, mean] of truth.means.entries()) expect(Math.abs((found.means[k] ?? NaN) - mean)).toBeLessThan(0.07);
    // the control: its top is at 0, so that a normal density about it has no mean
    expect(Math.abs(truth.means[1] ?? NaN)).toBeGreaterThan(0.15);
  });

  test("weights give the places the means that are wanted", () => {
    const { means } = summed(lopsided, cells(0.05));
    const weights = calibratedWeights(SEVEN, SEVEN.map((at) => Math.exp(lopsided(at).logDensity)), means);
    const over = (of: (at: Spot) => number): number => SEVEN.reduce((sum, at, k) => sum + (weights[k] ?? NaN) * of(at), 0);
    expect(over(() => 1)).toBeCloseTo(1, 9);
    expect(over(([x]) => x)).toBeCloseTo(means[1] ?? NaN, 9);
    expect(over(([x]) => x * x)).toBeCloseTo(means[3] ?? NaN, 9);
    expect(over(([x, y]) => x * y)).toBeCloseTo(means[4] ?? NaN, 9);
    expect(Math.min(...weights)).toBeGreaterThan(0);
  });

  test("where the places cannot have those means, they come as near as without a negative weight", () => {
    const places = SEVEN.slice(0, 3);
    const weights = calibratedWeights(places, [1, 0.2, 0.2], [1, -0.5, 0, 1, 0, 1]);
    expect(weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 12);
    expect(Math.min(...weights)).toBeGreaterThanOrEqual(0);
    const mean = weights.reduce((sum, weight, k) => sum + weight * (places[k]?.[0] ?? NaN), 0);
    expect(mean).toBeLessThan((0.2 * 2 + 0.2) / 1.4);
  });

  test("places on one circle, as those about a top that did not settle: their mean is had and their spread left as it is, rather than weights that do not sum to 1", () => {
    const { means } = summed(lopsided, cells(0.05));
    for (let turn = 0; turn < 1; turn += 0.05) {
      const circle = HEXAGON.map(([x, y]): Spot => [Math.cos(turn) * x - Math.sin(turn) * y, Math.sin(turn) * x + Math.cos(turn) * y]);
      const weights = calibratedWeights(circle, circle.map((at) => Math.exp(lopsided(at).logDensity)), means);
      expect(weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 9);
      for (const axis of [0, 1] as const) expect(weights.reduce((sum, weight, k) => sum + weight * (circle[k]?.[axis] ?? NaN), 0)).toBeCloseTo(means[1 + axis] ?? NaN, 9);
      expect(Math.min(...weights)).toBeGreaterThan(0);
    }
  });

  test("of a single place no more is believed than a normal density about it", () => {
    const { logIntegral, means } = momentsOf(fittedDensity(known(normal, [[0, 0]])), cells(0.6));
    expect(logIntegral).toBeCloseTo(Math.log(2 * Math.PI), 4);
    expect(means[3]).toBeCloseTo(1, 3);
  });
});
