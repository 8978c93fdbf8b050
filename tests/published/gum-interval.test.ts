import { describe, expect, test } from "vitest";
import { truncatedNormal } from "../../src/survey/likelihood/truncatedNormal.js";
import { printed } from "./printed.js";

/** Standard uncertainty of a quantity of which only the interval is known: the truncated normal with next to nothing known before. */
function intervalU(low: number, high: number, priorPerWidth = 1e6): number {
  const { mean, variance } = truncatedNormal((low + high) / 2 + (high - low), priorPerWidth * (high - low), low, high);
  expect(Math.abs(mean - (low + high) / 2)).toBeLessThan(1e-8 * (high - low));
  return Math.sqrt(variance);
}

describe("an interval reading against JCGM 100:2008 (GUM)", () => {
  test.each([[-1, 1], [0, 0.0381], [0.1, 0.127], [1e3, 1e3 + 1e-4]])("GUM 4.3.7: u of a value known to lie in %d..%d is the half-width over root 3, the width over root 12", (low, high) => {
    const halfWidth = (high - low) / 2;
    expect(Math.abs(intervalU(low, high) / (halfWidth / Math.sqrt(3)) - 1)).toBeLessThan(1e-11);
    expect(Math.abs(intervalU(low, high) ** 2 / ((high - low) ** 2 / 12) - 1)).toBeLessThan(1e-11);
  });

  test("GUM 4.3.7, half-width 1: 0.5773502691896258 (reference value)", () => {
    printed(intervalU(-1, 1, 1e8), "0.577350269189626");
  });

  test("GUM H.1, end gauge: temperature difference within 0.05 °C gives 16.6 nm, expansion difference within 1e-6 gives 2.9 nm (as printed)", () => {
    const standardNm = 50_000_623;
    printed(standardNm * 11.5e-6 * intervalU(-0.05, 0.05), "16.6");
    printed(standardNm * 0.1 * intervalU(-1e-6, 1e-6), "2.9");
  });

  test("a gap known beforehand is known better after the reading, and better than by the interval alone", () => {
    const prior = { mean: 0.11, u: 0.01 };
    const { variance } = truncatedNormal(prior.mean, prior.u, 0.1, 0.15);
    expect(Math.sqrt(variance)).toBeLessThan(intervalU(0.1, 0.15));
    expect(Math.sqrt(variance)).toBeLessThan(prior.u);
  });

  test("control: the triangular rule of GUM 4.3.9 (half-width over root 6) does not pass, nor does a prior that is not vague", () => {
    expect(() => printed((50_000_623 * 11.5e-6 * 0.05) / Math.sqrt(6), "16.6")).toThrow("against the printed");
    expect(Math.abs(Math.sqrt(truncatedNormal(0, 1, -1, 1).variance) * Math.sqrt(3) - 1)).toBeGreaterThan(0.05);
  });
});
