import erfcx from "@stdlib/math-base-special-erfcx";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { gaussLegendre } from "../../../src/survey/likelihood/gaussLegendre.js";
import { normalCdf, normalDensity, normalQuantile } from "../../../src/survey/likelihood/normal.js";
import { normalLogProbability, truncatedNormal } from "../../../src/survey/likelihood/truncatedNormal.js";

const SEED = 20_240_611;

/**
 * mean, sd, low, high | log probability, mean, variance.
 * Made with mpmath 1.3 from the closed forms with erfc in 400-digit arithmetic, each argument taken as the exact double it is, rounded to the nearest double:
 * Z = Q(a) - Q(b), m = (f(a) - f(b))/Z, v = 1 + (a f(a) - b f(b))/Z - m².
 */
const TABLE: readonly (readonly [number, number, number, number, number, number, number])[] = [
  [0, 1, -1, 1, -0.38171514630212605, 0, 0.2911250947727932],
  [0, 1, -Infinity, Infinity, 0, 0, 1],
  [0, 1, 0, Infinity, -Math.LN2, 0.7978845608028654, 0.3633802276324187],
  [0, 1, -Infinity, 0, -Math.LN2, -0.7978845608028654, 0.3633802276324187],
  [0, 1, -Infinity, 3, -0.0013508099647481938, -0.004437839042125664, 0.9866667884582592],
  [0, 1, 3, Infinity, -6.607726221510349, 3.2830986549304364, 0.07055918678526811],
  [0, 1, 40, 41, -804.6084420137538, 40.02496884720726, 0.0006226683785913863],
  [0, 1, -41, -40, -804.6084420137538, -40.02496884720726, 0.0006226683785913863],
  [0, 1, 40, Infinity, -804.6084420137538, 40.02496884720726, 0.0006226683785913888],
  [0, 1, -Infinity, -40, -804.6084420137538, -40.02496884720726, 0.0006226683785913888],
  [0, 1, 1000, Infinity, -500007.82669481216, 1000.000999998, 9.999940000499995e-07],
  [0, 1, -40, 50, 0, 0, 1],
  [0, 1, -0.9, 1.05, -0.4018504215502795, 0.054108723827612476, 0.2783952797980523],
  [0, 1, -1.1, 1.2, -0.28866352881333657, 0.03158581428984017, 0.36816929067002235],
  [0, 1, -0.001, 2.1, -0.7287028132990858, 0.7356126225650119, 0.2666298062060423],
  [0, 1, 0.001, 2.1, -0.7303577100624601, 0.7368309933740853, 0.26617368239250216],
  [0, 1, 0, 1e-08, -19.339619277157038, 5e-09, 8.333333333333334e-18],
  [0, 1, 5, 5.000000007450581, -32.13391242694965, 5.00000000372529, 4.625929269271485e-18],
  [0, 1, -0.5, -0.4999999925494194, -19.75891240646055, -0.4999999962747097, 4.625929269271485e-18],
  [0, 1, 40, 40.000000953674316, -814.7819012178294, 40.000000476834124, 7.579122514222719e-14],
  [0.1, 0.005, 0.1016, 0.127, -0.9822058482009695, 0.10506069961411364, 7.486375808986212e-06],
  [0.02, 0.03, 0, 0.0381, -0.7457803588924592, 0.019170955185813212, 0.00011458354451985256],
  [0.3, 0.005, 0.0381, 0.0508, -1246.8409585756656, 0.050699759583551954, 1.0040080057456653e-08],
  [0.1, 0.005, 0.1, 0.10000000093132258, -16.415036583455002, 0.10000000046566129, 7.228014483236687e-20],
  [10, 2, -Infinity, 4, -6.607726221510349, 3.433802690139127, 0.28223674714107244],
  [1000, 0.001, 999.9, 999.95, -1254.8313611371452, 999.9499800159681, 3.990431868046237e-10],
  [0, 1e-06, 1e-06, 3e-06, -1.8495664205476083, 1.510049513243984e-06, 1.7345290492412204e-13],
  [0.5, 10, 0.1, 0.2, -5.524725380748337, 0.15000291665693852, 0.0008333305504547445],
  [0, 1000000, 0, 1, -14.734449091169113, 0.4999999999999583, 0.08333333333333055],
  [0, 1, 8, 8.5, -35.02879250857975, 8.113735989496524, 0.010525740358364856],
  [0, 1, 1.9, 2.5, -3.7939335949215227, 2.136568165900968, 0.027277825385142198],
  [0, 1, 0, 2, -0.7397150928523355, 0.7227897522452308, 0.25131627759920117],
  [0, 1, -1, 1.0000000000009095, -0.3817151463018037, 3.223589852618617e-13, 0.29112509477302173],
  [0, 1, -1e-12, 30, -0.6931471805591475, 0.7978845608022287, 0.36338022763263667],
];

