import { describe, expect, test } from "vitest";
import { adjustTogether } from "neck-survey";
import type { HeightTerm, Survey, Tool } from "neck-survey";
import { inventedReadings } from "../../src/invented/readings.js";
import { inventedSheet } from "../../src/invented/sheet.js";
import { inventedStream } from "../../src/invented/stream.js";
import { FULL_PLAN, THREE_READINGS } from "../../src/invented/plan.js";
import type { ReadingPlan } from "../../src/invented/plan.js";
import { TOUCH_U_MM } from "../../src/readings/gap.js";
import { fretDistanceMm } from "../../src/neck/frets.js";
import { drawnNeck } from "../invented/made.js";
import { EDGE, NECK, along, exact, place, sheet } from "./bench.js";

const SEED = 20261126;
const { truth, operator } = drawnNeck("unmoved", 3, "smooth", {});
const { neck } = truth;
const ONCE: ReadingPlan = { ...FULL_PLAN, lines: ["centre"], settingsPerLine: 1, rocker: false };
/** Adjusting each survey by itself only looks for frets that moved. */
const NOT_ALONE = (): Survey => ({ heights: [] }) as unknown as Survey;

function twice(plans: readonly [ReadingPlan, ReadingPlan], number: number): ReturnType<typeof adjustTogether> {
  const sheets = plans.map((plan, which) => ({ ...inventedSheet(neck, operator, inventedReadings(truth, operator, inventedStream(SEED, `unmoved/${which}`, number), plan)), stage: String(which) }));
  return adjustTogether(neck, sheets, NOT_ALONE);
}

/** Change of the height of the line mid-way between fret 1 and the body joint over the chord of both. */
function changeTerms(): readonly HeightTerm[] {
  const x = (fret: number): number => fretDistanceMm(neck.scaleLengthMm, fret);
  const [from, to] = [x(1), x(neck.bodyJoint ?? neck.frets)];
  return [[1, 1], [0, -1]].flatMap(([survey = 0, sign = 0]) => [[(from + to) / 2, 1], [from, -0.5], [to, -0.5]].map(([xMm = 0, weight = 0]): HeightTerm => ({ of: "neckLine", line: "centre", xMm, weight: sign * weight, survey })));
}

const spread = (values: readonly number[]): number => Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);

describe("what chance brings of an unmoved neck", () => {
  test("is as wide as what repeated surveys of one neck find, and narrower than the posterior, which leaves each reading its whole interval", () => {
    const surveyed = Array.from({ length: 14 }, (_, number) => {
      const together = twice([ONCE, ONCE], number);
      const { value, u } = together.linear(changeTerms());
      return { value, u, byChance: spread(together.unmoved([changeTerms()], [0, 1], 400, SEED).map((draw) => draw[0] ?? NaN)) };
    });
    const z = spread(surveyed.map(({ value, byChance }) => value / byChance));
    // chi-square with 14 degrees of freedom, 0.05 and 99.95 % (from memory)
    console.info(`seed ${SEED}: spread of found over drawn ${z.toFixed(2)}`);
    expect(z).toBeGreaterThan(Math.sqrt(2.7 / 14));
    expect(z).toBeLessThan(Math.sqrt(38.1 / 14));
    for (const { u, byChance } of surveyed) expect(byChance).toBeLessThan(u);
  }, 60_000);

  test("is at least one step of the leaves where three readings stand against many: where in the step the gap lies is not known", () => {
    const together = twice([ONCE, THREE_READINGS], 1);
    const draws = together.unmoved([changeTerms()], [0, 1], 400, SEED).map((draw) => draw[0] ?? NaN);
    expect(spread(draws)).toBeGreaterThan(0.0254 / Math.sqrt(12));
    expect(Math.abs(draws.reduce((sum, mm) => sum + mm, 0) / draws.length)).toBeLessThan((5 * spread(draws)) / Math.sqrt(draws.length));
  });

  test("is the same for the same seed, and is refused of a combination that the readings do not determine", () => {
    const together = twice([THREE_READINGS, THREE_READINGS], 2);
    const drawn = (seed: number): readonly number[] => together.unmoved([changeTerms()], [0, 1], 20, seed).map((draw) => draw[0] ?? NaN);
    expect(drawn(1)).toEqual(drawn(1));
    expect(drawn(1)).not.toEqual(drawn(2));
    expect(() => together.unmoved([[{ of: "neckLine", line: "centre", xMm: 200, weight: 1 }]], [0, 1], 20, 1)).toThrow("Cannot give this combination of heights");
  });

  test("counts as seen touching what an edge was seen to touch, not a number that a dial happens to show as 0: lifted by 0.5 mm it strays as much", () => {
    const share = (place(8).xMm - place(3).xMm) / (place(14).xMm - place(3).xMm);
    const changed: readonly HeightTerm[] = [[1, 1], [0, -1]].flatMap(([survey = 0, sign = 0]) => [[8, 1], [3, share - 1], [14, -share]].map(([fret = 0, weight = 0]): HeightTerm => ({ of: "neckLine", line: "centre", xMm: place(fret).xMm, weight: sign * weight, survey })));
    const strays = (gapMm: number, uMm: number, tool = EDGE): number => {
      const frets = Array.from({ length: 16 }, (_, at) => at + 1).filter((fret) => tool === EDGE || (fret > 2 && fret < 15));
      const once = sheet([along("centre", frets.map((fret) => exact("centre", fret, gapMm, uMm)), tool)]);
      return spread(adjustTogether(NECK, [once, once], NOT_ALONE).unmoved([changed], [0, 1], 400, SEED).map((draw) => draw[0] ?? NaN));
    };
    // its zero may be anything
    const dial: Tool = { name: "dialBar", kind: "dialBar", lengthMm: 80, straightnessToleranceMm: 1 };
    expect(strays(0, 0.01) / strays(0.5, 0.01)).toBeCloseTo(1, 2);
    expect(strays(0, TOUCH_U_MM, dial) / strays(0.1, TOUCH_U_MM, dial)).toBeCloseTo(1, 2);
    expect(strays(0, TOUCH_U_MM) / strays(0.5, TOUCH_U_MM)).toBeLessThan(0.7);
  });
});
