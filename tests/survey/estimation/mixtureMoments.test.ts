import fc from "fast-check";
import { Matrix, determinant, inverse } from "ml-matrix";
import { expect, test } from "vitest";
import { mixtureWork, naturalMixtureMoments, preparedMixture } from "../../../src/survey/estimation/mixtureMoments.js";
import { fretMixture } from "../../../src/survey/model/fretClasses.js";
import type { Mixture } from "../../../src/survey/model/normalClass.js";

const SEED = 20_261_127;

/** The same sums with a dense library's matrices. */
function densely({ classes, baseSd }: Mixture, precision: Matrix, shift: Matrix): { readonly logIntegral: number; readonly mean: number[]; readonly covariance: number[] } {
  const size = shift.rows;
  const parts = classes.map((one) => {
    const own = Matrix.from1DArray(size, size, [...one.precision]);
    const centre = Matrix.columnVector([...one.mean]);
    const total = precision.clone().add(own).sub(Matrix.eye(size).mul(1 / baseSd ** 2));
    const covariance = inverse(total);
    const right = shift.clone().add(own.mmul(centre));
    const mean = covariance.mmul(right);
    const log = Math.log(one.weight) + 0.5 * (Math.log(determinant(own)) - centre.transpose().mmul(own).mmul(centre).get(0, 0) + right.transpose().mmul(mean).get(0, 0) - Math.log(determinant(total)) + size * Math.log(2 * Math.PI * baseSd ** 2));
    return { log, mean, covariance };
  });
  const top = Math.max(...parts.map(({ log }) => log));
  const sum = parts.reduce((all, { log }) => all + Math.exp(log - top), 0);
  const shares = parts.map(({ log }) => Math.exp(log - top) / sum);
  const mean = parts.reduce((all, one, k) => all.add(one.mean.clone().mul(shares[k] ?? NaN)), Matrix.zeros(size, 1));
  const covariance = parts.reduce((all, one, k) => {
    const apart = one.mean.clone().sub(mean);
    return all.add(one.covariance.clone().add(apart.mmul(apart.transpose())).mul(shares[k] ?? NaN));
  }, Matrix.zeros(size, size));
  return { logIntegral: top + Math.log(sum), mean: mean.to1DArray(), covariance: covariance.to1DArray() };
}

test.each([1, 2, 3, 4])("moments of a fret on %i lines are those that a dense library gives", (size) => {
  const mixture = fretMixture(size, [0, size - 1], { roughnessMm: 0.012, seatingMm: 0.008 });
  const contexts = fc.record({ sds: fc.array(fc.double({ min: 0.003, max: 0.05, noNaN: true }), { minLength: size, maxLength: size }), together: fc.double({ min: 0, max: 0.9, noNaN: true }), means: fc.array(fc.double({ min: -0.1, max: 0.2, noNaN: true }), { minLength: size, maxLength: size }) });
  fc.assert(fc.property(contexts, ({ sds, together, means }) => {
    const covariance = Matrix.zeros(size, size);
    for (const [i, a] of sds.entries()) for (const [j, b] of sds.entries()) covariance.set(i, j, a * b * (i === j ? 1 : together));
    const precision = inverse(covariance);
    const shift = precision.mmul(Matrix.columnVector(means));
    const work = mixtureWork(size);
    work.precision.set(precision.to1DArray());
    work.shift.set(shift.to1DArray());
    expect(naturalMixtureMoments(preparedMixture(mixture), work)).toBe(true);
    const expected = densely(mixture, precision, shift);
    expect(work.logIntegral).toBeCloseTo(expected.logIntegral, 6);
    for (const [i, mean] of expected.mean.entries()) expect(Math.abs((work.mean[i] ?? NaN) - mean)).toBeLessThan(1e-8);
    for (const [i, value] of expected.covariance.entries()) expect(Math.abs((work.covariance[i] ?? NaN) - value)).toBeLessThan(1e-9);
  }), { seed: SEED, numRuns: 100 });
});