describe("truncatedNormal", () => {
  test.each(TABLE)("N(%d, %d²) within %d..%d agrees with 400-digit arithmetic", (mean, sd, low, high, logProbability, expectedMean, expectedVariance) => {
    const found = truncatedNormal(mean, sd, low, high);
    expect(Math.abs(found.logProbability - logProbability)).toBeLessThanOrEqual(4e-15 * Math.max(Math.abs(logProbability), 1));
    const lastDigits = 4 * Number.EPSILON * Math.abs(expectedMean);
    expect(Math.abs(found.mean - expectedMean)).toBeLessThanOrEqual(1e-14 * Math.sqrt(expectedVariance) + lastDigits);
    expect(Math.abs(found.variance / expectedVariance - 1)).toBeLessThanOrEqual(1e-13);
  });

  test("keeps the bounds of a truncated distribution anywhere", () => {
    const ends = fc.tuple(fc.double({ min: -60, max: 60, noNaN: true }), fc.double({ min: -9, max: 2, noNaN: true }));
    fc.assert(fc.property(ends, fc.double({ min: -3, max: 3, noNaN: true }), fc.double({ min: -1e3, max: 1e3, noNaN: true }), ([a, logWidth], logSd, mean) => {
      const sd = 10 ** logSd;
      const low = mean + a * sd;
      const high = low + 10 ** logWidth * sd;
      fc.pre(high > low);
      const { logProbability, mean: m, variance } = truncatedNormal(mean, sd, low, high);
      expect(Number.isFinite(logProbability)).toBe(true);
      expect(logProbability).toBeLessThanOrEqual(0);
      expect(m).toBeGreaterThanOrEqual(low);
      expect(m).toBeLessThanOrEqual(high);
      expect(variance).toBeGreaterThan(0);
      expect(variance).toBeLessThanOrEqual(Math.min(sd * sd, (high - low) ** 2 / 4) * (1 + 1e-12));
    }), { seed: SEED, numRuns: 2000 });
  });

  test("agrees with the scaled complementary error function of a library in one-sided tails", () => {
    fc.assert(fc.property(fc.double({ min: 0, max: 500, noNaN: true }), (low) => {
      const hazard = Math.sqrt(2 / Math.PI) / erfcx(low * Math.SQRT1_2);
      const { logProbability, mean } = truncatedNormal(0, 1, low, Infinity);
      expect(Math.abs(mean / hazard - 1)).toBeLessThan(1e-14);
      const expected = Math.log(erfcx(low * Math.SQRT1_2) / 2) - (low * low) / 2;
      expect(Math.abs(logProbability / expected - 1)).toBeLessThan(1e-14);
    }), { seed: SEED, numRuns: 500 });
  });

  test("is the mirror of itself", () => {
    fc.assert(fc.property(fc.double({ min: -50, max: 50, noNaN: true }), fc.double({ min: 1e-6, max: 20, noNaN: true }), (low, width) => {
      const one = truncatedNormal(0, 1, low, low + width);
      const other = truncatedNormal(0, 1, -(low + width), -low);
      expect(other.mean).toBe(0 - one.mean);
      expect(other.variance).toBe(one.variance);
      expect(other.logProbability).toBe(one.logProbability);
    }), { seed: SEED });
  });

  test("its moments are the slopes of the log probability in the mean, across the change of method", () => {
    fc.assert(fc.property(fc.double({ min: -4, max: 4, noNaN: true }), fc.double({ min: 0.1, max: 6, noNaN: true }), (low, width) => {
      const at = (mean: number): number => truncatedNormal(mean, 1, low, low + width).logProbability;
      const h = 1e-3;
      const slope = (8 * (at(h) - at(-h)) - (at(2 * h) - at(-2 * h))) / (12 * h);
      const bend = (16 * (at(h) + at(-h)) - (at(2 * h) + at(-2 * h)) - 30 * at(0)) / (12 * h * h);
      const { mean, variance } = truncatedNormal(0, 1, low, low + width);
      expect(Math.abs(slope - mean)).toBeLessThan(1e-9);
      expect(Math.abs(bend - (variance - 1))).toBeLessThan(1e-7);
    }), { seed: SEED });
  });

  test("a split interval adds up", () => {
    fc.assert(fc.property(fc.double({ min: -30, max: 30, noNaN: true }), fc.double({ min: 0.01, max: 5, noNaN: true }), fc.double({ min: 0.05, max: 0.95, noNaN: true }), (low, width, share) => {
      const middle = low + share * width;
      const parts = [truncatedNormal(0, 1, low, middle), truncatedNormal(0, 1, middle, low + width)] as const;
      const whole = truncatedNormal(0, 1, low, low + width);
      const [p, q] = [Math.exp(parts[0].logProbability - whole.logProbability), Math.exp(parts[1].logProbability - whole.logProbability)];
      expect(Math.abs(p + q - 1)).toBeLessThan(1e-11);
      expect(Math.abs(p * parts[0].mean + q * parts[1].mean - whole.mean)).toBeLessThan(1e-10);
    }), { seed: SEED });
  });

  test.each([[1e200, 1e201], [1e154, Infinity], [-Infinity, -1e300], [1e308, Infinity]])("gives no NaN for %d..%d", (low, high) => {
    const found = truncatedNormal(0, 1, low, high);
    expect([found.logProbability, found.mean, found.variance].some(Number.isNaN)).toBe(false);
    expect(found.mean >= low && found.mean <= high && found.variance > 0).toBe(true);
    expect(truncatedNormal(-1e308, 1e-10, 1e308, Infinity)).toEqual({ logProbability: -Infinity, mean: 1e308, variance: Number.MIN_VALUE });
  });

  test.each([[0, 0, 0, 1], [0, -1, 0, 1], [Number.NaN, 1, 0, 1], [0, 1, 1, 1], [0, 1, 2, 1], [0, 1, Number.NaN, 1], [0, 1, Infinity, Infinity], [0, 1, -Infinity, -Infinity], [0, Infinity, 0, 1]])(
    "refuses N(%d, %d²) within %d..%d", (mean, sd, low, high) => {
      expect(() => truncatedNormal(mean, sd, low, high)).toThrow(RangeError);
    });
});

