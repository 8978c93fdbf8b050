import { expect, test } from "vitest";
import { fretClasses } from "../../src/survey/model/fretClasses.js";
import type { FretClass } from "../../src/survey/model/fretClasses.js";

test("how each kind of fret changes with the seating scatter is the slope of its precision, and of the log determinant of that, over the scatter's logarithm", () => {
  const BESIDE = 1e-4;
  const at = (log: number): readonly FretClass[] => fretClasses(3, [0, 2], { roughnessMm: 0.012, seatingMm: 0.008 * Math.exp(log) });
  const [below, here, above] = [at(-BESIDE), at(0), at(BESIDE)];
  const slope = (low = NaN, high = NaN): number => (high - low) / (2 * BESIDE);
  for (const [k, { precision, change }] of here.entries()) {
    const most = Math.max(...precision);
    precision.forEach((_, entry) => expect((change?.precision[entry] ?? NaN) / most).toBeCloseTo(slope(below[k]?.precision[entry], above[k]?.precision[entry]) / most, 6));
    expect(change?.logPrecision).toBeCloseTo(slope(below[k]?.logPrecision, above[k]?.logPrecision), 6);
  }
  expect(here.length).toBeGreaterThan(4);
});
