import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { straightness } from "../../src/shape/straightness.js";
import { zoneByLinearProgram } from "./zoneByLinearProgram.js";

const SEED = 5;
const height = fc.double({ min: -0.5, max: 0.5, noNaN: true });
const profile = fc.array(fc.tuple(fc.double({ min: 1, max: 40, noNaN: true }), height), { minLength: 3, maxLength: 24 }).map((steps) => {
  let x = 0;
  return { x: steps.map(([step]) => (x += step)), y: steps.map(([, y]) => y) };
});
const SETTINGS = { seed: SEED, numRuns: 150 };

describe("straightness", () => {
  test(`the minimum zone is that of a linear program solved by another method (seed ${SEED})`, () => {
    fc.assert(fc.property(profile, ({ x, y }) => {
      expect(straightness(x, y, "minimumZone").width).toBeCloseTo(zoneByLinearProgram(x, y), 9);
    }), SETTINGS);
  });

  test("control: the linear program does not agree with least squares on a lopsided profile", () => {
    const [x, y] = [[0, 1, 2, 3, 4, 5], [0, 3, 1, 0, 0, 0]];
    expect(zoneByLinearProgram(x, y)).toBeCloseTo(3, 9);
    expect(Math.abs(straightness(x, y, "leastSquares").width - zoneByLinearProgram(x, y))).toBeGreaterThan(0.2);
  });

  test(`tilting and lifting a profile leaves all three widths alone; turning it over too (seed ${SEED})`, () => {
    const tilt = fc.double({ min: -0.01, max: 0.01, noNaN: true });
    fc.assert(fc.property(profile, tilt, height, ({ x, y }, slope, lift) => {
      for (const reference of ["endPoint", "leastSquares", "minimumZone"] as const) {
        const { width } = straightness(x, y, reference);
        expect(straightness(x, y.map((value, at) => value + slope * (x[at] ?? 0) + lift), reference).width).toBeCloseTo(width, 10);
        expect(straightness(x, y.map((value) => -value), reference).width).toBeCloseTo(width, 12);
      }
    }), SETTINGS);
  });

  test("two points are straight; one point, unlike lists and places that go back are refused", () => {
    expect(straightness([0, 1], [0, 5], "minimumZone").width).toBeCloseTo(0, 12);
    expect(() => straightness([0], [0], "endPoint")).toThrow("Cannot judge straightness: expected two points or more, got 1");
    expect(() => straightness([0, 1], [0], "endPoint")).toThrow("as many heights as places");
    expect(() => straightness([0, 1, 1], [0, 0, 0], "endPoint")).toThrow("expected places that increase, got 1 after 1");
    expect(() => straightness([0, 1], [0, NaN], "endPoint")).toThrow("expected finite numbers, got NaN");
  });
});
