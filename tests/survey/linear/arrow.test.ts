import fc from "fast-check";
import { CholeskyDecomposition, Matrix, inverse } from "ml-matrix";
import { describe, expect, test } from "vitest";
import { addOuter, arrowMatrix, copyArrow, drawFrom, factorArrow, logDeterminant, rowVariance, rowVariances, solveArrow } from "../../../src/survey/linear/arrow.js";
import type { ArrowFactor, ArrowMatrix, ArrowShape, SparseRow } from "../../../src/survey/linear/arrow.js";

const SEED = 19_731_116;

/** A matrix made of weighted sparse rows, beside the same matrix made densely. */
type Twin = { readonly shape: ArrowShape; readonly arrow: ArrowMatrix; readonly dense: Matrix; readonly rows: readonly SparseRow[] };

const shapes = fc.record({ banded: fc.integer({ min: 0, max: 14 }), bandwidth: fc.integer({ min: 0, max: 5 }), border: fc.integer({ min: 0, max: 4 }) })
  .filter(({ banded, border }) => banded + border > 0);

function rowsWithin({ banded, bandwidth, border }: ArrowShape): fc.Arbitrary<SparseRow> {
  const inBand = banded === 0 ? fc.constant<number[]>([])
    : fc.tuple(fc.integer({ min: 0, max: banded - 1 }), fc.array(fc.integer({ min: 0, max: bandwidth }), { maxLength: 4 }))
      .map(([start, steps]) => steps.map((step) => Math.min(start + step, banded - 1)));
  const inBorder = border === 0 ? fc.constant<number[]>([]) : fc.array(fc.integer({ min: banded, max: banded + border - 1 }), { maxLength: 3 });
  return fc.tuple(inBorder, inBand, fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 7, maxLength: 7 }))
    .map(([some, others, values]) => ({ index: [...some, ...others], coefficient: values.slice(0, some.length + others.length) }));
}

const twins: fc.Arbitrary<Twin> = shapes.chain((shape) => fc.array(rowsWithin(shape), { minLength: 1, maxLength: 30 }).map((rows) => twin(shape, rows)));

function twin(shape: ArrowShape, rows: readonly SparseRow[]): Twin {
  const size = shape.banded + shape.border;
  const arrow = arrowMatrix(shape);
  const dense = Matrix.zeros(size, size);
  for (let i = 0; i < size; i++) add(arrow, dense, { index: [i], coefficient: [1] }, 0.1);
  for (const [k, row] of rows.entries()) add(arrow, dense, row, 1 + (k % 3));
  return { shape, arrow, dense, rows };
}

function add(arrow: ArrowMatrix, dense: Matrix, row: SparseRow, weight: number): void {
  addOuter(arrow, row, weight);
  const full = Matrix.columnVector([...denseRow(row, dense.rows)]);
  dense.add(full.mmul(full.transpose()).mul(weight));
}

function denseRow(row: SparseRow, size: number): Float64Array {
  const full = new Float64Array(size);
  for (const [k, at] of row.index.entries()) full[at] = (full[at] ?? 0) + (row.coefficient[k] ?? 0);
  return full;
}

function factored(matrix: ArrowMatrix): ArrowFactor {
  const factor = factorArrow(matrix);
  if (factor === undefined) throw new Error("expected a positive definite matrix");
  return factor;
}

function denseVariance(dense: Matrix, row: SparseRow): number {
  const full = Matrix.columnVector([...denseRow(row, dense.rows)]);
  return full.transpose().mmul(inverse(dense)).mmul(full).get(0, 0);
}

function close(actual: ArrayLike<number>, expected: ArrayLike<number>, relTol: number): void {
  const scale = Math.max(...Array.from(expected, Math.abs), 1e-300);
  expect(actual.length).toBe(expected.length);
  for (let k = 0; k < expected.length; k++) expect(Math.abs((actual[k] ?? Number.NaN) - (expected[k] ?? Number.NaN))).toBeLessThanOrEqual(relTol * scale);
}

const ramp = (size: number): Float64Array => Float64Array.from({ length: size }, (_, k) => Math.sin(1 + 2.3 * k));

