import fc from "fast-check";
import { inverse as denseInverse, Matrix, LuDecomposition } from "ml-matrix";
import { expect, test } from "vitest";
import { smallDot, smallInverse, smallProduct } from "../../../src/survey/linear/smallSpd.js";

const SEED = 20261126;

test("small inverses, determinants and products agree with a dense library", () => {
  const entry = fc.double({ min: -1, max: 1, noNaN: true });
  fc.assert(fc.property(fc.integer({ min: 1, max: 6 }).chain((size) => fc.tuple(fc.constant(size), fc.array(entry, { minLength: size * size, maxLength: size * size }))), ([size, entries]) => {
    const root = new Matrix(Array.from({ length: size }, (_, i) => entries.slice(i * size, (i + 1) * size)));
    const matrix = root.mmul(root.transpose()).add(Matrix.eye(size).mul(0.1));
    const flat = Float64Array.from(matrix.to1DArray());
    const found = smallInverse(flat, size);
    if (found === undefined) throw new RangeError("expected a positive definite matrix");
    for (const [at, value] of denseInverse(matrix).to1DArray().entries()) expect(Math.abs((found.inverse[at] ?? NaN) - value)).toBeLessThan(1e-9 * 100);
    expect(Math.abs(found.logDeterminant - Math.log(new LuDecomposition(matrix).determinant))).toBeLessThan(1e-9);
    const vector = Float64Array.from(entries.slice(0, size));
    const back = smallProduct(found.inverse, smallProduct(flat, vector));
    for (const [at, value] of vector.entries()) expect(Math.abs((back[at] ?? NaN) - value)).toBeLessThan(1e-8);
    expect(smallDot(vector, vector)).toBeCloseTo(vector.reduce((sum, value) => sum + value * value, 0), 12);
  }), { seed: SEED, numRuns: 200 });
});

test("a matrix that is not positive definite has no inverse here", () => {
  expect(smallInverse(Float64Array.of(1, 2, 2, 1), 2)).toBeUndefined();
  expect(smallInverse(Float64Array.of(0), 1)).toBeUndefined();
});
