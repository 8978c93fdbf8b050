import { describe, expect, test } from "vitest";
import { along } from "../../../src/survey/estimation/expectationPropagation.js";
import { integrated } from "../../../src/survey/estimation/integral.js";
import type { Fineness } from "../../../src/survey/estimation/integral.js";
import type { Step } from "../../../src/survey/estimation/scatterTop.js";
import { scatterLook } from "../../../src/survey/estimation/scatterGrid.js";
import { inventedNeck } from "../../../src/invented/neck.js";
import { inventedOperator } from "../../../src/invented/operator.js";
import { planFor } from "../../../src/invented/plan.js";
import { inventedReadings } from "../../../src/invented/readings.js";
import { inventedSheet } from "../../../src/invented/sheet.js";
import { inventedStream } from "../../../src/invented/stream.js";
import type { InventedFamily } from "../../../src/invented/truth.js";
import { rowVariances } from "../../../src/survey/linear/arrow.js";
import { equationsOf } from "../../../src/survey/model/equations.js";
import { combined, fretTopRow, layoutOf } from "../../../src/survey/model/layout.js";
import type { Layout } from "../../../src/survey/model/layout.js";
import { usableReadings } from "../../../src/survey/model/stations.js";

type Survey = { readonly layout: Layout; readonly look: ReturnType<typeof scatterLook> };

/** An invented survey of a family, ready to be looked at. */
function invented(family: InventedFamily, number: number): Survey {
  const truth = inventedNeck(inventedStream(7, `${family}/neck`, number), family);
  const hand = inventedStream(7, `${family}/operator`, number);
  const operator = inventedOperator(hand);
  const sheet = inventedSheet(truth.neck, operator, inventedReadings(truth, operator, hand, planFor(family, hand)));
  const usable = usableReadings(truth.neck, sheet);
  const layout = layoutOf(usable);
  return { layout, look: scatterLook(layout, equationsOf(truth.neck, usable, layout, sheet.feelMm), usable.settings.length) };
}

/** Heights of all fret tops over the chord of each line's first and last, with their uncertainties. */
function heights({ layout, look }: Survey, fineness?: Fineness): { readonly value: readonly number[]; readonly u: readonly number[] } {
  const last = layout.stations.length - 1;
  const x = (station: number): number => layout.stations[station]?.xMm ?? NaN;
  const rows = layout.lines.flatMap((line) => Array.from({ length: last - 1 }, (_, index) => {
    const t = (x(index + 1) - x(0)) / (x(last) - x(0));
    return combined([[1, fretTopRow(layout, line, index + 1)], [t - 1, fretTopRow(layout, line, 0)], [-t, fretTopRow(layout, line, last)]]);
  }));
  const points = integrated(look, fineness).map(({ weight, posterior }) => ({ weight, mean: rows.map((row) => along(row, posterior.mean)), variance: rowVariances(posterior.factor, rows) }));
  const value = rows.map((_, k) => points.reduce((sum, point) => sum + point.weight * (point.mean[k] ?? NaN), 0));
  return { value, u: value.map((one, k) => Math.sqrt(points.reduce((sum, point) => sum + point.weight * ((point.variance[k] ?? NaN) + ((point.mean[k] ?? NaN) - one) ** 2), 0))) };
}

/** Sweeps that the same neck takes where all sites are moved at once: counted by this test with the call of `settleFew` left out of `normalPosterior`. */
const SWEEPS_ALL_AT_ONCE = 171;

