import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { believed, believedDraws, believedValues, priorBelief } from "../../../src/bow/calibration/belief.js";
import { batchAfter, COMMON_SHARES, newBatch, type BatchShares } from "../../../src/bow/calibration/batch.js";
import { calibrated, type BowObservation } from "../../../src/bow/calibration/calibrate.js";
import { bowPriors } from "../../../src/bow/unknowns/priors.js";
import { BOW_UNKNOWNS, type BowUnknowns } from "../../../src/bow/unknowns/unknowns.js";
import { readNeck } from "../../../src/neck/neckFile.js";
import { normalMm } from "../../../src/units/measured.js";
import { valueOrThrow } from "../../../src/units/problem.js";

const PRIOR = priorBelief(bowPriors(valueOrThrow(readNeck({ name: "n", scaleLength: 648, frets: 22, bodyJoint: 16, tangs: { thickness: 0.55 }, slots: { width: 0.52 } }), "the neck")));
const faceBow = (unknowns: BowUnknowns): number => unknowns.neckFaceBowMm;
const bowOfStrings = (unknowns: BowUnknowns): number => (0.4 * unknowns.stringTension) / unknowns.neckStiffness;

const seen = (value: number, u: number, predictMm: (unknowns: BowUnknowns) => number, of = "seen"): BowObservation => ({ of, measured: normalMm(value, u), predictMm });
const variance = (belief: typeof PRIOR, name: (typeof BOW_UNKNOWNS)[number]): number => belief.covariance[BOW_UNKNOWNS.indexOf(name)]?.[BOW_UNKNOWNS.indexOf(name)] ?? Number.NaN;

describe("calibrated", () => {
  test("one linear measurement: weights go by inverse variances, in closed form", () => {
    fc.assert(fc.property(fc.double({ min: -0.2, max: 0.2, noNaN: true }), fc.double({ min: 0.005, max: 0.2, noNaN: true }), (valueMm, uMm) => {
      const spread = PRIOR.priors.neckFaceBowMm.spread;
      const { after } = calibrated(PRIOR, [seen(valueMm, uMm, faceBow)], 0);
      const posterior = believed(after, faceBow);
      expect(posterior.value).toBeCloseTo((valueMm / uMm ** 2) / (1 / uMm ** 2 + 1 / spread ** 2), 9);
      expect(posterior.u).toBeCloseTo(1 / Math.sqrt(1 / uMm ** 2 + 1 / spread ** 2), 9);
      expect(variance(after, "rodResponse")).toBeCloseTo(1, 9);
    }), { seed: 21, verbose: true });
  });

  test("nothing measured, nothing learnt", () => {
    const { after, misfit } = calibrated(PRIOR, []);
    expect(after.mean).toEqual(PRIOR.mean);
    expect(after.covariance).toEqual(PRIOR.covariance);
    expect(misfit).toEqual({ chi2: 0, observations: 0, isLarge: false });
  });

  test("two readings at once teach what one after the other teaches, in either order", () => {
    const [first, second] = [seen(0.03, 0.02, faceBow), seen(0.5, 0.04, (unknowns) => unknowns.neckFaceBowMm + 2 * unknowns.interferenceMm)];
    const together = calibrated(PRIOR, [first, second], 0).after;
    for (const order of [[first, second], [second, first]]) {
      const apart = order.reduce((belief, one) => calibrated(belief, [one], 0).after, PRIOR);
      apart.mean.forEach((value, index) => expect(value).toBeCloseTo(together.mean[index] ?? Number.NaN, 9));
      expect(variance(apart, "interferenceMm")).toBeCloseTo(variance(together, "interferenceMm"), 9);
    }
  });

  test("a strung reading tells tension and stiffness only together: they come out correlated, and each stays wider than their quotient", () => {
    const { after, fits } = calibrated(PRIOR, [seen(0.5, 0.01, bowOfStrings)]);
    const [stiffness, tension] = [BOW_UNKNOWNS.indexOf("neckStiffness"), BOW_UNKNOWNS.indexOf("stringTension")];
    expect(after.covariance[stiffness]?.[tension] ?? 0).toBeGreaterThan(0.05);
    expect(believed(after, bowOfStrings).u / 0.5).toBeLessThan(0.05);
    expect(fits[0]?.after.value).toBeCloseTo(0.5, 1);
    expect(fits[0]?.before.u ?? 0).toBeGreaterThan(5 * (fits[0]?.after.u ?? 1));
    const wide = believedValues(after).find(({ name }) => name === "neckStiffness");
    expect((wide?.high95 ?? 0) - (wide?.low95 ?? 0)).toBeGreaterThan(0.3);
  });

  test("the bow of one edge is in both readings and drops out of their difference", () => {
    const edge = [{ error: "the long edge", uMm: 0.03 }];
    const change = (unknowns: BowUnknowns): number => bowOfStrings(unknowns);
    const pair = (shared?: BowObservation["shared"]): readonly BowObservation[] => [
      { ...seen(0.02, 0.032, faceBow, "before"), ...(shared === undefined ? {} : { shared }) },
      { ...seen(0.42, 0.032, (unknowns) => faceBow(unknowns) + change(unknowns), "strung"), ...(shared === undefined ? {} : { shared }) },
    ];
    const [withEdge, without] = [pair(edge), pair()].map((observations) => believed(calibrated(PRIOR, observations, 0).after, change).u);
    expect(withEdge).toBeLessThan(0.8 * (without ?? 0));
  });

  test("readings that contradict the model and each other are called a large misfit, those that agree are not", () => {
    expect(calibrated(PRIOR, [seen(0.03, 0.02, faceBow)]).misfit.isLarge).toBe(false);
    expect(calibrated(PRIOR, [seen(0.05, 0.01, faceBow), seen(0.15, 0.01, faceBow)]).misfit.isLarge).toBe(true);
  });

  test("a measurement without uncertainty, or not finite, is refused with its name", () => {
    expect(() => calibrated(PRIOR, [seen(0.1, 0, faceBow, "free board")])).toThrow(/learn from "free board": expected a finite bow/);
    expect(() => calibrated(PRIOR, [seen(0.1, 0.01, () => Number.NaN, "strung")])).toThrow(/"strung": the model gives no finite bow/);
  });

  test("Monte Carlo agrees with linear propagation where the model is nearly linear (JCGM 101)", () => {
    const known = { ...PRIOR, priors: { ...PRIOR.priors, stringTension: { ...PRIOR.priors.stringTension, spread: 0.02 } } };
    const { after } = calibrated(known, [seen(0.5, 0.03, bowOfStrings), seen(0.02, 0.02, faceBow)]);
    const asked = (unknowns: BowUnknowns): number => faceBow(unknowns) + bowOfStrings(unknowns);
    const drawn = believedDraws(after, 20_000, 5).map(asked);
    const mean = drawn.reduce((sum, value) => sum + value, 0) / drawn.length;
    const sd = Math.sqrt(drawn.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (drawn.length - 1));
    const linear = believed(after, asked);
    expect(Math.abs(mean - linear.value)).toBeLessThan(0.05 * linear.u);
    expect(Math.abs(sd / linear.u - 1)).toBeLessThan(0.03);
  });
});

