import fc from "fast-check";
import { CholeskyDecomposition, Matrix, inverse } from "ml-matrix";
import { describe, expect, test } from "vitest";
import { addOuter, arrowPattern, drawFrom, factorArrow, logDeterminant, rowVariance, rowVariances, solveArrow } from "../../../src/survey/linear/arrow.js";
import type { SparseRow } from "../../../src/survey/linear/arrow.js";
import { close, denseRow, factored, ramp, twin } from "./twins.js";
import type { Shape, Twin } from "./twins.js";

const SEED = 19_731_116;

const shapes = fc.record({ banded: fc.integer({ min: 0, max: 14 }), bandwidth: fc.integer({ min: 0, max: 5 }), border: fc.integer({ min: 0, max: 4 }) })
  .filter(({ banded, border }) => banded + border > 0);

function rowsWithin({ banded, bandwidth, border }: Shape): fc.Arbitrary<SparseRow> {
  const inBand = banded === 0 ? fc.constant<number[]>([])
    : fc.tuple(fc.integer({ min: 0, max: banded - 1 }), fc.array(fc.integer({ min: 0, max: bandwidth }), { maxLength: 4 }))
      .map(([start, steps]) => steps.map((step) => Math.min(start + step, banded - 1)));
  const inBorder = border === 0 ? fc.constant<number[]>([]) : fc.array(fc.integer({ min: banded, max: banded + border - 1 }), { maxLength: 3 });
  return fc.tuple(inBorder, inBand, fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 7, maxLength: 7 }))
    .map(([some, others, values]) => ({ index: [...some, ...others], coefficient: values.slice(0, some.length + others.length) }));
}

const twins: fc.Arbitrary<Twin> = shapes.chain((shape) => fc.array(rowsWithin(shape), { minLength: 1, maxLength: 30 }).map((rows) => twin(shape, rows)));

function denseVariance(dense: Matrix, row: SparseRow): number {
  const full = Matrix.columnVector([...denseRow(row, dense.rows)]);
  return full.transpose().mmul(inverse(dense)).mmul(full).get(0, 0);
}

