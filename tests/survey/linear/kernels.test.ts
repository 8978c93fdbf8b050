import fc from "fast-check";
import { CholeskyDecomposition, Matrix, inverse } from "ml-matrix";
import { describe, expect, test } from "vitest";
import { addOuter, arrowPattern, entryAt, factorArrow, inverseEntries, keptFactor, rowCovariances, solveArrow, solvePlaced, standingFactor } from "../../../src/survey/linear/arrow.js";
import type { SparseRow } from "../../../src/survey/linear/arrow.js";
import { close, factored, ramp, twin } from "./twins.js";
import type { Twin } from "./twins.js";

const SEED = 20_261_127;

/** Rows that hold neighbours together along a band, each with one of the border's: blocks as wide as the band, and as many rows below as the border and the next of the band. */
function along({ banded, together, border }: { readonly banded: number; readonly together: number; readonly border: number }): Twin {
  const rows = Array.from({ length: Math.max(1, banded - together + 1) }, (_, from): SparseRow => ({
    index: [...Array.from({ length: Math.min(together, banded) }, (_entry, k) => from + k), ...Array.from({ length: border }, (_entry, k) => banded + k)],
    coefficient: Array.from({ length: Math.min(together, banded) + border }, (_entry, k) => Math.sin(1 + from + 3.7 * k)),
  }));
  return twin({ banded, bandwidth: together - 1, border }, rows);
}

/** All of a twin that the kernels give, against a dense library. */
function agrees({ arrow, dense, rows }: Twin): void {
  const { pattern } = arrow;
  const factor = factored(arrow);
  const expected = inverse(dense);
  const found = inverseEntries(factor);
  const size = dense.rows;
  const held = Array.from({ length: size * size }, (_, k) => ({ i: Math.floor(k / size), j: k % size }))
    .map(({ i, j }) => ({ i, j, at: entryAt(pattern, pattern.place[i] ?? 0, pattern.place[j] ?? 0) })).filter(({ at }) => at >= 0);
  expect(held.length).toBeGreaterThanOrEqual(size);
  close(held.map(({ at }) => found[at] ?? NaN), held.map(({ i, j }) => expected.get(i, j)), 1e-9);
  close(solveArrow(factor, ramp(size)), new CholeskyDecomposition(dense).solve(Matrix.columnVector([...ramp(size)])).getColumn(0), 1e-9);
  const some = rows.slice(0, 5);
  const full = Matrix.zeros(some.length, size);
  for (const [r, { index, coefficient }] of some.entries()) for (const [k, at] of index.entries()) full.set(r, at, full.get(r, at) + (coefficient[k] ?? 0));
  close(rowCovariances(factor, some), full.mmul(expected).mmul(full.transpose()).to1DArray(), 1e-9);
}

describe("the kernels against a dense library", () => {
  test("blocks of any width, with any number of rows below", () => {
    fc.assert(fc.property(fc.record({ banded: fc.integer({ min: 1, max: 40 }), together: fc.integer({ min: 1, max: 16 }), border: fc.integer({ min: 0, max: 14 }) }), (shape) => agrees(along(shape))), { seed: SEED, numRuns: 120 });
  });

  test("patterns by turns, a large one between small ones", () => {
    const small = along({ banded: 12, together: 3, border: 2 });
    const other = along({ banded: 30, together: 7, border: 5 });
    const [first, second] = [factored(small.arrow), factored(other.arrow)];
    const alone = [solveArrow(first, ramp(14)), solveArrow(second, ramp(35))];
    // more than the memory of both, so that it must grow in between
    const steps = Array.from({ length: 40_000 }, (_, from): SparseRow => ({ index: [from, from + 1], coefficient: [1, -1] }));
    const pattern = arrowPattern({ banded: 40_001, border: 0 }, steps.map(({ index }) => index));
    const entries = new Float64Array(pattern.entries);
    for (const row of [...steps, ...Array.from({ length: 40_001 }, (_, at): SparseRow => ({ index: [at], coefficient: [1] }))]) addOuter(pattern, entries, row, 1);
    // ones have no step between them
    close(solveArrow(factored({ pattern, entries }), new Float64Array(40_001).fill(1)), new Float64Array(40_001).fill(1), 1e-12);
    expect([solveArrow(first, ramp(14)), solveArrow(second, ramp(35))]).toEqual(alone);
    agrees(small);
  });

  test("right sides together come out as one by one, however many", () => {
    const { arrow } = along({ banded: 25, together: 6, border: 4 });
    const factor = factored(arrow);
    for (const count of [1, 2, 3, 7, 12]) {
      const sides = Array.from({ length: count }, (_, k) => ramp(29).map((value, at) => value * Math.cos(k * at)));
      const together = sides.map((side) => side.slice());
      solvePlaced(factor, together);
      for (const [k, side] of sides.entries()) {
        solvePlaced(factor, [side]);
        close(together[k] ?? [], side, 1e-12);
      }
    }
    solvePlaced(factor, []);
  });

  test("a matrix that has no factor leaves an earlier one as good as before", () => {
    const { arrow: { pattern, entries } } = along({ banded: 12, together: 3, border: 2 });
    const factor = factored({ pattern, entries });
    const solution = solveArrow(factor, ramp(14));
    const at = entryAt(pattern, 6, 6);
    expect(factorArrow(pattern, entries.map((value, k) => (k === at ? -value : value)))).toBeUndefined();
    expect(solveArrow(factor, ramp(14))).toEqual(solution);
  });

  test("a factor that stands answers like one that is kept, until another is made", () => {
    const { arrow: { pattern, entries }, rows } = along({ banded: 12, together: 3, border: 2 });
    const standing = standingFactor(pattern, (matrix) => matrix.set(entries));
    if (standing === undefined) throw new Error("expected a factor");
    const some = rows.slice(0, 3);
    const covariances = rowCovariances(standing, some);
    const kept = keptFactor(standing);
    expect(rowCovariances(standing, some)).toEqual(covariances);
    factored({ pattern, entries: entries.map((value) => 2 * value) });
    expect(() => rowCovariances(standing, some)).toThrow("it was to be used before another was made");
    close(rowCovariances(kept, some), covariances, 1e-14);
    expect(inverseEntries({ pattern, entries: kept.entries })).toEqual(kept.inverse);
  });
});
