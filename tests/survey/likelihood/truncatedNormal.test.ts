import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { gaussLegendre } from "../../../src/survey/likelihood/gaussLegendre.js";
import { normalCdf, normalDensity, normalQuantile } from "../../../src/survey/likelihood/normal.js";
import { normalLogProbability, truncatedNormal } from "../../../src/survey/likelihood/truncatedNormal.js";

const SEED = 20_240_611;

/**
 * mean, sd, low, high | log probability, mean, variance.
 * Made with mpmath 1.3 from the closed forms with erfc in 400-digit arithmetic, each argument taken as the exact double it is, printed to 18 digits:
 * Z = Q(a) - Q(b), m = (f(a) - f(b))/Z, v = 1 + (a f(a) - b f(b))/Z - m².
 */
const TABLE: readonly (readonly [number, number, number, number, number, number, number])[] = [
  [0.0, 1.0, -1.0, 1.0, -0.381715146302126072, 0.0, 0.291125094772793211],
  [0.0, 1.0, -Infinity, Infinity, 0.0, 0.0, 1.0],
  [0.0, 1.0, 0.0, Infinity, -0.693147180559945309, 0.797884560802865356, 0.363380227632418657],
  [0.0, 1.0, -Infinity, 0.0, -0.693147180559945309, -0.797884560802865356, 0.363380227632418657],
  [0.0, 1.0, -Infinity, 3.0, -0.0013508099647481938, -0.00443783904212566379, 0.986666788458259194],
  [0.0, 1.0, 3.0, Infinity, -6.60772622151034954, 3.28309865493043651, 0.0705591867852681169],
  [0.0, 1.0, 40.0, 41.0, -804.608442013753788, 40.0249688472072637, 0.000622668378591386263],
  [0.0, 1.0, -41.0, -40.0, -804.608442013753788, -40.0249688472072637, 0.000622668378591386263],
  [0.0, 1.0, 40.0, Infinity, -804.608442013753788, 40.0249688472072637, 0.000622668378591388773],
  [0.0, 1.0, -Infinity, -40.0, -804.608442013753788, -40.0249688472072637, 0.000622668378591388773],
  [0.0, 1.0, 1000.0, Infinity, -500007.826694812184, 1000.00099999800001, 9.99994000049999482e-7],
  [0.0, 1.0, -40.0, 50.0, -3.6558935409150297e-350, 1.46327025083830318e-348, 1.0],
  [0.0, 1.0, -0.9, 1.05, -0.401850421550279509, 0.0541087238276124756, 0.278395279798052283],
  [0.0, 1.0, -1.1, 1.2, -0.288663528813336592, 0.031585814289840169, 0.368169290670022337],
  [0.0, 1.0, -0.001, 2.1, -0.728702813299085807, 0.735612622565011922, 0.266629806206042335],
  [0.0, 1.0, 0.001, 2.1, -0.730357710062460091, 0.736830993374085323, 0.266173682392502148],
  [0.0, 1.0, 0.0, 1e-08, -19.3396192771570382, 5.00000000000000006e-9, 8.33333333333333365e-18],
  [0.0, 1.0, 5.0, 5.000000007450581, -32.1339124269496475, 5.00000000372529028, 4.62592926927148526e-18],
  [0.0, 1.0, -0.5, -0.4999999925494194, -19.758912406460551, -0.499999996274709699, 4.62592926927148557e-18],
  [0.0, 1.0, 40.0, 40.000000953674316, -814.781901217829426, 40.0000004768341266, 7.57912251422271846e-14],
  [0.1, 0.005, 0.1016, 0.127, -0.982205848200969464, 0.105060699614113649, 7.48637580898621169e-6],
  [0.02, 0.03, 0.0, 0.0381, -0.745780358892459144, 0.0191709551858132133, 0.000114583544519852556],
  [0.3, 0.005, 0.0381, 0.0508, -1246.84095857566549, 0.0506997595835519527, 1.00400800574566527e-8],
  [0.1, 0.005, 0.1, 0.10000000093132258, -16.4150365834550012, 0.100000000465661293, 7.22801448323668787e-20],
  [10.0, 2.0, -Infinity, 4.0, -6.60772622151034954, 3.43380269013912699, 0.282236747141072467],
  [1000.0, 0.001, 999.9, 999.95, -1254.8313611371452, 999.94998001596814, 3.99043186804623702e-10],
  [0.0, 1e-06, 1e-06, 3e-06, -1.84956642054760838, 1.51004951324398381e-6, 1.7345290492412205e-13],
  [0.5, 10.0, 0.1, 0.2, -5.52472538074833663, 0.15000291665693851, 0.000833330550454744501],
  [0.0, 1000000.0, 0.0, 1.0, -14.7344490911691135, 0.499999999999958333, 0.0833333333333305556],
  [0.0, 1.0, 8.0, 8.5, -35.0287925085797478, 8.11373598949652323, 0.0105257403583648548],
  [0.0, 1.0, 1.9, 2.5, -3.79393359492152285, 2.13656816590096813, 0.0272778253851421988],
  [0.0, 1.0, 0.0, 2.0, -0.739715092852335473, 0.722789752245230769, 0.25131627759920117],
  [0.0, 1.0, -1.0, 1.0000000000009095, -0.381715146301803713, 3.22358985261861688e-13, 0.291125094773021723],
  [0.0, 1.0, -1e-12, 30.0, -0.693147180559147425, 0.797884560802228736, 0.363380227632636671],
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
