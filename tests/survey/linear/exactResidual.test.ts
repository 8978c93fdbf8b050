import fc from "fast-check";
import { expect, test } from "vitest";
import { exactResidual } from "../../../src/survey/linear/exactResidual.js";

const SEED = 20_050_601;

/** A double as a whole number of units of 2^-1074. */
function wholeUnits(value: number): bigint {
  const view = new DataView(new ArrayBuffer(8));
  view.setFloat64(0, value);
  const bits = view.getBigUint64(0);
  const exponent = (bits >> 52n) & 2047n;
  const fraction = bits & ((1n << 52n) - 1n);
  const size = exponent === 0n ? fraction : (fraction + (1n << 52n)) << (exponent - 1n);
  return bits >> 63n === 1n ? -size : size;
}

/** The same in whole numbers, without any rounding until the end. */
function bySums(observed: number, row: readonly number[], parameters: readonly number[]): number {
  const products = row.reduce((sum, factor, j) => sum + wholeUnits(factor) * wholeUnits(parameters[j] ?? 0), 0n);
  const rest = (wholeUnits(observed) << 1074n) - products;
  const scaled = rest / (1n << 1900n);
  return Number(scaled) * 2 ** -248;
}

test("exactResidual keeps the digits that a plain sum loses", () => {
  const value = fc.double({ min: -1e6, max: 1e6, noNaN: true }).filter((x) => x === 0 || Math.abs(x) > 1e-6);
  fc.assert(fc.property(fc.array(value, { minLength: 3, maxLength: 3 }), fc.array(value, { minLength: 3, maxLength: 3 }), (row, parameters) => {
    const observed = row.reduce((sum, factor, j) => sum + factor * (parameters[j] ?? 0), 0);
    const expected = bySums(observed, row, parameters);
    expect(Math.abs(exactResidual(observed, row, parameters) - expected)).toBeLessThanOrEqual(1e-14 * Math.abs(expected) + 1e-18);
  }), { seed: SEED, numRuns: 500 });
});

test("exactResidual of numbers too large to halve falls back to the plain sum", () => {
  expect(exactResidual(1e305, [1, 1e305], [2, 1])).toBe(1e305 - (2 + 1e305));
});
