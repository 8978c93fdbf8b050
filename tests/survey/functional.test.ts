import { expect, test } from "vitest";
import type { HeightTerm } from "neck-survey";
import { explanationsOf } from "../../src/survey/explanations.js";
import { covariancesOfForms, momentsOfForms } from "../../src/survey/functional.js";
import { usableReadings } from "../../src/survey/model/stations.js";
import { termsForm } from "../../src/survey/terms.js";
import { NECK, bowed, lineNamed, place, sheet, sweep } from "./bench.js";
import type { Truth } from "./bench.js";

test("covariances of forms are what variances of their sums say, between explanations, scatters and corners too", () => {
  const raised: Truth = (line, fret) => bowed(0.25)(line, fret) + (fret >= 8 && fret <= 12 ? 0.07 : 0);
  const zone = sheet([sweep(raised, lineNamed("centre"))]);
  const explanations = explanationsOf(NECK, zone, usableReadings(NECK, zone));
  const over = (fret: number): readonly HeightTerm[] => [{ of: "fretTop", line: "centre", fret, weight: 1 }, { of: "neckLine", line: "centre", xMm: place(fret).xMm, weight: -1 }];
  const frets = [9, 4, 7, 10, 13];
  const [asked = { value: NaN, u: NaN }, ...sums] = momentsOfForms(explanations, [termsForm(over(9)), ...frets.map((fret) => termsForm([...over(9), ...over(fret)]))]);
  const others = momentsOfForms(explanations, frets.map((fret) => termsForm(over(fret))));
  const found = covariancesOfForms(explanations, termsForm(over(9)), asked.value, frets.map((fret) => termsForm(over(fret))));
  for (const [index, covariance] of found.entries()) {
    const [sum, other] = [sums[index]?.u ?? NaN, others[index]?.u ?? NaN];
    expect(covariance / (asked.u * other)).toBeCloseTo((sum ** 2 - asked.u ** 2 - other ** 2) / (2 * asked.u * other), 9);
  }
  // most of what frets 9 and 10 have in common is which explanation is true
  expect((found[3] ?? NaN) / (asked.u * (others[3]?.u ?? NaN))).toBeGreaterThan(0.9);
});
