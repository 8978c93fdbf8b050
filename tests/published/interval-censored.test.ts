import { describe, expect, test } from "vitest";
import { fitIntervals, logLikelihood, type CensoredRow } from "./intervalFit.js";
import { printed } from "./printed.js";
import { referenceText } from "./reference.js";

type Row = readonly [number | null, number | null, number];
type LeafCase = {
  readonly rows: readonly Row[];
  readonly survreg: { readonly mu: number; readonly sigma: number; readonly logLik: number; readonly seMu: number; readonly seLogSigma: number };
};
const { cases }: {
  readonly cases: {
    readonly smokedFish: {
      readonly rows: readonly Row[];
      readonly published: { readonly mean: number; readonly sd: number; readonly logLik: number; readonly n: number };
      readonly refined: { readonly mean: number; readonly sd: number; readonly logLik: number; readonly seMean: number; readonly seLogSigma: number };
    };
    readonly tobin: {
      readonly rows: readonly (readonly [number, number, number])[];
      readonly published: { readonly intercept: number; readonly age: number; readonly quant: number; readonly logSigma: number; readonly se: readonly number[]; readonly logLik: number; readonly logLikInterceptOnly: number };
    };
    readonly leafIntervals12: LeafCase;
    readonly leafIntervals14: LeafCase;
    readonly intervalLine12: {
      readonly x: readonly number[];
      readonly intervals: readonly (readonly [number, number])[];
      readonly survreg: { readonly intercept: number; readonly slope: number; readonly sigma: number; readonly logLik: number; readonly seIntercept: number; readonly seSlope: number; readonly seLogSigma: number };
    };
  };
} = JSON.parse(referenceText("interval-censored.json"));

/** The sources state their maxima to this, relative. */
const REFINED = 1e-7;

function agrees(actual: number | undefined, expected: number, relTol: number): void {
  expect(Math.abs((actual ?? Number.NaN) / expected - 1)).toBeLessThanOrEqual(relTol);
}

function sample(rows: readonly Row[], transform: (value: number) => number = (value) => value): readonly CensoredRow[] {
  return rows.map(([left, right, count]) => ({
    design: [1], low: left === null ? -Infinity : transform(left), high: right === null ? Infinity : transform(right), count,
  }));
}

describe("interval likelihood against published maximum likelihood", () => {
  const fish = sample(cases.smokedFish.rows, Math.log10);

  test("smokedfish (Busschaert and others, Int. J. Food Microbiol. 138, 2010), 103 values, most of them below the limit of detection", () => {
    const fit = fitIntervals(fish, { beta: [0], sigma: 1 });
    const { published, refined } = cases.smokedFish;
    expect(fish.reduce((sum, row) => sum + row.count, 0)).toBe(published.n);
    agrees(fit.beta[0], refined.mean, REFINED);
    agrees(fit.sigma, refined.sd, REFINED);
    agrees(fit.logLikelihood, refined.logLik, REFINED);
    agrees(fit.standardErrors[0], refined.seMean, REFINED);
    agrees(fit.standardErrors[1], refined.seLogSigma, REFINED);
    printed(fit.logLikelihood, "-87.10945");
    expect(Math.abs(fit.sigma - published.sd)).toBeLessThanOrEqual(1e-5);
    expect(Math.abs((fit.beta[0] ?? Number.NaN) - published.mean)).toBeLessThanOrEqual(3e-4);
    expect(fit.logLikelihood).toBeGreaterThan(logLikelihood(fish, [published.mean], published.sd));
  });

  test("Tobin, Econometrica 26 (1958) 24: durable goods on age and liquidity, 13 of 20 at the limit 0", () => {
    const rows = cases.tobin.rows.map(([durable, age, quant]): CensoredRow => ({ design: [1, age, quant], low: durable > 0 ? durable : -Infinity, high: durable, count: 1 }));
    const fit = fitIntervals(rows, { beta: [0, 0, 0], sigma: 5 });
    const { published } = cases.tobin;
    printed(fit.beta[0] ?? Number.NaN, published.intercept.toFixed(6)); // the last two printed digits depend on where the source's search stopped
    printed(fit.beta[1] ?? Number.NaN, published.age.toFixed(8));
    printed(fit.beta[2] ?? Number.NaN, published.quant.toFixed(8));
    printed(Math.log(fit.sigma), published.logSigma.toFixed(8));
    printed(fit.logLikelihood, "-28.94013");
    for (const [k, se] of published.se.entries()) agrees(fit.standardErrors[k], se, 1e-6);
    const interceptOnly = fitIntervals(rows.map((row) => ({ ...row, design: [1] })), { beta: [0], sigma: 5 });
    printed(interceptOnly.logLikelihood, "-29.4922");
  });

  test.each([["leafIntervals12", cases.leafIntervals12], ["leafIntervals14", cases.leafIntervals14]] as const)(
    "%s: leaves that go and do not go (made up, not published; survreg of the R package survival 3.5-3)", (_, { rows, survreg }) => {
      const fit = fitIntervals(sample(rows), { beta: [0.3], sigma: 0.05 });
      agrees(fit.beta[0], survreg.mu, REFINED);
      agrees(fit.sigma, survreg.sigma, REFINED);
      agrees(fit.logLikelihood, survreg.logLik, REFINED);
      agrees(fit.standardErrors[0], survreg.seMu, REFINED);
      agrees(fit.standardErrors[1], survreg.seLogSigma, REFINED);
    });

  test("intervalLine12: a line through leaf readings (made up, not published; survreg of the R package survival 3.5-3)", () => {
    const { x, intervals, survreg } = cases.intervalLine12;
    const rows = intervals.map(([low, high], i): CensoredRow => ({ design: [1, x[i] ?? Number.NaN], low, high, count: 1 }));
    const fit = fitIntervals(rows, { beta: [0.2, 0], sigma: 0.1 });
    agrees(fit.beta[0], survreg.intercept, REFINED);
    agrees(fit.beta[1], survreg.slope, REFINED);
    agrees(fit.sigma, survreg.sigma, REFINED);
    agrees(fit.logLikelihood, survreg.logLik, REFINED);
    agrees(fit.standardErrors[0], survreg.seIntercept, REFINED);
    agrees(fit.standardErrors[1], survreg.seSlope, REFINED);
    agrees(fit.standardErrors[2], survreg.seLogSigma, REFINED);
  });

  test("control: the middles of the intervals taken as exact do not pass", () => {
    const { rows, survreg } = cases.leafIntervals12;
    const middles = sample(rows).map((row) => ({ ...row, low: (row.low + row.high) / 2, high: (row.low + row.high) / 2 }));
    const fit = fitIntervals(middles, { beta: [0.3], sigma: 0.05 });
    expect(() => agrees(fit.sigma, survreg.sigma, REFINED)).toThrow();
    expect(() => agrees(fit.logLikelihood, survreg.logLik, REFINED)).toThrow();
    expect(() => agrees(1.000001 * survreg.mu, survreg.mu, REFINED)).toThrow();
  });
});