describe("integrating over the scatters", () => {
  // necks whose sites settle everywhere; kinksAndZones 4 without its zone does not, and moves by 0.07 to 0.18 u with the lattice
  test.each([["smooth", 0], ["smooth", 2], ["kinksAndZones", 1], ["kinksAndZones", 3], ["kinksAndZones", 6], ["atTheBench", 1], ["atTheBench", 2]] as const)(
    "%s, neck %d: a lattice six times as dense and looked at to the end moves no height by 0.05 u and no u by 3 %%", (family, number) => {
      const survey = invented(family, number);
      const usual = heights(survey);
      const fine = heights(survey, { spacing: 0.8, negligible: 1e-3, settled: 3e-3 });
      for (const [k, u] of fine.u.entries()) {
        expect(Math.abs((usual.value[k] ?? NaN) - (fine.value[k] ?? NaN)) / u).toBeLessThan(0.05);
        expect(Math.abs((usual.u[k] ?? NaN) / u - 1)).toBeLessThan(0.03);
      }
    }, 60_000);

  test("frets that swing against each other are settled among themselves: less than a third of the sweeps that all sites at once would take", () => {
    const { look } = invented("kinksAndZones", 9);
    let sweeps = 0;
    integrated((at, start, settledAt) => {
      const seen = look(at, start, settledAt);
      sweeps += seen?.posterior.sweeps ?? 0;
      return seen;
    });
    console.info(`sweeps of that neck: ${sweeps}`);
    expect(sweeps).toBeLessThan(SWEEPS_ALL_AT_ONCE / 3);
  });

  test("sites left at one place foresee themselves at another: two sweeps at most, fewer than from the start", () => {
    const { look } = invented("smooth", 0);
    const here = look([0, 0], undefined, 1e-3);
    const [foreseen, anew] = [look([0.3, 0.4], here?.posterior.sites, 0.1), look([0.3, 0.4], undefined, 0.1)];
    expect(foreseen?.posterior.sweeps).toBeLessThanOrEqual(2);
    expect(foreseen?.posterior.sweeps ?? Infinity).toBeLessThan(anew?.posterior.sweeps ?? 0);
  });

  test("the slopes are those of prior times evidence", () => {
    const { look } = invented("smooth", 0);
    const at: Step = [-0.5, 0.1];
    const here = look(at, undefined, 1e-4);
    if (here === undefined) throw new Error("expected a posterior");
    const beside = (by: Step): number => look([at[0] + by[0], at[1] + by[1]], here.posterior.sites, 1e-4)?.logDensity ?? NaN;
    expect(here.slopes[0]).toBeCloseTo((beside([0.02, 0]) - beside([-0.02, 0])) / 0.04, 1);
    expect(here.slopes[1]).toBeCloseTo((beside([0, 0.02]) - beside([0, -0.02])) / 0.04, 1);
  });

  test("of a normal density, wherever its top and however leaning, it finds integral, mean and spread with seven places", () => {
    const { look } = invented("atTheBench", 2);
    const { posterior } = look([0, 0], undefined, 0.05) ?? {};
    if (posterior === undefined) throw new Error("expected a posterior");
    const [a, b, c] = [20, 12, 40];
    const leaning = ([x, y]: Step): ReturnType<typeof look> => {
      const [dx, dy] = [x - 0.4, y + 0.3];
      return { at: [x, y], posterior, logDensity: -0.5 * (a * dx * dx + 2 * b * dx * dy + c * dy * dy), slopes: [-(a * dx + b * dy), -(b * dx + c * dy)] };
    };
    const points = integrated(leaning);
    const total = points.reduce((sum, { logWeight }) => sum + Math.exp(logWeight), 0);
    expect(points).toHaveLength(7);
    expect(total * Math.sqrt(a * c - b * b)).toBeCloseTo(1, 2);
    const mean = (of: (at: Step) => number): number => points.reduce((sum, { weight, at }) => sum + weight * of(at), 0);
    expect(mean(([x]) => x)).toBeCloseTo(0.4, 3);
    expect(mean(([, y]) => y)).toBeCloseTo(-0.3, 3);
    expect(mean(([x]) => (x - 0.4) ** 2) / (c / (a * c - b * b))).toBeCloseTo(1, 2);
    expect(mean(([, y]) => (y + 0.3) ** 2) / (a / (a * c - b * b))).toBeCloseTo(1, 2);
  });

  test.each([[23, 60], [300, 8]])("where the top is found at once, on %d places, so that no step tells how steep the density is along the roughness: %d, its integral and spread are found all the same, with few places", (places, steep) => {
    const { look } = invented("atTheBench", 2);
    const { posterior } = look([0, 0], undefined, 0.05) ?? {};
    if (posterior === undefined) throw new Error("expected a posterior");
    let looks = 0;
    const points = integrated(([x, y]) => {
      looks++;
      return { at: [x, y], posterior, logDensity: -0.5 * (steep * x * x + 40 * y * y), slopes: [-steep * x, -40 * y] };
    }, undefined, undefined, places);
    expect(points.reduce((sum, { logWeight }) => sum + Math.exp(logWeight), 0) * Math.sqrt(40 * steep)).toBeCloseTo(1, 2);
    expect(points.reduce((sum, { weight, at }) => sum + weight * at[0] ** 2, 0) * steep).toBeCloseTo(1, 2);
    expect(looks).toBeLessThan(12);
  });

  type Plain = { readonly logDensity: (at: Step) => number; readonly slopes: (at: Step) => Step };
  // of a smooth neck with even frets the seating is small, and the density ends where no more is looked
  test.each<readonly [string, Plain]>([
    ["with its top a little before the end", { logDensity: ([x, y]) => -2 * x * x - 3.5 * (y + 1.5) ** 2, slopes: ([x, y]) => [-4 * x, -7 * (y + 1.5)] }],
    ["rising to the end", { logDensity: ([x, y]) => -2 * x * x - 0.5 * y * y - 3 * y, slopes: ([x, y]) => [-4 * x, -y - 3] }],
    ["rising steeply to the end", { logDensity: ([x, y]) => -2 * x * x - 0.5 * y * y - 12 * y, slopes: ([x, y]) => [-4 * x, -y - 12] }],
  ])("a density %s of what is looked at", (_, { logDensity, slopes }) => {
    const { look } = invented("smooth", 0);
    const { posterior } = look([0, 0], undefined, 0.05) ?? {};
    if (posterior === undefined) throw new Error("expected a posterior");
    const points = integrated((at) => ({ at, posterior, logDensity: logDensity(at), slopes: slopes(at) }));
    const cells = Array.from({ length: 400 }, (__, k) => -2 + (k + 0.5) / 100);
    const truth = (of: (y: number) => number): number => cells.reduce((sum, y) => sum + of(y) * Math.exp(logDensity([0, y])), 0) / cells.reduce((sum, y) => sum + Math.exp(logDensity([0, y])), 0);
    const found = (of: (y: number) => number): number => points.reduce((sum, { weight, at }) => sum + weight * of(at[1]), 0);
    const [mean, sd] = [truth((y) => y), Math.sqrt(truth((y) => y * y) - truth((y) => y) ** 2)];
    expect(Math.abs(found((y) => y) - mean)).toBeLessThan(0.1 * sd);
    expect(Math.sqrt(found((y) => y * y) - found((y) => y) ** 2) / sd).toBeGreaterThan(0.85);
    expect(Math.sqrt(found((y) => y * y) - found((y) => y) ** 2) / sd).toBeLessThan(1.15);
    const logIntegral = Math.log(cells.reduce((sum, y) => sum + Math.exp(logDensity([0, y])) / 100, 0)) + 0.5 * Math.log((2 * Math.PI) / 4) - Math.log(2 * Math.PI);
    expect(Math.abs(Math.log(points.reduce((sum, { logWeight }) => sum + Math.exp(logWeight), 0)) - logIntegral)).toBeLessThan(0.1);
  });

  test("a density as wide as the prior is integrated as far as is looked, no farther", () => {
    const { look } = invented("atTheBench", 2);
    const { posterior } = look([0, 0], undefined, 0.05) ?? {};
    if (posterior === undefined) throw new Error("expected a posterior");
    const points = integrated(([x, y]) => ({ at: [x, y], posterior, logDensity: -0.5 * (x * x + y * y), slopes: [-x, -y] }));
    for (const { at } of points) expect(Math.max(...at.map(Math.abs))).toBeLessThanOrEqual(2);
    const total = points.reduce((sum, { logWeight }) => sum + Math.exp(logWeight), 0);
    // a standard normal density within two standard deviations: probability 0.95450, variance 0.77374
    expect(total).toBeCloseTo(0.9545 ** 2, 2);
    expect(points.reduce((sum, { weight, at }) => sum + weight * at[0] ** 2, 0)).toBeCloseTo(0.774, 1);
  });
});
