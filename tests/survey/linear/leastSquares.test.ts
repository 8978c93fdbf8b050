import fc from "fast-check";
import { Matrix, inverse } from "ml-matrix";
import { describe, expect, test } from "vitest";
import { leastSquares, type LeastSquaresFit } from "../../../src/survey/linear/leastSquares.js";
import { isEstimable, rowSpace } from "../../../src/survey/linear/rowSpace.js";

const SEED = 19_680_202;

type Fitted = Extract<LeastSquaresFit, { status: "fitted" }>;

function fitted(fit: LeastSquaresFit): Fitted {
  if (fit.status !== "fitted") throw new Error(`expected a fit, got ${fit.status}`);
  return fit;
}

function close(actual: readonly number[], expected: readonly number[], tolerance: number): void {
  expect(actual.length).toBe(expected.length);
  for (const [k, value] of expected.entries()) expect(Math.abs((actual[k] ?? Number.NaN) - value)).toBeLessThanOrEqual(tolerance);
}

const reversed = <T>(values: readonly T[]): T[] => values.reduceRight<T[]>((all, value) => [...all, value], []);

const number = fc.double({ min: -5, max: 5, noNaN: true });
const problems = fc.integer({ min: 1, max: 4 }).chain((columns) => fc.record({
  rows: fc.array(fc.array(number, { minLength: columns, maxLength: columns }), { minLength: 1, maxLength: 6 }),
  observed: fc.array(number, { minLength: 12, maxLength: 12 }),
  u: fc.array(fc.double({ min: 0.1, max: 3, noNaN: true }), { minLength: 12, maxLength: 12 }),
}).map(({ rows, observed, u }) => {
  const design = [...Matrix.eye(columns).to2DArray(), ...rows];
  return { design, observed: observed.slice(0, design.length), u: u.slice(0, design.length) };
}));

describe("leastSquares", () => {
  test("solves the normal equations, which a dense library solves another way", () => {
    fc.assert(fc.property(problems, ({ design, observed, u }) => {
      const fit = fitted(leastSquares(design, observed, u, { sigmaFrom: "stated" }));
      const a = new Matrix(design.map((row, i) => row.map((value) => value / (u[i] ?? 1))));
      const covariance = inverse(a.transpose().mmul(a));
      close(fit.covariance.flat(), covariance.to1DArray(), 1e-9);
      close(fit.parameters, covariance.mmul(a.transpose()).mmul(Matrix.columnVector(observed.map((value, i) => value / (u[i] ?? 1)))).to1DArray(), 1e-9);
      close(fit.redundancy, a.mmul(covariance).mmul(a.transpose()).diagonal().map((value) => 1 - value), 1e-9);
      expect(fit.redundancy.reduce((sum, value) => sum + value, 0)).toBeCloseTo(fit.dof, 9);
      expect(fit.sigma).toBe(1);
    }), { seed: SEED });
  });

  test("does not care for the units of a parameter nor for the order of the observations", () => {
    fc.assert(fc.property(problems, fc.double({ min: -8, max: 8, noNaN: true }), ({ design, observed, u }, exponent) => {
      const factor = 10 ** exponent;
      const fit = fitted(leastSquares(design, observed, u, { sigmaFrom: "stated" }));
      const scaled = fitted(leastSquares(reversed(design.map(([first = 0, ...others]) => [first * factor, ...others])), reversed(observed), reversed(u), { sigmaFrom: "stated" }));
      close([(scaled.parameters[0] ?? 0) * factor, ...scaled.parameters.slice(1)], fit.parameters, 1e-9);
      close([(scaled.uParameters[0] ?? 0) * factor, ...scaled.uParameters.slice(1)], fit.uParameters, 1e-9);
      close(reversed(scaled.residuals), fit.residuals, 1e-9);
    }), { seed: SEED });
  });

  test("sigma means what was asked for", () => {
    const x = [0, 1, 2, 3, 4];
    const design = x.map((value) => [1, value]);
    const observed = [0.1, 0.9, 2.2, 2.8, 4.1];
    const stated = fitted(leastSquares(design, observed, x.map(() => 0.5), { sigmaFrom: "stated" }));
    const own = fitted(leastSquares(design, observed, x.map(() => 0.5), { sigmaFrom: "residuals" }));
    const unknown = fitted(leastSquares(design, observed, undefined, { sigmaFrom: "residuals" }));
    expect(stated.uParameters[1]).toBeCloseTo(0.5 / Math.sqrt(10), 14);
    expect(own.uParameters[1]).toBeCloseTo((0.5 / Math.sqrt(10)) * Math.sqrt(stated.chi2 / 3), 14);
    close(unknown.uParameters, own.uParameters, 1e-15);
    expect(own.sigma).toBeCloseTo(Math.sqrt(stated.chi2 / 3), 14);
    close(own.normalisedResiduals.map((value) => value ?? Number.NaN), stated.normalisedResiduals.map((value) => (value ?? Number.NaN) / own.sigma), 1e-12);
    expect(() => leastSquares(design, observed, undefined, { sigmaFrom: "stated" })).toThrow("or take sigma from the residuals");
    expect(() => leastSquares(design.slice(3), observed.slice(3), undefined, { sigmaFrom: "residuals" })).toThrow("expected 3 observations or more, got 2");
  });

  test("an observation that nothing controls has no normalised residual", () => {
    const fit = fitted(leastSquares([[1, 0], [1, 0], [0, 1]], [1, 2, 7], [1, 1, 1], { sigmaFrom: "stated" }));
    close(fit.redundancy, [0.5, 0.5, 0], 1e-15);
    expect(fit.normalisedResiduals[0]).toBeCloseTo(-Math.SQRT1_2, 14);
    expect(fit.normalisedResiduals[2]).toBeUndefined();
  });

  test("columns that hang together are named, others not", () => {
    const design = [[1, 1, 0.3, 0], [1, 1, 0.7, 0], [0.1 + 0.2, 0.3, 2, 0], [4, 4, -1, 0], [5, 5, 9, 0]];
    expect(leastSquares(design, [1, 2, 3, 4, 5], undefined, { sigmaFrom: "residuals" })).toEqual({ status: "undetermined", rank: 2, free: [0, 1, 3] });
    expect(leastSquares([[1, 1]], [3], [1], { sigmaFrom: "stated" })).toEqual({ status: "undetermined", rank: 1, free: [0, 1] });
    expect(leastSquares([[0]], [3], [1], { sigmaFrom: "stated" })).toEqual({ status: "undetermined", rank: 0, free: [0] });
  });

  test.each([
    [[[1], [1, 2]], [1, 2], [1, 1], "expected 1 numbers in each row, got 2 in row 1"],
    [[[1], [Number.NaN]], [1, 2], [1, 1], "expected finite numbers, got NaN in row 1"],
    [[], [], [], "expected at least one row and one column"],
    [[[1], [1]], [1], [1, 1], "expected 2 observed numbers, one for each row, got 1"],
    [[[1], [1]], [1, Infinity], [1, 1], "got Infinity in row 1"],
    [[[1], [1]], [1, 2], [1], "expected 2 uncertainties"],
    [[[1], [1]], [1, 2], [1, 0], "expected positive finite uncertainties, got 0 in row 1"],
  ])("refuses %j with %j and %j", (design, observed, u, message) => {
    expect(() => leastSquares(design, observed, u, { sigmaFrom: "stated" })).toThrow(message);
  });
});

