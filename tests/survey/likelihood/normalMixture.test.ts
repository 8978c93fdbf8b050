import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { quantileSorted, sampleStandardDeviation } from "simple-statistics";
import { expect, test } from "vitest";
import { normalQuantile } from "../../../src/survey/likelihood/normal.js";
import { mixtureCentral95, mixtureMoments } from "../../../src/survey/likelihood/normalMixture.js";
import type { NormalPart } from "../../../src/survey/likelihood/normalMixture.js";

const SEED = 17;
const DRAWS = 200_000;

test("one normal has 1.96 standard deviations either side (GUM table G.1)", () => {
  const { low95, high95 } = mixtureCentral95([{ weight: 1, mean: 3, sd: 0.5 }]);
  expect((3 - low95) / 0.5).toBeCloseTo(1.96, 2);
  expect((high95 - 3) / 0.5).toBeCloseTo(1.96, 2);
});

test("two far apart: the outer fortieth of each, from its own normal", () => {
  const { low95, high95 } = mixtureCentral95([{ weight: 0.5, mean: 0, sd: 1 }, { weight: 0.5, mean: 100, sd: 1 }]);
  expect(low95).toBeCloseTo(normalQuantile(0.05), 4);
  expect(high95).toBeCloseTo(100 + normalQuantile(0.95), 4);
});

test("no spread at all: the value itself", () => {
  expect(mixtureCentral95([{ weight: 1, mean: 0.2, sd: 0 }])).toEqual({ low95: 0.2, high95: 0.2 });
});

test.each<readonly [string, readonly NormalPart[]]>([
  ["a heavy narrow part and a light wide one beside it", [{ weight: 0.9, mean: 0, sd: 0.1 }, { weight: 0.1, mean: 1, sd: 0.6 }]],
  ["a gap between two parts, one of which holds the tail almost exactly", [{ weight: 0.975, mean: 0, sd: 0.01 }, { weight: 0.025, mean: 5, sd: 0.01 }]],
  ["three parts of very different width", [{ weight: 0.3, mean: -1, sd: 2 }, { weight: 0.6, mean: 0, sd: 0.05 }, { weight: 0.1, mean: 2, sd: 0.3 }]],
])(`%s: mean, spread and limits are those of ${DRAWS} draws (seed ${SEED})`, (_, parts) => {
  const random = xoroshiro128plus(SEED);
  const drawn = Array.from({ length: DRAWS }, () => {
    let left = uniformFloat64(random);
    const part = parts.find(({ weight }) => (left -= weight) < 0) ?? parts[0];
    return (part?.mean ?? NaN) + (part?.sd ?? NaN) * normalQuantile(Math.max(Number.MIN_VALUE, uniformFloat64(random)));
  }).sort((a, b) => a - b);
  const { value, u } = mixtureMoments(parts);
  const { low95, high95 } = mixtureCentral95(parts);
  // five standard errors of the mean, of the spread, and of the shares below the limits
  expect(Math.abs(drawn.reduce((sum, one) => sum + one, 0) / DRAWS - value)).toBeLessThan((5 * u) / Math.sqrt(DRAWS));
  expect(Math.abs(sampleStandardDeviation(drawn) / u - 1)).toBeLessThan(0.02);
  const slack = 5 * Math.sqrt((0.025 * 0.975) / DRAWS);
  expect(low95).toBeGreaterThan(quantileSorted(drawn, 0.025 - slack));
  expect(low95).toBeLessThan(quantileSorted(drawn, 0.025 + slack));
  expect(high95).toBeGreaterThan(quantileSorted(drawn, 0.975 - slack));
  expect(high95).toBeLessThan(quantileSorted(drawn, 0.975 + slack));
});
