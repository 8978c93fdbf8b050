import { CholeskyDecomposition, Matrix, inverse } from "ml-matrix";
import { bench, describe } from "vitest";
import { addOuter, arrowPattern, factorArrow, rowVariance, rowVariances, solveArrow, type SparseRow } from "../../../src/survey/linear/arrow.js";

// Run by hand: npx vitest bench --run --config tests/vitest.config.ts tests/survey/linear/arrow.bench.ts

describe.each([{ banded: 120, bandwidth: 8, border: 12 }, { banded: 400, bandwidth: 8, border: 20 }])("%o", (shape) => {
  const size = shape.banded + shape.border;
  const dense = Matrix.zeros(size, size);
  const rows = Array.from({ length: 3 * size }, (_, k): SparseRow => {
    const start = k % (shape.banded - shape.bandwidth);
    return { index: [start, start + (k % shape.bandwidth) + 1, shape.banded + (k % shape.border)], coefficient: [1, -0.5 - (k % 3), 0.3] };
  });
  const pattern = arrowPattern(shape, rows.map((row) => row.index));
  const entries = new Float64Array(pattern.entries);
  for (let i = 0; i < size; i++) add({ index: [i], coefficient: [0.1] });
  for (const row of rows) add(row);
  const rhs = Float64Array.from({ length: size }, (_, k) => Math.sin(k));
  const column = Matrix.columnVector([...rhs]);

  function add(row: SparseRow): void {
    addOuter(pattern, entries, row, 1);
    for (const [a, i] of row.index.entries()) for (const [b, j] of row.index.entries()) dense.set(i, j, dense.get(i, j) + (row.coefficient[a] ?? 0) * (row.coefficient[b] ?? 0));
  }

  bench("dense factor and solve", () => void new CholeskyDecomposition(dense).solve(column));
  bench("arrow factor and solve", () => {
    const factor = factorArrow(pattern, entries);
    if (factor !== undefined) solveArrow(factor, rhs);
  });
  bench("dense inverse", () => void inverse(dense));
  bench("arrow factor and all variances at once", () => {
    const factor = factorArrow(pattern, entries);
    if (factor !== undefined) rowVariances(factor, rows);
  });
  bench("arrow factor and variances one by one", () => {
    const factor = factorArrow(pattern, entries);
    if (factor !== undefined) for (const row of rows) rowVariance(factor, row);
  });
});
