import { describe, expect, test } from "vitest";
import { settleFew } from "../../../src/survey/estimation/focus.js";
import { assembled } from "../../../src/survey/estimation/marginals.js";
import { preparedMixture } from "../../../src/survey/estimation/mixtureMoments.js";
import { copiedNaturals } from "../../../src/survey/estimation/naturals.js";
import type { Naturals } from "../../../src/survey/estimation/naturals.js";
import { problemOf } from "../../../src/survey/estimation/problem.js";
import type { Site } from "../../../src/survey/estimation/sites.js";
import { updateSites } from "../../../src/survey/estimation/updates.js";
import { workFor } from "../../../src/survey/estimation/work.js";
import type { Work } from "../../../src/survey/estimation/work.js";
import type { SparseRow, StandingFactor } from "../../../src/survey/linear/arrow.js";
import { fretClasses, mixtureOfFrets } from "../../../src/survey/model/fretClasses.js";

const SETTLED_AT = 1e-3;
const BASE_MM = 0.15;
const row = (index: number[], coefficient: number[]): SparseRow => ({ index, coefficient });

/** Neighbouring frets, each as intended or far out, that a rocker ties together: one stands up or the other stands low, and nothing else was read of them. */
function rocking(frets: number): { readonly work: Work; readonly factor: StandingFactor; readonly natural: Naturals } {
  const classes = fretClasses(1, [], { roughnessMm: 0.03, seatingMm: 0.008 });
  const sites: Site[] = [
    ...Array.from({ length: frets }, (_, k): Site => ({ kind: "mixture", rows: [row([k], [1])], mixture: preparedMixture(mixtureOfFrets(classes, BASE_MM)) })),
    ...Array.from({ length: frets - 1 }, (_, k): Site => ({ kind: "exact", rows: [row([k, k + 1], [1, -1])], value: k % 2 === 0 ? 0.06 : -0.06, u: 0.004 })),
  ];
  const prior = { shape: { banded: frets, border: 0 }, roughRank: 0, terms: Array.from({ length: frets }, (_, k) => ({ row: row([k], [1]), weight: 1 / BASE_MM ** 2, of: "fixed" as const })) };
  const work = workFor(problemOf(prior, sites), { roughnessMm: 1, sites });
  const natural = { precision: Float64Array.from({ length: 2 * frets - 1 }, (_, k) => (k < frets ? 0 : 1 / 0.004 ** 2)), shift: Float64Array.from({ length: 2 * frets - 1 }, (_, k) => (k < frets ? 0 : (k % 2 === frets % 2 ? 0.06 : -0.06) / 0.004 ** 2)) };
  const factor = assembled(work, natural);
  if (factor === undefined) throw new Error("expected a proper distribution");
  return { work, factor, natural };
}

/** How far the sites still want to move after one step, the few settled among themselves first or not. */
function leftAfterOneStep(frets: number, isSettled: boolean): number {
  const { work, factor, natural } = rocking(frets);
  const wanted = copiedNaturals(natural);
  updateSites(work, natural, wanted);
  if (isSettled) settleFew(work, factor, natural, wanted, SETTLED_AT);
  if (assembled(work, wanted) === undefined) throw new Error("expected a proper distribution");
  return updateSites(work, wanted, copiedNaturals(wanted));
}

describe("settling few restless sites among themselves", () => {
  test.each([2, 3, 5])("brings %i frets that swing against each other to rest in one step, where a plain step leaves them moving", (frets) => {
    expect(leftAfterOneStep(frets, false)).toBeGreaterThan(20 * SETTLED_AT);
    expect(leftAfterOneStep(frets, true)).toBeLessThan(SETTLED_AT);
  });

  test("leaves the plain step alone where many move, and where none does", () => {
    const many = rocking(8);
    const wanted = copiedNaturals(many.natural);
    updateSites(many.work, many.natural, wanted);
    const plain = copiedNaturals(wanted);
    settleFew(many.work, many.factor, many.natural, wanted, SETTLED_AT);
    expect(wanted).toEqual(plain);
    settleFew(many.work, many.factor, many.natural, wanted, 1e9);
    expect(wanted).toEqual(plain);
  });
});
