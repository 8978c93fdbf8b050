import { DataFrame } from "danfojs";
import fc from "fast-check";
import { median, sampleStandardDeviation, sampleVariance } from "simple-statistics";
import { describe, expect, test } from "vitest";

const values = fc.array(fc.double({ min: -50, max: 50, noNaN: true }), { minLength: 2, maxLength: 40 });
const column = (numbers: readonly number[]) => new DataFrame({ a: [...numbers] }).column("a");

describe("statistics of a table's column", () => {
  test("are those of another library", () => {
    fc.assert(fc.property(values, (numbers) => {
      expect(column(numbers).median()).toBeCloseTo(median(numbers), 9);
      expect(column(numbers).var()).toBeCloseTo(sampleVariance(numbers), 9);
      expect(column(numbers).std()).toBeCloseTo(sampleStandardDeviation(numbers), 9);
    }), { seed: 20_261_126 });
  });

  test("of one value have no spread, of two values that come most often both are told", () => {
    expect(column([3]).std()).toBe(0);
    expect(column([3, 1, 3, 2, 1]).mode()).toEqual([3, 1]);
  });

  test("of groups: two of one, one of the other", () => {
    const frame = new DataFrame({ line: ["bass", "bass", "treble"], gap: [1, 4, 7] });
    const spread = frame.groupby(["line"]).col(["gap"]).std();
    expect(spread.values).toEqual([["bass", expect.closeTo(Math.sqrt(4.5), 12)], ["treble", 0]]);
  });
});