describe("arrow matrices against a dense library", () => {
  test("solution and determinant", () => {
    fc.assert(fc.property(twins, ({ arrow, dense }) => {
      const factor = factored(arrow);
      const rhs = ramp(dense.rows);
      const cholesky = new CholeskyDecomposition(dense);
      close(solveArrow(factor, rhs), cholesky.solve(Matrix.columnVector([...rhs])).getColumn(0), 1e-10);
      const lower = cholesky.lowerTriangularMatrix;
      expect(logDeterminant(factor)).toBeCloseTo(2 * lower.diagonal().reduce((sum, value) => sum + Math.log(value), 0), 9);
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
      const rhs = ramp(arrow.pattern.place.length);
      const solution = solveArrow(factored(arrow), rhs);
      for (const row of rows) addOuter(arrow.pattern, arrow.entries, row, 2);
      for (const row of rows) addOuter(arrow.pattern, arrow.entries, row, -2);
      close(solveArrow(factored(arrow), rhs), solution, 1e-10);
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
  const steps = Array.from({ length: count - 1 }, (_, i): SparseRow => ({ index: [i, i + 1], coefficient: [-1, 1] }));
  const loose = Array.from({ length: count }, (_, i): SparseRow => ({ index: [i, count], coefficient: [1, -1] }));
  const pattern = arrowPattern({ banded: count, border: 1 }, [...steps, ...loose].map((row) => row.index));
  const arrow = { pattern, entries: new Float64Array(pattern.entries) };
  for (const row of loose) addOuter(pattern, arrow.entries, row, 1e-10);
  for (const row of steps) addOuter(pattern, arrow.entries, row, 1e4);
  addOuter(pattern, arrow.entries, { index: [count], coefficient: [1] }, 1e-8);

  test("leaves the variance of a step its digits", () => {
    const factor = factored(arrow);
    expect(rowVariance(factor, step(20)) / 2e-4).toBeCloseTo(1, 7);
    for (const variance of rowVariances(factor, [step(5), step(20), step(39)])) expect(variance / 2e-4).toBeCloseTo(1, 7);
    expect(rowVariance(factor, { index: [0, count - 1], coefficient: [1, -1] }) / (39e-4)).toBeCloseTo(1, 7);
  });

  test("a free datum is not positive definite", () => {
    const free = new Float64Array(pattern.entries);
    for (const { index } of steps) addOuter(pattern, free, { index, coefficient: [-0.3, 0.3] }, 1 / 7e-6);
    addOuter(pattern, free, { index: [count], coefficient: [1] }, 1);
    expect(factorArrow(pattern, free)).toBeUndefined();
  });

  test("rows beyond the pattern that share a place are solved together, and agree with one at a time", () => {
    const factor = factored(arrow);
    const overChord = Array.from({ length: count - 2 }, (_, k): SparseRow => {
      const t = (k + 1) / (count - 1);
      return { index: [k + 1, 0, count - 1], coefficient: [1, t - 1, -t] };
    });
    const together = rowVariances(factor, overChord);
    for (const [k, row] of overChord.entries()) expect((together[k] ?? Number.NaN) / rowVariance(factor, row)).toBeCloseTo(1, 6);
  });
});

describe("one setting after the other along a long board", () => {
  /** Each step and each setting's own offset: offsets that reach only a little way are eliminated among the places. */
  const count = 120;
  const settings = 12;
  const rows = [
    ...Array.from({ length: count - 1 }, (_, i): SparseRow => ({ index: [i, i + 1], coefficient: [-1, 1] })),
    ...Array.from({ length: count }, (_, i): SparseRow => ({ index: [i, count + Math.floor((i * settings) / count)], coefficient: [-1, 1] })),
  ];

  test("leaves no border, fills in little, and agrees with a dense library", () => {
    const { arrow, dense } = twin({ banded: count, bandwidth: 1, border: settings }, rows);
    expect(arrow.pattern.border).toBe(0);
    expect(arrow.pattern.entries).toBeLessThan(6 * count);
    const rhs = ramp(count + settings);
    close(solveArrow(factored(arrow), rhs), new CholeskyDecomposition(dense).solve(Matrix.columnVector([...rhs])).getColumn(0), 1e-11);
    close(rowVariances(factored(arrow), rows), rows.map((row) => denseVariance(dense, row)), 1e-11);
  });
});

describe("refusals", () => {
  const pattern = arrowPattern({ banded: 6, border: 1 }, [0, 1, 2, 3, 4].map((i) => [i, i + 1]));
  const zeros = new Float64Array(pattern.entries);

  test("zero, negative and not finite matrices have no factor", () => {
    expect(factorArrow(pattern, zeros)).toBeUndefined();
    for (const weight of [-1, Number.NaN, Infinity]) {
      const { arrow } = twin({ banded: 3, bandwidth: 1, border: 1 }, []);
      addOuter(arrow.pattern, arrow.entries, { index: [1], coefficient: [1] }, weight);
      expect(factorArrow(arrow.pattern, arrow.entries)).toBeUndefined();
    }
  });

  test("rows outside the pattern leave the matrix unchanged", () => {
    const entries = new Float64Array(pattern.entries);
    const adding = (row: SparseRow) => () => addOuter(pattern, entries, row, 1);
    expect(adding({ index: [0, 2], coefficient: [1, 1] })).toThrow("the pattern does not hold the unknowns 0 and 2 together");
    expect(adding({ index: [7], coefficient: [1] })).toThrow("expected indices in 0..6, got 7");
    expect(adding({ index: [-1], coefficient: [1] })).toThrow(RangeError);
    expect(adding({ index: [1.5], coefficient: [1] })).toThrow(RangeError);
    expect(adding({ index: [1], coefficient: [] })).toThrow("expected as many coefficients as indices, got 0 and 1");
    expect(entries).toEqual(zeros);
  });

  test("wrong lengths and sizes are named", () => {
    const factor = factored(twin({ banded: 3, bandwidth: 1, border: 1 }, []).arrow);
    expect(() => solveArrow(factor, new Float64Array(3))).toThrow("expected 4 numbers, one for each unknown, got 3");
    expect(() => drawFrom(factor, new Float64Array(5))).toThrow(RangeError);
    expect(() => rowVariances(factor, [{ index: [9], coefficient: [1] }])).toThrow(RangeError);
    expect(rowVariance(factor, { index: [0, 2], coefficient: [1, 1] })).toBeCloseTo(20, 12);
    expect(rowVariances(factor, [{ index: [0, 2], coefficient: [1, 1] }])[0]).toBeCloseTo(20, 12);
    expect(() => arrowPattern({ banded: 2.5, border: 0 }, [])).toThrow("expected banded to be a whole number of 0 or more, got 2.5");
    expect(() => arrowPattern({ banded: 2, border: 0 }, [[2]])).toThrow("expected indices in 0..1, got 2");
  });
});
