import { describe, expect, test } from "vitest";
import { sampleStandardDeviation } from "simple-statistics";
import { believed, believedDraws, bowModel, BOW_UNKNOWNS, contributors, predictionWords, rangeOf, rangeWords, type BowBelief, type OrderOfWork } from "neck-survey";
import { plainNeck } from "./necks.js";

const season = { from: { humidityPercent: 55, celsius: 20 }, to: { humidityPercent: 35, celsius: 20 } };
const work: OrderOfWork = { frets: "before glue-up", rodTurns: 0.5, strings: true, season: true };
const model = bowModel(plainNeck(), { season });
/** The same neck with all that is unknown known ten times better: there the model is as good as linear. */
const narrow: BowBelief = { ...model.belief, covariance: model.belief.covariance.map((row) => row.map((value) => value / 100)) };

describe("the uncertainty of a prediction", () => {
  test("Monte Carlo and linear propagation agree where the model is linear (JCGM 101, clause 8)", () => {
    const predict = model.prediction(work);
    const linear = believed(narrow, predict);
    const draws = believedDraws(narrow, 4000, 11).map(predict);
    expect(Math.abs(sampleStandardDeviation(draws) / linear.u - 1)).toBeLessThan(0.03);
    const range = rangeOf(draws);
    expect(Math.abs(range.low95 - linear.low95)).toBeLessThan(0.12 * linear.u);
    expect(Math.abs(range.high95 - linear.high95)).toBeLessThan(0.12 * linear.u);
  });

  test("control: they do not agree with the full priors, where the model is not linear", () => {
    const predict = model.prediction(work);
    const linear = believed(model.belief, predict);
    expect(Math.abs(rangeOf(believedDraws(model.belief, 4000, 11).map(predict)).low95 - linear.low95)).toBeGreaterThan(0.12 * linear.u);
  });

  test("the largest contributor is the one without which the spread shrinks most", () => {
    for (const at of [work, { frets: "after glue-up" }, { frets: "before glue-up", strings: true }] as const) {
      const predict = model.prediction(at);
      const found = contributors(narrow, predict);
      expect(found.reduce((sum, one) => sum + one.share, 0)).toBeCloseTo(1, 9);
      const without = BOW_UNKNOWNS.map((unknown, index) => {
        const covariance = narrow.covariance.map((row, a) => row.map((value, b) => (a === index || b === index ? 0 : value)));
        return { unknown, u: believed({ ...narrow, covariance }, predict).u };
      });
      expect(found[0]?.unknown).toBe(without.reduce((best, one) => (one.u < best.u ? one : best)).unknown);
    }
    expect(contributors(narrow, model.prediction(work))[0]?.unknown).toBe("rodResponse");
  });

  test("a wide prediction says why and what narrows it, a narrow one only its range", () => {
    const range = { low95: 0.2, high95: 0.6 };
    const largest = { unknown: "neckStiffness", effectMm: -0.1, share: 0.8 } as const;
    expect(predictionWords(range, largest, model.belief)).toBe("0.20 to 0.60 mm (7.9 to 23.6 thou) of forward bow (middle low); wide, because this neck's stiffness is a book value; one strung reading narrows it");
    expect(predictionWords(range, largest, narrow)).toBe("0.20 to 0.60 mm (7.9 to 23.6 thou) of forward bow (middle low); mostly open: this neck's stiffness, though readings have narrowed it; one strung reading narrows it further");
    expect(predictionWords({ low95: 0.2, high95: 0.22 }, largest, model.belief)).toBe("0.20 to 0.22 mm (7.9 to 8.7 thou) of forward bow (middle low)");
  });

  test("ranges say their sign, and both where they hold both", () => {
    expect(rangeWords({ low95: -0.6, high95: -0.2 })).toBe("0.20 to 0.60 mm (7.9 to 23.6 thou) of back bow (middle high)");
    expect(rangeWords({ low95: -0.1, high95: 0.2 })).toBe("anything from 0.10 mm (3.9 thou) of back bow (middle high) to 0.20 mm (7.9 thou) of forward bow (middle low)");
    expect(rangeWords({ low95: -0.001, high95: 0.002 })).toMatch(/^next to nothing/);
    expect(() => rangeOf([1])).toThrow(/two finite draws/);
    expect(() => rangeOf([1, Number.NaN])).toThrow(/two finite draws/);
  });
});
