import { expect, test } from "vitest";
import { inventedNeck, PUBLISHED_SPREAD } from "../../src/invented/neck.js";
import { inventedOperator } from "../../src/invented/operator.js";
import { planFor } from "../../src/invented/plan.js";
import { inventedStream } from "../../src/invented/stream.js";
import type { InventedFamily, InventedTruth } from "../../src/invented/truth.js";
import { MM_PER_THOU } from "../../src/units/length.js";

const NECKS = 600;
const necks = (family: InventedFamily, change: Parameters<typeof inventedNeck>[2] = {}): InventedTruth[] => Array.from({ length: NECKS }, (_, k) => inventedNeck(inventedStream(17, `spread ${family}`, k), family, change));
const smooth = necks("smooth");

function moments(values: readonly number[]): { n: number; mean: number; sd: number } {
  const n = values.length;
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  return { n, mean, sd: Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1)) };
}

/** Mean nought and the published standard deviation, within four standard errors of a normal sample. */
function normalAbout0(values: readonly number[], sd: number): void {
  const found = moments(values);
  expect(Math.abs(found.mean)).toBeLessThan((4 * sd) / Math.sqrt(found.n));
  expect(Math.abs(found.sd / sd - 1)).toBeLessThan(4 / Math.sqrt(2 * found.n));
}

/** Inside the published range, with the mean and standard deviation of a uniform draw, within four standard errors. */
function uniformIn(values: readonly number[], low: number, high: number): void {
  const found = moments(values);
  const sd = (high - low) / Math.sqrt(12);
  expect(Math.min(...values)).toBeGreaterThanOrEqual(low);
  expect(Math.max(...values)).toBeLessThanOrEqual(high);
  expect(Math.abs(found.mean - (low + high) / 2)).toBeLessThan((4 * sd) / Math.sqrt(found.n));
  // the fourth moment of a uniform draw gives its variance a relative standard error of sqrt(0.8 / n)
  expect(Math.abs(found.sd ** 2 / sd ** 2 - 1)).toBeLessThan(4 * Math.sqrt(0.8 / found.n));
}

test("bends, lines and twist are spread as published", () => {
  uniformIn(smooth.map(({ bend }) => bend.bowMm), -0.3, 0.3);
  normalAbout0(smooth.map(({ bend }) => bend.sShapeMm), 0.03);
  normalAbout0(smooth.map(({ bend }) => bend.waveMm), 0.01);
  normalAbout0(smooth.flatMap(({ lineBends }) => Object.values(lineBends).map(({ bowMm }) => bowMm)), 0.015);
  normalAbout0(smooth.flatMap(({ lineBends }) => Object.values(lineBends).map(({ sShapeMm }) => sShapeMm)), 0.005);
  normalAbout0(smooth.map(({ twistMm }) => twistMm), 0.2);
  const bench = necks("atTheBench").map(({ bend }) => bend.bowMm);
  uniformIn(bench.filter((bow) => bow < 0), -0.3, -0.05);
  uniformIn(bench.filter((bow) => bow >= 0), 0, 0.3);
});

test("what stands out does so by as much as published", () => {
  const seats = smooth.flatMap(({ seating }) => seating);
  uniformIn(seats.filter(({ farOut }) => farOut === "high at an end").map((seat) => seat.bassEndMm + seat.trebleEndMm), 0.04, 0.14);
  uniformIn(seats.filter(({ farOut }) => farOut === "lifted end").flatMap((seat) => [seat.bassEndMm, seat.trebleEndMm].filter((mm) => mm > 0)), 0.02, 0.1);
  // a whole high fret has its seating scatter too
  const whole = moments(seats.filter(({ farOut }) => farOut === "high").map(({ wholeMm }) => wholeMm));
  expect(Math.abs(whole.mean - 0.09)).toBeLessThan((4 * 0.03) / Math.sqrt(whole.n));
  expect(Math.abs(whole.sd - Math.hypot(0.1 / Math.sqrt(12), 0.008))).toBeLessThan(0.004);
});

test("kinks, zones and fall-away are as large as published", () => {
  const uneven = necks("kinksAndZones");
  uniformIn(uneven.flatMap(({ kinks }) => kinks.map(({ upMm }) => Math.abs(upMm))), 0.03, 0.1);
  uniformIn(uneven.flatMap(({ zones }) => zones.map(({ upMm }) => upMm)), 0.04, 0.08);
  uniformIn(uneven.flatMap(({ fallAwayMm }) => (fallAwayMm === 0 ? [] : [fallAwayMm])), 0.05, 0.25);
});

test("edges, leaves, feel and plans of an operator are as published", () => {
  const operators = Array.from({ length: NECKS }, (_, k) => inventedOperator(inventedStream(17, "operators", k)));
  uniformIn(operators.flatMap(({ leaves }) => leaves.map(({ actualMm, nominalMm }) => actualMm - nominalMm)), -0.004, 0.004);
  expect(new Set(operators.map(({ feelMm }) => feelMm))).toEqual(new Set([0.005]));
  expect(operators[0]?.leaves[0].nominalMm).toBeCloseTo(1.5 * MM_PER_THOU, 12);
  const even = moments(operators.map(({ edge }) => edge.evenMm));
  expect(even.sd).toBeGreaterThan(0.006);
  expect(even.sd).toBeLessThan(0.01); // half of the tolerance of 0.02 mm, less what was drawn again
  const plans = Array.from({ length: NECKS }, (_, k) => planFor("atTheBench", inventedStream(17, "plans", k)));
  const others = plans.filter(({ frets }) => frets !== "three");
  const share = (hits: number, of: number, p: number): void => expect(Math.abs(hits / of - p)).toBeLessThan(4 * Math.sqrt((p * (1 - p)) / of));
  share(plans.length - others.length, plans.length, 1 / 3);
  share(others.filter(({ rocker }) => !rocker).length, others.length, 0.25);
  share(others.filter(({ settingsPerLine }) => settingsPerLine === 1).length, others.length, 0.5);
  share(others.filter(({ frets }) => frets === "every second").length, others.length, 0.5);
  expect(new Set(others.map(({ missingShare }) => missingShare))).toEqual(new Set([0.2]));
});

test("other spreads change what they name, and the same stream draws the same neck otherwise", () => {
  const other = necks("smooth", { seatingMm: 0.016, waviness: 2 });
  const level = (all: InventedTruth[]): number[] => all.flatMap(({ seating }) => seating.filter(({ farOut }) => farOut === "no").map(({ wholeMm }) => wholeMm));
  normalAbout0(level(other), 0.016);
  for (const [k, truth] of other.entries()) {
    const published = smooth[k] ?? expect.fail("no such neck");
    expect(truth.neck).toEqual(published.neck);
    expect(truth.bend.bowMm).toBe(published.bend.bowMm);
    expect(truth.bend.sShapeMm).toBeCloseTo(2 * published.bend.sShapeMm, 12);
    expect(truth.seating.map(({ farOut }) => farOut)).toEqual(published.seating.map(({ farOut }) => farOut));
  }
  const crowded = necks("smooth", { highShare: [0.3, 0.3], liftedShare: 0 }).flatMap(({ seating }) => seating);
  expect(Math.abs(crowded.filter(({ farOut }) => farOut !== "no").length / crowded.length - 0.3)).toBeLessThan(4 * Math.sqrt(0.21 / crowded.length));
  expect(necks("smooth", PUBLISHED_SPREAD)).toEqual(smooth);
});
