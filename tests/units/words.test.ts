import { expect, test } from "vitest";
import { lengthMm, lengthWords, measuredWords, normalMm } from "neck-survey";
import { bothBowsWords } from "../../src/units/words.js";

test("measuredWords prints an even interval as give or take, a lopsided one by its ends, in both units", () => {
  expect(measuredWords(normalMm(0.18, 0.0102))).toBe("0.18 mm, give or take 0.02 (7.1 thou, give or take 0.8)");
  expect(measuredWords(normalMm(0.18, 0.0102), "thou first")).toBe("7.1 thou, give or take 0.8 (0.18 mm, give or take 0.02)");
  expect(measuredWords({ value: 0.18, u: 0.05, unit: "mm", low95: 0.1, high95: 0.31 })).toBe("0.18 mm, between 0.10 and 0.31 (7.1 thou, between 3.9 and 12.2)");
});

test("a lopsided relief that may be either bow is told with the bow of each end, never with a sign alone", () => {
  const open = (value: number, low95: number, high95: number): string | undefined => bothBowsWords({ value, u: 0.05, unit: "mm", low95, high95 });
  expect(open(0.04, -0.12, 0.13)).toBe("best estimate 0.04 mm (1.6 thou) forward bow (middle low), from 0.12 mm (4.7 thou) back bow (middle high) to 0.13 mm (5.1 thou) forward bow (middle low)");
  expect(open(-0.04, -0.09, 0.05)).toMatch(/^best estimate 0\.04 mm \(1\.6 thou\) back bow \(middle high\), from 0\.09 /);
  expect([open(0.02, -0.08, 0.12), open(0.2, 0.1, 0.5), open(0.1, -0.001, 0.5)]).toEqual([undefined, undefined, undefined]);
});

test("lengthWords has no minus before zero", () => {
  expect(lengthWords(-0.001)).toBe("0.00 mm (0.0 thou)");
  expect(lengthWords(-0.0127)).toBe("-0.01 mm (-0.5 thou)");
});

test("lengthMm reads what a builder writes and nothing else", () => {
  const read = ["25.4", "25.5 in", '12"', "1 1/16 in", "0,10 mm", "4 thou", "-3 mm", "10um"].map((written) => lengthMm(written));
  const wanted = [25.4, 647.7, 304.8, 26.9875, 0.1, 0.1016, -3, 0.01];
  for (const [index, mm] of wanted.entries()) expect(Math.abs((read[index] ?? NaN) - mm)).toBeLessThan(1e-12);
  for (const wrong of ["", "in", "1.2.3", "4 furlong", "1/0 in", "1e3", "NaN"]) expect(lengthMm(wrong)).toBeUndefined();
  expect(lengthMm(Number.NaN)).toBeUndefined();
});

test("normalMm refuses what is no length", () => {
  expect(() => normalMm(Number.NaN, 0.1)).toThrow(RangeError);
  expect(() => normalMm(0.1, -1)).toThrow("expected a finite value and an uncertainty of 0 or more");
});
