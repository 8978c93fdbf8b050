import { Matrix } from "ml-matrix";
import { expect } from "vitest";
import { addOuter, arrowPattern, factorArrow } from "../../../src/survey/linear/arrow.js";
import type { ArrowFactor, ArrowPattern, SparseRow } from "../../../src/survey/linear/arrow.js";

/** A matrix made of weighted sparse rows, beside the same matrix made densely. */
export type Twin = { readonly arrow: Arrow; readonly dense: Matrix; readonly rows: readonly SparseRow[] };
type Arrow = { readonly pattern: ArrowPattern; readonly entries: Float64Array };
/** How far apart banded unknowns of one row lie in these tests. */
export type Shape = { readonly banded: number; readonly bandwidth: number; readonly border: number };

/** A tenth of the unit matrix and each row times itself. */
export function twin(shape: Shape, rows: readonly SparseRow[]): Twin {
  const size = shape.banded + shape.border;
  const pattern = arrowPattern(shape, rows.map((row) => row.index));
  const arrow = { pattern, entries: new Float64Array(pattern.entries) };
  const dense = Matrix.zeros(size, size);
  for (let i = 0; i < size; i++) add(arrow, dense, { index: [i], coefficient: [1] }, 0.1);
  for (const [k, row] of rows.entries()) add(arrow, dense, row, 1 + (k % 3));
  return { arrow, dense, rows };
}

function add(arrow: Arrow, dense: Matrix, row: SparseRow, weight: number): void {
  addOuter(arrow.pattern, arrow.entries, row, weight);
  const full = Matrix.columnVector([...denseRow(row, dense.rows)]);
  dense.add(full.mmul(full.transpose()).mul(weight));
}

export function denseRow(row: SparseRow, size: number): Float64Array {
  const full = new Float64Array(size);
  for (const [k, at] of row.index.entries()) full[at] = (full[at] ?? 0) + (row.coefficient[k] ?? 0);
  return full;
}

/** @throws {Error} a matrix that has no factor */
export function factored({ pattern, entries }: Arrow): ArrowFactor {
  const factor = factorArrow(pattern, entries);
  if (factor === undefined) throw new Error("expected a positive definite matrix");
  return factor;
}

/** As near as a share of the largest number. */
export function close(actual: ArrayLike<number>, expected: ArrayLike<number>, relTol: number): void {
  const scale = Math.max(...Array.from(expected, Math.abs), 1e-300);
  expect(actual.length).toBe(expected.length);
  for (let k = 0; k < expected.length; k++) expect(Math.abs((actual[k] ?? Number.NaN) - (expected[k] ?? Number.NaN))).toBeLessThanOrEqual(relTol * scale);
}

/** Numbers without a pattern. */
export const ramp = (size: number): Float64Array => Float64Array.from({ length: size }, (_, k) => Math.sin(1 + 2.3 * k));
