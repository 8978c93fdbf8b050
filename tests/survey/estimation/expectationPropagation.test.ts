import fc from "fast-check";
import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { describe, expect, test } from "vitest";
import { normalPosterior } from "../../../src/survey/estimation/expectationPropagation.js";
import type { NormalPosterior } from "../../../src/survey/estimation/expectationPropagation.js";
import { preparedMixture } from "../../../src/survey/estimation/mixtureMoments.js";
import { problemOf } from "../../../src/survey/estimation/problem.js";
import type { Site } from "../../../src/survey/estimation/sites.js";
import { rowVariance } from "../../../src/survey/linear/arrow.js";
import type { SparseRow } from "../../../src/survey/linear/arrow.js";
import { fretClasses, mixtureOfFrets } from "../../../src/survey/model/fretClasses.js";
import type { FretClass } from "../../../src/survey/model/fretClasses.js";
import type { Prior } from "../../../src/survey/model/prior.js";
import { summed } from "./bruteForce.js";
import type { Summed } from "./bruteForce.js";

const SEED = 20_261_126;

const row = (...coefficient: number[]): SparseRow => ({ index: coefficient.map((_, k) => k), coefficient });
const interval = (of: SparseRow, low: number, high: number, s = 0.005): Site => ({ kind: "interval", rows: [of], low, high, s });
const exact = (of: SparseRow, value: number, u: number): Site => ({ kind: "exact", rows: [of], value, u });

const fret = (rows: readonly SparseRow[], classes: readonly FretClass[]): Site => ({ kind: "mixture", rows, mixture: preparedMixture(mixtureOfFrets(classes, 0.15)) });

/** Unknowns known beforehand to the given standard deviations, in mm. */
function independent(...sds: number[]): Prior {
  return { shape: { banded: sds.length, border: 0 }, roughRank: 0, terms: sds.map((sd, k) => ({ row: { index: [k], coefficient: [1] }, weight: 1 / sd ** 2, of: "fixed" })) };
}

function settled(prior: Prior, sites: readonly Site[]): NormalPosterior {
  const found = normalPosterior(problemOf(prior, sites), { roughnessMm: 1, sites }, undefined, 1e-6);
  if (found?.converged !== true) throw new Error("expected the iteration to settle");
  return found;
}

/** Largest error of a mean in standard deviations, of a standard deviation by its ratio, and of the log evidence. */
function errors(found: NormalPosterior, truth: Summed): { readonly mean: number; readonly sd: number; readonly logEvidence: number } {
  const sd = truth.variance.map(Math.sqrt);
  return {
    mean: Math.max(...sd.map((one, k) => Math.abs((found.mean[k] ?? NaN) - (truth.mean[k] ?? NaN)) / one)),
    sd: Math.max(...sd.map((one, k) => Math.abs(Math.sqrt(rowVariance(found.factor, { index: [k], coefficient: [1] })) / one - 1))),
    logEvidence: Math.abs(found.logEvidence - truth.logEvidence),
  };
}