describe("a batch", () => {
  const shares = (share: number): BatchShares => Object.fromEntries(BOW_UNKNOWNS.map((name) => [name, share])) as BatchShares;
  const observations = [seen(0.5, 0.01, bowOfStrings), seen(0.04, 0.01, faceBow)];

  test("where necks share everything the next one is known as well as the last; where nothing, as before the first", () => {
    const last = calibrated(newBatch(PRIOR, shares(1)).nextNeck, observations);
    const [all, none] = [batchAfter(newBatch(PRIOR, shares(1)), last).nextNeck, batchAfter(newBatch(PRIOR, shares(0)), last).nextNeck];
    all.mean.forEach((value, index) => expect(value).toBeCloseTo(last.after.mean[index] ?? Number.NaN, 9));
    expect(variance(all, "neckStiffness")).toBeCloseTo(variance(last.after, "neckStiffness"), 9);
    none.mean.forEach((value) => expect(value).toBeCloseTo(0, 12));
    expect(variance(none, "neckStiffness")).toBeCloseTo(1, 12);
  });

  test("each neck narrows the next, by less each time, and never below its own part", () => {
    const batches = [1, 2, 3, 4].reduce((all) => {
      const last = all.at(-1) ?? newBatch(PRIOR);
      return [...all, batchAfter(last, calibrated(last.nextNeck, observations))];
    }, [newBatch(PRIOR)]);
    const left = batches.map(({ nextNeck }) => variance(nextNeck, "neckStiffness"));
    left.slice(1).forEach((value, index) => expect(value).toBeLessThan(left[index] ?? 0));
    expect(left.at(-1) ?? 0).toBeGreaterThan(1 - COMMON_SHARES.neckStiffness);
  });

  test("a share outside 0 to 1 is refused", () => {
    expect(() => newBatch(PRIOR, { ...COMMON_SHARES, settling: 1.2 })).toThrow("the share of settling between 0 and 1");
  });
});
