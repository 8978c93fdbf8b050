import { describe, expect, test } from "vitest";
import { adjust, bowModel, observationOf, verdict } from "neck-survey";
import type { BowObservation, Survey } from "neck-survey";
import { neckWith, read, surveyed } from "../../frets/bench.js";

const NECK = neckWith();
const BASE = "rod: neutral\nstrings: on\nfret centre\n1 touch\n4 5\n8 7\n12 5\n16 touch\n";
const sharedIn = (survey: Survey): NonNullable<BowObservation["shared"]> => observationOf(bowModel(NECK).setup, { after: "strings", work: { frets: "after glue-up", strings: true }, survey }).shared ?? [];
const sharedOf = (text: string): NonNullable<BowObservation["shared"]> => sharedIn(surveyed(text, NECK));

describe("the part of a reading that its edge has in common with other readings", () => {
  test("is there although looks under crowns or a crown gauge stand on the same sheet, unchanged", () => {
    const [alone] = sharedOf(BASE);
    expect(alone?.uMm).toBeGreaterThan(0.002);
    for (const more of ["\nsurface: under crown\nfret centre\n5 0\n", "\ncrownGauge: 30 mm\ncrownGauge centre\n5 1.05mm\n9 1.02mm\n"]) {
      const [edge, ...others] = sharedOf(BASE + more);
      expect(others).toEqual([]);
      expect(edge?.error).toBe(alone?.error);
      expect(Math.abs((edge?.uMm ?? 0) / (alone?.uMm ?? NaN) - 1)).toBeLessThan(0.05);
    }
  });

  test("goes by the certificate of an edge that was checked", () => {
    const certified = (bow: string): number => sharedOf(`edge: 450 mm, ${bow}\n${BASE}`)[0]?.uMm ?? NaN;
    expect(certified("hollow 0.004±0.001 mm") / certified("hollow 0.004±0.002 mm")).toBeCloseTo(0.5, 6);
    expect(certified("hollow 0.004±0.002 mm")).toBeLessThan(0.5 * certified("straight within 0.02 mm"));
  });

  test("of two edges is shared out by the readings under each", () => {
    const sheet = read(`${BASE}\nfret centre\n1 touch\n4 5\n8 7\n12 5\n16 touch\n`, NECK);
    const longer = sheet.settings.map((setting, at) => (at === 0 ? setting : { ...setting, tool: { ...setting.tool, lengthMm: 600 } }));
    const two = sharedIn(adjust(NECK, { ...sheet, settings: longer }));
    expect(two).toHaveLength(2);
    const [alone] = sharedOf(BASE);
    expect(Math.abs((two[0]?.uMm ?? NaN) / (alone?.uMm ?? NaN) - 0.5)).toBeLessThan(0.05);
    expect(two[1]?.uMm ?? NaN).toBeLessThan(two[0]?.uMm ?? NaN);
  });
});

test("the verdict says of a checked edge what is taken out and what the check left open, of another what only a check would take out", () => {
  const said = (edge: string): string => verdict(adjust(NECK, read(`edge: 450 mm, ${edge}\n${BASE}`, NECK))).howSure.join("\n");
  expect(said("hollow 0.004±0.002 mm")).toContain("The edge's own bow, hollow by 0.004 mm (0.16 thou) over its 450 mm, is taken out; the give or take includes what its check left open, up to 0.0039 mm (0.15 thou).");
  expect(said("hollow 0.004±0.002 mm")).not.toContain("only checking the edge");
  expect(said("straight within 0.02 mm")).toContain("only checking the edge would take that out");
});