describe("against sums over a fine grid", () => {
  test("one interval is exact: its moments are what the normal takes over", () => {
    const [prior, sites] = [independent(0.03), [interval(row(1), 0.0381, 0.0508)]];
    const { mean, sd, logEvidence } = errors(settled(prior, sites), summed(prior, sites, 0.25, 801));
    expect(Math.max(mean, sd, logEvidence)).toBeLessThan(1e-5);
  });

  test("one open end is exact too", () => {
    const [prior, sites] = [independent(0.03), [interval(row(1), 0.02, Infinity)]];
    const { mean, sd, logEvidence } = errors(settled(prior, sites), summed(prior, sites, 0.25, 801));
    expect(Math.max(mean, sd, logEvidence)).toBeLessThan(1e-5);
  });

  test("one fret read on one line takes over mean, variance and evidence of its kinds", () => {
    const classes = fretClasses(1, [], { roughnessMm: 0.03, seatingMm: 0.008 });
    const sites: Site[] = [fret([row(1)], classes), exact(row(1), 0.07, 0.01)];
    const { mean, sd, logEvidence } = errors(settled(independent(0.15), sites), summed(independent(0.15), sites, 0.6, 801));
    expect(Math.max(mean, sd, logEvidence)).toBeLessThan(1e-5);
  });

  test("two unknowns under three leaves: means to a hundredth of a standard deviation, deviations to 2 %, evidence to 0.02", () => {
    const prior = independent(0.05, 0.05);
    const sites = [interval(row(1, 0), 0.0381, 0.0508), interval(row(0.5, 0.5), 0.0508, 0.0762), interval(row(-1, 1), -0.03, 0.06)];
    const { mean, sd, logEvidence } = errors(settled(prior, sites), summed(prior, sites, 0.25, 201));
    expect(mean).toBeLessThan(0.01);
    expect(sd).toBeLessThan(0.02);
    expect(logEvidence).toBeLessThan(0.02);
  });

  test("the same interval read three times stays an interval: no narrower than the sum over the grid makes it, within a tenth", () => {
    const prior = independent(0.2);
    const sites = [1, 2, 3].map(() => interval(row(1), 0.05, 0.0754, 0.002));
    const truth = summed(prior, sites, 1, 2001);
    const { mean, sd } = errors(settled(prior, sites), truth);
    expect((Math.sqrt(truth.variance[0] ?? NaN) * Math.sqrt(12)) / 0.0254).toBeGreaterThan(0.85);
    expect(mean).toBeLessThan(0.01);
    expect(sd).toBeLessThan(0.1);
  });

  /** A fret on two lines, its second line an end that can lift, read on both and on their middle. */
  function fretOnTwoLines(second: Site): ReturnType<typeof errors> {
    const classes = fretClasses(2, [0], { roughnessMm: 0.03, seatingMm: 0.008 });
    const prior = independent(0.15, 0.15);
    const sites: Site[] = [fret([row(1, 0), row(0, 1)], classes), interval(row(1, 0), 0.0508, 0.0762), second, exact(row(0.5, 0.5), 0.03, 0.02)];
    return errors(settled(prior, sites), summed(prior, sites, 0.3, 241));
  }

  test("a fret whose kind the readings tell", () => {
    const { mean, sd, logEvidence } = fretOnTwoLines(interval(row(0, 1), 0.0508, 0.0762));
    expect(mean).toBeLessThan(0.05);
    expect(sd).toBeLessThan(0.1);
    expect(logEvidence).toBeLessThan(0.05);
  });

  test("a fret between two kinds, one line open below: here one normal is a poor likeness, and this is how poor", () => {
    const { mean, sd, logEvidence } = fretOnTwoLines(interval(row(0, 1), -Infinity, 0.0381));
    expect(mean).toBeLessThan(0.4);
    expect(sd).toBeLessThan(0.5);
    expect(logEvidence).toBeLessThan(0.3);
  });

  test("three unknowns, a level and two frets of unlike kinds", () => {
    const classes = fretClasses(1, [], { roughnessMm: 0.03, seatingMm: 0.008 });
    const prior = independent(0.05, 0.15, 0.15);
    const sites: Site[] = [
      fret([row(0, 1, 0)], classes), fret([row(0, 0, 1)], classes),
      interval(row(1, 1, 0), 0.0, 0.0254), interval(row(1, 0, 1), 0.0762, 0.1016), exact(row(1, 0, 0), 0.01, 0.008),
    ];
    const { mean, sd, logEvidence } = errors(settled(prior, sites), summed(prior, sites, 0.25, 101));
    expect(mean).toBeLessThan(0.05);
    expect(sd).toBeLessThan(0.05);
    expect(logEvidence).toBeLessThan(0.05);
  });
});

const coefficients = fc.array(fc.double({ min: -2, max: 2, noNaN: true }), { minLength: 3, maxLength: 3 });
const gaussian = fc.record({ of: coefficients, value: fc.double({ min: -0.5, max: 0.5, noNaN: true }), u: fc.double({ min: 0.003, max: 0.1, noNaN: true }) });

