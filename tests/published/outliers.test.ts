import { describe, expect, test } from "vitest";
import { generalisedEsd, modifiedZScores } from "../../src/frets/outliers.js";
import { printed } from "./printed.js";
import { referenceText } from "./reference.js";

type Outliers = {
  readonly generalizedESD: { readonly data: readonly number[]; readonly alpha: number; readonly maxOutliers: number; readonly published: { readonly R: readonly string[]; readonly lambda: readonly string[]; readonly numberOfOutliers: number; readonly outliers: readonly number[] } };
  readonly massSpectrometer: { readonly data: readonly number[] };
  readonly modifiedZScore: { readonly onGrubbsData: { readonly M: readonly number[]; readonly flagged: readonly number[] }; readonly onRosnerData: { readonly maxAbs: number; readonly flagged: readonly number[] } };
};
const { generalizedESD: esd, massSpectrometer, modifiedZScore }: Outliers = JSON.parse(referenceText("outlier-tests.json"));

function flagged(values: readonly number[], limit = 3.5): readonly number[] {
  const scores = modifiedZScores(values) ?? [];
  return values.filter((_, index) => Math.abs(scores[index] ?? 0) > limit);
}

describe("generalised ESD test against the NIST/SEMATECH e-Handbook 1.3.5.17.3 (Rosner 1983, 54 values)", () => {
  const found = generalisedEsd(esd.data, esd.maxOutliers, esd.alpha);

  test("statistics R1 to R10", () => esd.published.R.forEach((text, step) => printed(found.statistics[step] ?? Number.NaN, text)));

  test("critical values lambda 1 to 10", () => esd.published.lambda.forEach((text, step) => printed(found.critical[step] ?? Number.NaN, text)));

  test("three outliers: 6.01, 5.42 and 5.34", () => {
    expect(found.outliers.map((index) => esd.data[index])).toEqual(esd.published.outliers);
    expect(found.outliers).toHaveLength(esd.published.numberOfOutliers);
  });

  test("control: at another chance, or with one value changed, it no longer agrees", () => {
    expect(() => printed(generalisedEsd(esd.data, esd.maxOutliers, 0.04).critical[0] ?? Number.NaN, esd.published.lambda[0] ?? "")).toThrow("against the printed");
    expect(() => printed(generalisedEsd(esd.data.map((value) => (value === 6.01 ? 6.06 : value)), 1, esd.alpha).statistics[0] ?? Number.NaN, esd.published.R[0] ?? "")).toThrow("against the printed");
    expect(generalisedEsd(esd.data.map((value) => (value === 5.34 ? 4.2 : value)), esd.maxOutliers, esd.alpha).outliers).not.toHaveLength(esd.published.numberOfOutliers);
  });
});

describe("modified z-score with the limit 3.5 of Iglewicz and Hoaglin (NIST/SEMATECH e-Handbook 1.3.5.17; values computed, not printed)", () => {
  test("eight mass-spectrometer readings (Tietjen and Moore 1972): 245.57 alone is labelled", () => {
    expect(flagged(massSpectrometer.data)).toEqual(modifiedZScore.onGrubbsData.flagged);
    const scores = modifiedZScores(massSpectrometer.data) ?? [];
    modifiedZScore.onGrubbsData.M.forEach((score, index) => expect(scores[index]).toBeCloseTo(score, 10));
  });

  test("Rosner's 54 values: the three outliers of the ESD test are labelled", () => {
    expect(flagged(esd.data)).toEqual(modifiedZScore.onRosnerData.flagged);
    expect(Math.max(...(modifiedZScores(esd.data) ?? []).map(Math.abs))).toBeCloseTo(modifiedZScore.onRosnerData.maxAbs, 12);
  });

  test("control: with another limit, or the outlier brought in, the labels change", () => {
    expect(flagged(esd.data, 3)).not.toEqual(flagged(esd.data));
    expect(flagged(massSpectrometer.data.map((value) => (value === 245.57 ? 202 : value)))).toEqual([]);
  });
});
