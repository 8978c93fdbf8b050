import { describe, expect, test } from "vitest";
import { usualTool } from "neck-survey";
import { sagFactor, sagScaleMm } from "../../src/survey/model/sag.js";
import { printed } from "./printed.js";
import { referenceText } from "./reference.js";

type Reference = {
  readonly points: readonly { readonly name: string; readonly u_from_end_over_L: number; readonly mid_minus_support: number; readonly end_minus_support: number; readonly mid_minus_end: number }[];
  readonly example_own: { readonly "on edge (bending depth 40)": { readonly wL4_over_EI_mm: number; readonly sag_ends_supported_um: number; readonly mid_minus_end_airy_um: number } };
};
const { points, example_own: { "on edge (bending depth 40)": bar } }: Reference = JSON.parse(referenceText("straightedge-sag.json"));

describe("sag of a uniform bar under its own weight on two supports", () => {
  // the spacings are printed with six digits, which moves the sags in the eighth
  test.each(points)("supported at $name", (point) => {
    expect(sagFactor(1 - 2 * point.u_from_end_over_L, 0)).toBeCloseTo(point.mid_minus_support, 7);
    expect(sagFactor(1 - 2 * point.u_from_end_over_L, 0.5)).toBeCloseTo(point.end_minus_support, 7);
    expect(sagFactor(1 - 2 * point.u_from_end_over_L, 0) - sagFactor(1 - 2 * point.u_from_end_over_L, 0.5)).toBeCloseTo(point.mid_minus_end, 7);
  });

  test("Airy's spacing of L/sqrt 3 leaves the ends level, as published; 1 % away it does not", () => {
    const endSlope = (spacing: number): number => (sagFactor(spacing, 0.5) - sagFactor(spacing, 0.4999)) / 0.0001;
    expect(Math.abs(endSlope(1 / Math.sqrt(3)))).toBeLessThan(1e-7);
    expect(Math.abs(endSlope(1.01 / Math.sqrt(3)))).toBeGreaterThan(1e-5);
  });

  test("the least sag lies at 0.5537 of the length, as the handbook figure has it", () => {
    const most = (spacing: number): number => Math.max(...Array.from({ length: 1001 }, (_, index) => sagFactor(spacing, index / 2000))) - Math.min(...Array.from({ length: 1001 }, (_, index) => sagFactor(spacing, index / 2000)));
    const spacings = Array.from({ length: 1000 }, (_, index) => 0.5 + index / 10_000);
    const least = spacings.reduce((best, spacing) => (most(spacing) < most(best) ? spacing : best));
    printed(least, "0.5537");
    expect(() => printed(least + 0.001, "0.5537")).toThrow();
  });

  test("a steel bar of 600 mm, 40 mm high and 8 mm thick", () => {
    const scale = sagScaleMm({ ...usualTool("straightedge"), lengthMm: 600, section: { heightMm: 40, thicknessMm: 8, material: "steel" } });
    expect(Math.abs(scale / bar.wL4_over_EI_mm - 1)).toBeLessThan(0.01);
    expect(Math.abs((1000 * scale * sagFactor(1, 0)) / bar.sag_ends_supported_um - 1)).toBeLessThan(0.01);
    // the bar laid flat sags 25 times as much
    expect(Math.abs((1000 * sagScaleMm({ ...usualTool("straightedge"), lengthMm: 600, section: { heightMm: 8, thicknessMm: 40, material: "steel" } }) * sagFactor(1, 0)) / bar.sag_ends_supported_um - 25)).toBeLessThan(0.25);
  });
});