describe("properties", () => {
  test("for values with uncertainties alone it is the linear solution, and its evidence that of the joint normal", () => {
    fc.assert(fc.property(fc.array(gaussian, { minLength: 1, maxLength: 8 }), (readings) => {
      const found = settled(independent(0.3, 0.2, 0.1), readings.map(({ of, value, u }) => exact(row(...of), value, u)));
      const prior = Matrix.diag([0.09, 0.04, 0.01]);
      const design = new Matrix(readings.map(({ of }) => of));
      const noise = Matrix.diag(readings.map(({ u }) => u * u));
      const spread = design.mmul(prior).mmul(design.transpose()).add(noise);
      const joint = new CholeskyDecomposition(Matrix.add(spread, spread.transpose()).mul(0.5));
      const values = Matrix.columnVector(readings.map(({ value }) => value));
      const gain = prior.mmul(design.transpose());
      const mean = gain.mmul(joint.solve(values));
      const covariance = Matrix.sub(prior, gain.mmul(joint.solve(gain.transpose())));
      for (const k of [0, 1, 2]) {
        expect(Math.abs((found.mean[k] ?? NaN) - mean.get(k, 0))).toBeLessThan(1e-8);
        expect(Math.abs(rowVariance(found.factor, { index: [k], coefficient: [1] }) - covariance.get(k, k))).toBeLessThan(1e-9);
      }
      const logDeterminant = 2 * joint.lowerTriangularMatrix.diagonal().reduce((sum, one) => sum + Math.log(one), 0);
      const expected = -0.5 * (readings.length * Math.log(2 * Math.PI) + logDeterminant + values.transpose().mmul(joint.solve(values)).get(0, 0));
      expect(Math.abs(found.logEvidence - expected)).toBeLessThan(1e-6 * (1 + Math.abs(expected)));
    }), { seed: SEED, numRuns: 100 });
  });

  test("a further value with an uncertainty never raises a variance", () => {
    fc.assert(fc.property(fc.array(gaussian, { minLength: 2, maxLength: 8 }), coefficients, (readings, asked) => {
      const variance = (count: number): number => rowVariance(settled(independent(0.3, 0.2, 0.1), readings.slice(0, count).map(({ of, value, u }) => exact(row(...of), value, u))).factor, row(...asked));
      expect(variance(readings.length)).toBeLessThanOrEqual(variance(readings.length - 1) * (1 + 1e-9) + 1e-15);
    }), { seed: SEED, numRuns: 100 });
  });

  test("the order of the sites does not matter, nor which unknowns are named first", () => {
    const leaf = fc.record({ of: coefficients, low: fc.double({ min: -0.3, max: 0.3, noNaN: true }), width: fc.double({ min: 0.01, max: 0.1, noNaN: true }) });
    fc.assert(fc.property(fc.array(leaf, { minLength: 2, maxLength: 6 }), (leaves) => {
      const sites = leaves.map(({ of, low, width }) => interval(row(...of), low, low + width));
      const problem = (of: readonly Site[]): NormalPosterior | undefined => normalPosterior(problemOf(independent(0.3, 0.2, 0.1), of), { roughnessMm: 1, sites: of }, undefined, 1e-6);
      const [forward, backward] = [problem(sites), problem([...sites].reverse())];
      fc.pre(forward?.converged === true && backward?.converged === true);
      for (const k of [0, 1, 2]) expect(Math.abs((forward?.mean[k] ?? NaN) - (backward?.mean[k] ?? NaN))).toBeLessThan(1e-6);
      expect(Math.abs((forward?.logEvidence ?? NaN) - (backward?.logEvidence ?? NaN))).toBeLessThan(1e-4);
    }), { seed: SEED, numRuns: 60 });
  });

  test("the slope over the roughness is that of the evidence", () => {
    const sites = [interval(row(1, 0, 0), 0.02, 0.045), interval(row(0, 1, 0), 0.05, 0.07), interval(row(0, 0, 1), 0.01, 0.03)];
    const prior: Prior = {
      shape: { banded: 3, border: 0 }, roughRank: 2,
      terms: [{ row: row(1, 0, 0), weight: 25, of: "fixed" }, { row: row(-1, 1, 0), weight: 1, of: "roughness" }, { row: row(1, -2, 1), weight: 2, of: "roughness" }],
    };
    const problem = problemOf(prior, sites);
    const at = (logRoughness: number): NormalPosterior => {
      const found = normalPosterior(problem, { roughnessMm: Math.exp(logRoughness), sites }, undefined, 1e-8);
      if (found?.converged !== true) throw new Error("expected the iteration to settle");
      return found;
    };
    const middle = Math.log(0.03);
    const numeric = (at(middle + 1e-3).logEvidence - at(middle - 1e-3).logEvidence) / 2e-3;
    expect(Math.abs(at(middle).roughnessSlope - numeric)).toBeLessThan(1e-3 * (1 + Math.abs(numeric)));
  });
});
