import fc from "fast-check";
import { Matrix, solve } from "ml-matrix";
import { expect, test } from "vitest";
import { measuredDraws } from "../../src/shape/drawn.js";
import { cornerChange } from "../../src/survey/corners.js";
import { CORNER_REACH_MM, cornersOf } from "../../src/survey/model/corners.js";
import { explanationsOf } from "../../src/survey/explanations.js";
import { measuredSmooth } from "../../src/survey/functional.js";
import type { Form } from "../../src/survey/functional.js";
import { along } from "../../src/survey/estimation/expectationPropagation.js";
import { combined, layoutOf, smoothRow } from "../../src/survey/model/layout.js";
import { priorOf } from "../../src/survey/model/prior.js";
import { usableReadings } from "../../src/survey/model/stations.js";
import { inventedNeck } from "../../src/invented/neck.js";
import { inventedOperator } from "../../src/invented/operator.js";
import { FULL_PLAN } from "../../src/invented/plan.js";
import { inventedReadings } from "../../src/invented/readings.js";
import { inventedSheet } from "../../src/invented/sheet.js";
import { inventedStream } from "../../src/invented/stream.js";
import { smoothLineMm } from "../../src/invented/truth.js";
import type { InventedTruth } from "../../src/invented/truth.js";
import { adjust } from "../../src/survey/adjust.js";
import type { Measured } from "../../src/units/measured.js";
import type { SurveySheet } from "../../src/readings/reading.js";

const SEED = 31;

function surveyed(upMm: number, xMm: number): { readonly truth: InventedTruth; readonly sheet: SurveySheet } {
  const drawn = inventedNeck(inventedStream(SEED, "corner/neck", 0), "smooth");
  const level = drawn.seating.map((seat) => ({ ...seat, wholeMm: seat.farOut === "no" ? seat.wholeMm : 0, bassEndMm: 0, trebleEndMm: 0, farOut: "no" as const }));
  const truth: InventedTruth = { ...drawn, seating: level, kinks: upMm === 0 ? [] : [{ where: "rod end", xMm, upMm }] };
  const hand = inventedStream(SEED, "corner/hand", 0);
  const operator = inventedOperator(hand);
  return { truth, sheet: inventedSheet(truth.neck, operator, inventedReadings(truth, operator, hand, FULL_PLAN)) };
}

/** Density of a normal about nothing, in the logarithm. */
const logNormal = (value: number, variance: number): number => -0.5 * (Math.log(2 * Math.PI * variance) + value ** 2 / variance);

test(`what a corner changes is what a wider prior would have given (one unknown, seed ${SEED})`, () => {
  const positive = fc.double({ min: 0.1, max: 10, noNaN: true });
  fc.assert(fc.property(positive, positive, positive, fc.double({ min: -5, max: 5, noNaN: true }), (prior, read, sdMm, reading) => {
    const posterior = (before: number): { readonly mean: number; readonly variance: number } => ({ mean: (reading * before) / (before + read), variance: (before * read) / (before + read) });
    const [without, having] = [posterior(prior), posterior(prior + sdMm ** 2)];
    // the unknown itself is the corner (g = 1), and K = 1 / prior
    const { logGain, shift, spread } = cornerChange({ known: 1 / prior, sdMm }, without.mean / prior, without.variance / prior ** 2);
    const covariance = without.variance / prior;
    expect(without.mean + shift * covariance).toBeCloseTo(having.mean, 9);
    expect(without.variance + spread ** 2 * covariance ** 2).toBeCloseTo(having.variance, 9);
    expect(logGain).toBeCloseTo(logNormal(reading, prior + sdMm ** 2 + read) - logNormal(reading, prior + read), 9);
  }), { seed: SEED, numRuns: 200 });
});

test("a row that the posterior knows no better than its prior has no corner, and no number that is none", () => {
  expect(cornerChange({ known: 1, sdMm: 1 }, 0.5, 2.5)).toEqual({ logGain: -Infinity, shift: 0, spread: 0 });
});