describe("rowSpace", () => {
  /** Gaps under one edge at three places, offset and tilt of the edge free: only the bend of the three heights is seen. */
  const edge = [0, 100, 250].map((t, i) => [...[0, 1, 2].map((j) => (i === j ? -1 : 0)), 1, t]);

  test("sees the bend of three heights under an edge and not one height alone", () => {
    const space = rowSpace(edge);
    expect([space.rank, space.columns]).toEqual([3, 5]);
    expect(isEstimable(space, [-0.6, 1, -0.4, 0, 0])).toBe(true);
    expect(isEstimable(space, [-0.5, 1, -0.5, 0, 0])).toBe(false);
    expect(isEstimable(space, [1, 0, 0, 0, 0])).toBe(false);
    expect(isEstimable(space, [0, 0, 0, 0, 0])).toBe(true);
    expect(() => isEstimable(space, [1])).toThrow("expected 5 coefficients");
  });

  test("what the rows are made of can be estimated, what is free of them not, in any units", () => {
    fc.assert(fc.property(fc.array(fc.array(fc.integer({ min: -3, max: 3 }), { minLength: 5, maxLength: 5 }), { minLength: 1, maxLength: 4 }), fc.integer({ min: -6, max: 6 }), (rows, exponent) => {
      const design = rows.map(([first = 0, ...others]) => [first * 10 ** exponent, ...others]);
      const space = rowSpace(design);
      const mixture = design.reduce((sum, row, k) => sum.map((value, j) => value + (k + 1) * (row[j] ?? 0)), [0, 0, 0, 0, 0]);
      expect(isEstimable(space, mixture)).toBe(true);
      expect(space.basis.length + space.free.length).toBe(5);
      for (const vector of space.free) expect(isEstimable(space, vector.map((value, j) => value * (space.scale[j] ?? 1)))).toBe(false);
    }), { seed: SEED });
  });
});
