import { describe, expect, test } from "vitest";
import { straightness } from "../../src/shape/straightness.js";
import type { ReferenceLine } from "../../src/shape/straightness.js";
import { printed, published } from "./printed.js";
import { referenceText } from "./reference.js";

type Computed = { readonly slope: number; readonly residuals: readonly number[]; readonly peakToValley: number; readonly intercept: number };
type Zone = { readonly width: number; readonly slope: number; readonly midIntercept: number; readonly contactIndices: readonly number[] };
type Profile = {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly computed: { readonly leastSquares: Computed & { readonly peak: number; readonly valley: number }; readonly endPoint: Computed; readonly minimumZone: Zone };
};

const SETS: Readonly<Record<string, Profile>> = JSON.parse(referenceText("straightness.json")).sets;

function set(name: string): Profile {
  const found = SETS[name];
  if (found === undefined) throw new RangeError(`expected a profile ${name}`);
  return found;
}

function of(name: string, reference: ReferenceLine): ReturnType<typeof straightness> {
  return straightness(set(name).x, set(name).y, reference);
}

describe("straightness against a laser interferometer's manual, October 1987, section 21", () => {
  test("axis 1, p. 21-3: end-point slope and residuals as printed (line values were rounded to 0.1 before subtracting)", () => {
    const found = of("laser_manual_1987_axis1", "endPoint");
    printed(found.slope, "8.33");
    printed(found.intercept, "-0.3");
    const residuals = [0.0, 0.4, 0.1, 0.3, -0.1, -0.3, -0.5, -0.4, -0.5, 0.0];
    for (const [at, value] of residuals.entries()) expect(Math.abs((found.residuals[at] ?? NaN) - value)).toBeLessThanOrEqual(0.0501);
  });

  test("axis 2, p. 21-6: least squares slope and intercept as printed", () => {
    const found = of("laser_manual_1987_axis2", "leastSquares");
    printed(found.slope, "-17.42");
    printed(found.intercept, "-0.591");
    const sizes = [0.09, 0.262, 0.167, 0.596, 0.08, 0.146, 0.083, 0.488, 0.159, 0.37];
    // the manual subtracts line values that are rounded to three digits, up to 0.005 off
    for (const [at, value] of sizes.entries()) expect(Math.abs(Math.abs(found.residuals[at] ?? NaN) - value)).toBeLessThanOrEqual(0.0055);
  });

  test("axis 2, p. 21-6: end-point slope and residuals as printed", () => {
    const found = of("laser_manual_1987_axis2", "endPoint");
    printed(found.slope, "-18.44");
    const residuals = [0.0, 0.22, -0.16, -0.53, 0.19, 0.31, 0.13, 0.76, 0.48, 0.0];
    for (const [at, value] of residuals.entries()) expect(Math.abs((found.residuals[at] ?? NaN) - value)).toBeLessThanOrEqual(0.0051);
  });

  test("the best uniform line of y = x^2 on 0..1 is y = x - 1/8, off by 1/8 (standard text)", () => {
    const found = of("parabola11", "minimumZone");
    published(found.slope, 1, 1e-12);
    published(found.intercept, -0.125, 1e-12);
    published(found.width, 0.25, 1e-12);
  });

  test("control: a slope off by one part in a thousand does not pass", () => {
    expect(() => printed(1.001 * of("laser_manual_1987_axis2", "leastSquares").slope, "-17.42")).toThrow("against the printed");
  });
});

describe("straightness against rational arithmetic (computed, not published)", () => {
  test.each(Object.keys(SETS))("%s: all three reference lines to 12 digits", (name) => {
    const { computed } = set(name);
    for (const reference of ["leastSquares", "endPoint"] as const) {
      const found = of(name, reference);
      expect(found.width).toBeCloseTo(computed[reference].peakToValley, 12);
      expect(found.slope).toBeCloseTo(computed[reference].slope, 12);
      expect(found.intercept).toBeCloseTo(computed[reference].intercept, 12);
      for (const [at, value] of computed[reference].residuals.entries()) expect(found.residuals[at]).toBeCloseTo(value, 12);
    }
    expect(of(name, "leastSquares").peak).toBeCloseTo(computed.leastSquares.peak, 12);
    expect(of(name, "leastSquares").valley).toBeCloseTo(computed.leastSquares.valley, 12);
    const zone = of(name, "minimumZone");
    expect(zone.width).toBeCloseTo(computed.minimumZone.width, 12);
  });

  test.each(Object.keys(SETS))("%s: the minimum zone is proved by contacts alternating high, low, high", (name) => {
    const { residuals, width } = of(name, "minimumZone");
    const contacts = residuals.filter((residual) => Math.abs(Math.abs(residual) - width / 2) < 1e-12).map(Math.sign);
    const changes = contacts.slice(1).filter((sign, at) => sign !== contacts[at]).length;
    expect(changes).toBeGreaterThanOrEqual(2);
  });

  test("no reference line gives less than the minimum zone", () => {
    for (const name of Object.keys(SETS)) {
      const least = of(name, "minimumZone").width;
      expect(of(name, "leastSquares").width).toBeGreaterThanOrEqual(least - 1e-12);
      expect(of(name, "endPoint").width).toBeGreaterThanOrEqual(least - 1e-12);
    }
  });
});