test("a corner's row is the prior's precision along a line that goes straight on to either side of the corner, on all lines and fret tops alike", () => {
  const { truth, sheet } = surveyed(0, 0);
  const usable = usableReadings(truth.neck, sheet);
  const layout = layoutOf(usable);
  const roughnessMm = 0.02;
  const prior = priorOf(layout, usable.settings.length);
  const count = layout.banded + layout.border;
  const precision = Matrix.zeros(count, count);
  for (const { row, weight, of } of prior.terms) {
    for (const [a, i] of row.index.entries()) for (const [b, j] of row.index.entries()) precision.set(i, j, precision.get(i, j) + (weight / (of === "roughness" ? roughnessMm ** 2 : 1)) * (row.coefficient[a] ?? 0) * (row.coefficient[b] ?? 0));
  }
  const corners = cornersOf(layout);
  const first = layout.stations[0]?.xMm ?? 0;
  for (const step of [1, 5, 12]) {
    const corner = corners[step - 1] ?? { row: { index: [], coefficient: [] }, known: NaN, of: "none" };
    expect(corner.of).toBe("roughness");
    const [row, known] = [{ ...corner.row, coefficient: corner.row.coefficient.map((one) => one / roughnessMm ** 2) }, corner.known / roughnessMm ** 2];
    const right = Matrix.zeros(count, 1);
    for (const [position, at] of row.index.entries()) right.set(at, 0, row.coefficient[position] ?? 0);
    const unknowns = Float64Array.from(solve(precision, right).to1DArray());
    const cornerMm = ((layout.stations[step - 1]?.xMm ?? first) + (layout.stations[step]?.xMm ?? first)) / 2;
    expect(along(row, unknowns) / known).toBeCloseTo(1, 6);
    // over the chord: level and tilt are as good as free, and a dense solution leaves few digits of them
    const last = layout.stations.at(-1)?.xMm ?? first;
    const overChord = (xMm: number, heightAt: (xMm: number) => number): number => heightAt(xMm) - heightAt(first) - ((xMm - first) / (last - first)) * (heightAt(last) - heightAt(first));
    for (const { xMm } of layout.stations) {
      const straight = overChord(xMm, (at) => (2 / CORNER_REACH_MM) * Math.max(0, at - cornerMm));
      for (const line of layout.lines) expect(overChord(xMm, (at) => along(smoothRow(layout, line, at), unknowns))).toBeCloseTo(straight, 6);
    }
  }
});

test("beforehand, six necks in ten have a corner", () => {
  const { truth, sheet } = surveyed(0, 0);
  const usable = usableReadings(truth.neck, sheet);
  expect(cornersOf(layoutOf(usable)).reduce((sum, { probability }) => sum + probability, 0)).toBeCloseTo(0.6, 12);
});

/** The bend of the centre line about 250 mm from the nut, over 50 mm on either side. */
const BEND = ([[250, 1], [200, -0.5], [300, -0.5]] as const).map(([xMm, weight]) => ({ of: "neckLine" as const, line: "centre", xMm, weight }));
const bendForm: Form = (layout) => combined(BEND.map(({ line, xMm, weight }) => [weight, smoothRow(layout, line, xMm)]));

/** The posterior of a line without corners, from the survey's own explanations. */
function withoutCorners({ truth, sheet }: ReturnType<typeof surveyed>): Measured {
  return measuredSmooth(explanationsOf(truth.neck, sheet, usableReadings(truth.neck, sheet)), bendForm);
}

test(`a corner before the joint is less rounded where the line may have one, and its interval holds it (seed ${SEED})`, () => {
  const neck = surveyed(0.1, 250);
  const trueMm = BEND.reduce((sum, { xMm, weight }) => sum + weight * smoothLineMm(neck.truth, "centre", xMm), 0);
  const [smooth, cornered] = [withoutCorners(neck), adjust(neck.truth.neck, neck.sheet).linear(BEND)];
  expect(Math.abs(cornered.value - trueMm)).toBeLessThan(0.7 * Math.abs(smooth.value - trueMm));
  expect(cornered.low95).toBeLessThan(trueMm);
  expect(cornered.high95).toBeGreaterThan(trueMm);
  expect(smooth.high95, "control: rounded where it may have none").toBeLessThan(trueMm);
});

test(`the same seed draws the same, and draws come to what linear says (seed ${SEED})`, () => {
  const neck = surveyed(0, 0);
  const survey = adjust(neck.truth.neck, neck.sheet);
  expect(survey.draws([BEND], 50, 1)).toEqual(survey.draws([BEND], 50, 1));
  const [exact, drawn] = [survey.linear(BEND), measuredDraws(survey.draws([BEND], 20_000, 1).map(([one = NaN]) => one))];
  for (const of of ["low95", "high95", "u"] as const) expect(Math.abs(drawn[of] - exact[of])).toBeLessThan(0.08 * exact.u);
  expect(exact.u, "control: a corner widens").toBeGreaterThan(1.05 * withoutCorners(neck).u);
});

test(`heights and the neck line are those of linear (seed ${SEED})`, () => {
  const { truth, sheet } = surveyed(0.1, 250);
  const survey = adjust(truth.neck, sheet);
  for (const { line, xMm, heightMm, uMm } of survey.lines) {
    const [from, to, middle] = [xMm[0] ?? NaN, xMm.at(-1) ?? NaN, xMm.length >> 1];
    const [x = NaN, t] = [xMm[middle], ((xMm[middle] ?? NaN) - from) / (to - from)];
    const ends = survey.datum.find((datum) => datum.line === line);
    const { value, u } = survey.linear([{ of: "neckLine", line, xMm: x, weight: 1 }, { of: "fretTop", line, fret: ends?.from.fret ?? NaN, weight: t - 1 }, { of: "fretTop", line, fret: ends?.to.fret ?? NaN, weight: -t }]);
    // the lightest ways are left out of them
    expect(Math.abs((heightMm[middle] ?? NaN) - value)).toBeLessThan(0.01 * u);
    expect(Math.abs((uMm[middle] ?? NaN) - u)).toBeLessThan(0.01 * u);
  }
});