describe("arrow matrices against a dense library", () => {
  test("solve, determinant and draws", () => {
    fc.assert(fc.property(twins, ({ arrow, dense }) => {
      const factor = factored(arrow);
      const rhs = ramp(dense.rows);
      const cholesky = new CholeskyDecomposition(dense);
      close(solveArrow(factor, rhs), cholesky.solve(Matrix.columnVector([...rhs])).getColumn(0), 1e-10);
      const lower = cholesky.lowerTriangularMatrix;
      expect(logDeterminant(factor)).toBeCloseTo(2 * lower.diagonal().reduce((sum, value) => sum + Math.log(value), 0), 9);
      close(lower.transpose().mmul(Matrix.columnVector([...drawFrom(factor, rhs)])).getColumn(0), rhs, 1e-11);
    }), { seed: SEED, numRuns: 300 });
  });

  test("variances of rows, one by one and all at once", () => {
    fc.assert(fc.property(twins, ({ arrow, dense, rows }) => {
      const factor = factored(arrow);
      const expected = rows.map((row) => denseVariance(dense, row));
      for (const [k, row] of rows.entries()) expect(Math.abs(rowVariance(factor, row) - (expected[k] ?? 0))).toBeLessThanOrEqual(1e-11 * (1 + (expected[k] ?? 0)));
      close(rowVariances(factor, rows), expected, 1e-11);
    }), { seed: SEED, numRuns: 300 });
  });

  test("draws have the inverse as their covariance", () => {
    fc.assert(fc.property(twins, ({ arrow, dense }) => {
      const factor = factored(arrow);
      const covariance = Matrix.zeros(dense.rows, dense.rows);
      for (let k = 0; k < dense.rows; k++) {
        const unit = new Float64Array(dense.rows);
        unit[k] = 1;
        const column = Matrix.columnVector([...drawFrom(factor, unit)]);
        covariance.add(column.mmul(column.transpose()));
      }
      close(covariance.to1DArray(), inverse(dense).to1DArray(), 1e-10);
    }), { seed: SEED });
  });

  test("a row taken away again leaves the matrix as it was", () => {
    fc.assert(fc.property(twins, ({ arrow, rows }) => {
      const before = copyArrow(arrow);
      const rhs = ramp(arrow.banded + arrow.border);
      const solution = solveArrow(factored(before), rhs);
      for (const row of rows) addOuter(arrow, row, 2);
      for (const row of rows) addOuter(arrow, row, -2);
      close(solveArrow(factored(arrow), rhs), solution, 1e-10);
      expect(solveArrow(factored(before), rhs)).toEqual(solution);
    }), { seed: SEED });
  });

  test.each([{ banded: 0, bandwidth: 3, border: 3 }, { banded: 5, bandwidth: 0, border: 0 }, { banded: 5, bandwidth: 0, border: 2 }, { banded: 3, bandwidth: 9, border: 0 }, { banded: 1, bandwidth: 1, border: 1 }])(
    "works at the edge of shapes: %o", (shape) => {
      const size = shape.banded + shape.border;
      const across = { index: [0, size - 1], coefficient: [1, -2] };
      const rows = shape.border > 0 || shape.bandwidth > 1 ? [across] : [];
      const { arrow, dense } = twin(shape, rows);
      const rhs = ramp(size);
      close(solveArrow(factored(arrow), rhs), new CholeskyDecomposition(dense).solve(Matrix.columnVector([...rhs])).getColumn(0), 1e-12);
      close(rowVariances(factored(arrow), rows), rows.map((row) => denseVariance(dense, row)), 1e-12);
    });
});

const step = (i: number): SparseRow => ({ index: [i - 2, i], coefficient: [-1, 1] });

describe("a loose datum", () => {
  /** Heights along a chain, each step known to 0.01, the whole known only to 1e4: the inverse is all but constant at 1e8. */
  const count = 40;
  const arrow = arrowMatrix({ banded: count, bandwidth: 2, border: 1 });
  for (let i = 0; i < count; i++) addOuter(arrow, { index: [i, count], coefficient: [1, -1] }, 1e-10);
  for (let i = 1; i < count; i++) addOuter(arrow, { index: [i - 1, i], coefficient: [-1, 1] }, 1e4);
  addOuter(arrow, { index: [count], coefficient: [1] }, 1e-8);

  test("leaves the variance of a step its digits", () => {
    const factor = factored(arrow);
    expect(rowVariance(factor, step(20)) / 2e-4).toBeCloseTo(1, 7);
    for (const variance of rowVariances(factor, [step(5), step(20), step(39)])) expect(variance / 2e-4).toBeCloseTo(1, 7);
    expect(rowVariance(factor, { index: [0, count - 1], coefficient: [1, -1] }) / (39e-4)).toBeCloseTo(1, 7);
  });

  test("a free datum is not positive definite", () => {
    const free = arrowMatrix({ banded: count, bandwidth: 2, border: 1 });
    for (let i = 1; i < count; i++) addOuter(free, { index: [i - 1, i], coefficient: [-0.3, 0.3] }, 1 / 7e-6);
    addOuter(free, { index: [count], coefficient: [1] }, 1);
    expect(factorArrow(free)).toBeUndefined();
  });
});

describe("refusals", () => {
  const matrix = arrowMatrix({ banded: 6, bandwidth: 1, border: 1 });

  test("zero, negative and not finite matrices have no factor", () => {
    expect(factorArrow(matrix)).toBeUndefined();
    for (const weight of [-1, Number.NaN, Infinity]) {
      const { arrow } = twin({ banded: 3, bandwidth: 1, border: 1 }, []);
      addOuter(arrow, { index: [1], coefficient: [1] }, weight);
      expect(factorArrow(arrow)).toBeUndefined();
    }
  });

  test("rows outside the pattern leave the matrix unchanged", () => {
    const before = copyArrow(matrix);
    expect(() => addOuter(matrix, { index: [0, 2], coefficient: [1, 1] }, 1)).toThrow("expected banded unknowns within 1 of each other, got 0 and 2");
    expect(() => addOuter(matrix, { index: [7], coefficient: [1] }, 1)).toThrow("expected indices in 0..6, got 7");
    expect(() => addOuter(matrix, { index: [-1], coefficient: [1] }, 1)).toThrow(RangeError);
    expect(() => addOuter(matrix, { index: [1.5], coefficient: [1] }, 1)).toThrow(RangeError);
    expect(() => addOuter(matrix, { index: [1], coefficient: [] }, 1)).toThrow("expected as many coefficients as indices, got 0 and 1");
    expect(matrix).toEqual(before);
  });

  test("wrong lengths and sizes are named", () => {
    const factor = factored(twin({ banded: 3, bandwidth: 1, border: 1 }, []).arrow);
    expect(() => solveArrow(factor, new Float64Array(3))).toThrow("expected 4 numbers, one for each unknown, got 3");
    expect(() => drawFrom(factor, new Float64Array(5))).toThrow(RangeError);
    expect(() => rowVariances(factor, [{ index: [0, 2], coefficient: [1, 1] }])).toThrow(RangeError);
    expect(rowVariance(factor, { index: [0, 2], coefficient: [1, 1] })).toBeCloseTo(20, 12);
    expect(() => arrowMatrix({ banded: 2.5, bandwidth: 0, border: 0 })).toThrow("expected banded to be a whole number of 0 or more, got 2.5");
  });
});