describe("the normal distribution", () => {
  test("normalCdf and normalQuantile undo each other", () => {
    fc.assert(fc.property(fc.double({ min: -36, max: 5, noNaN: true }), (x) => {
      const lostNearOne = x > 0 ? (4 * Number.EPSILON) / normalDensity(x) : 0;
      expect(Math.abs(normalQuantile(normalCdf(x)) - x)).toBeLessThanOrEqual(1e-13 * Math.max(1, Math.abs(x)) + lostNearOne);
    }), { seed: SEED });
    expect(normalQuantile(0.975)).toBeCloseTo(1.959963984540054, 14);
    expect([normalQuantile(0), normalQuantile(1)]).toEqual([-Infinity, Infinity]);
    expect(() => normalQuantile(1.5)).toThrow("expected a probability in 0..1, got 1.5");
  });

  test("normalLogProbability agrees with the difference of two normalCdf where that is safe", () => {
    for (const [low, high] of [[-3, -1], [-1, 2], [0.5, 3], [-Infinity, 0.3]] as const) {
      expect(normalLogProbability(low, high)).toBeCloseTo(Math.log(normalCdf(high) - normalCdf(low)), 13);
    }
  });
});

describe("gaussLegendre", () => {
  test("integrates the powers it promises, and not the next", () => {
    const { nodes, weights } = gaussLegendre(5);
    const power = (degree: number): number => nodes.reduce((sum, x, k) => sum + (weights[k] ?? 0) * x ** degree, 0);
    for (let degree = 0; degree < 10; degree++) expect(power(degree) * (degree + 1)).toBeCloseTo(1, 14);
    expect(Math.abs(power(10) * 11 - 1)).toBeGreaterThan(1e-6);
    expect(() => gaussLegendre(0)).toThrow(RangeError);
  });
});
