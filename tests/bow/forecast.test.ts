import { describe, expect, test } from "vitest";
import { learnBow } from "../../src/bow/calibration/learn.js";
import { observationOf } from "../../src/bow/calibration/readings.js";
import { bowForecast } from "../../src/bow/forecast.js";
import { openingReliefs } from "../../src/bow/openings.js";
import { profileBand } from "../../src/bow/uncertainty/band.js";
import { middleUnknowns } from "../../src/bow/calibration/belief.js";
import { bowModel } from "../../src/bow/model/bowModel.js";
import { reliefAfter, prepareWork } from "../../src/bow/sequence/draw.js";
import type { OrderOfWork } from "../../src/bow/sequence/work.js";
import { readNeck } from "../../src/neck/neckFile.js";
import { heightAt } from "../../src/shape/profile.js";
import { valueOrThrow } from "../../src/units/problem.js";
import { along, bowed, exact, sheet } from "../survey/bench.js";
import { adjust } from "../../src/survey/adjust.js";

const NECK = valueOrThrow(readNeck({
  name: "test neck", scaleLength: "25 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in", widths: { nut: 43, lastFret: 56 }, thicknesses: { board: 6, total: { 1: 20.5, 12: 22 } },
  woods: { board: "rosewood", neck: "maple" }, tangs: { thickness: 0.55 }, slots: { width: 0.53, depth: 2.8 }, crown: { height: 1.1 },
  strings: { each: [{ gauge: 1, tensionN: 420 }], heightAtNut: 0.5, heightAtLastFret: { bass: 2.2, treble: 2.2 } },
}), "the neck");
const STRUNG: OrderOfWork = { frets: "before glue-up", strings: true };
const MODEL = bowModel(NECK);

describe("bowForecast", () => {
  test("is a range, says why it is wide and what narrows it, and carries the caution of strings; it lists what was assumed", () => {
    const forecast = bowForecast(NECK, STRUNG);
    expect(forecast.describe()).toMatch(/^test neck, strings at pitch: \d\.\d\d to \d\.\d\d mm \(.* thou\) of forward bow \(middle low\), at fret 7 over frets 1 to 16\.\n/);
    expect(forecast.describe()).toMatch(/\nWide, because .* narrows it\.\nCaution: strings at pitch/);
    expect(forecast.describe("thou first")).toMatch(/strings at pitch: \d+\.\d to \d+\.\d thou \(/);
    expect(forecast.assumed.join("; ")).toContain("Indian rosewood");
  });

  test("the band agrees with the relief: value and standard uncertainty at the middle fret, none at the chord's ends", () => {
    const { sum, span, relief } = bowForecast(NECK, STRUNG);
    const u = { ...sum, vMm: sum.uMm ?? [] };
    expect(-heightAt(sum, span.middleMm)).toBeCloseTo(relief.value, 1);
    expect(heightAt(u, span.middleMm) / relief.u).toBeGreaterThan(0.8);
    expect(heightAt(u, span.middleMm) / relief.u).toBeLessThan(1.25);
    expect(heightAt(u, span.fromMm)).toBeCloseTo(0, 9);
    expect(heightAt(u, span.toMm)).toBeCloseTo(0, 9);
  });

  test("of the fretted board only the board's own causes count; an unknown stage is refused with those there are", () => {
    const board = bowForecast(NECK, STRUNG, { stage: "fretted board" });
    expect(board.causes.map(({ cause }) => cause)).toEqual(["tang pressure in the free board"]);
    expect(board.relief.high95).toBeLessThanOrEqual(0);
    expect(() => bowForecast(NECK, STRUNG, { stage: "rod" })).toThrow(/this order of work has fretted board, glue-up, strings/);
    expect(() => profileBand(MODEL.setup, MODEL.belief, STRUNG, "rod")).toThrow("this order of work has");
  });
});

describe("openingReliefs", () => {
  const openings = openingReliefs(MODEL, STRUNG, [0, 0.005, 0.01], [0, 200, 420, 600]);

  test("more tension is more forward bow, more opening is less, in proportion", () => {
    for (const { relief } of openings.steps) relief.slice(1).forEach(({ value }, index) => expect(value).toBeGreaterThan(relief[index]?.value ?? Infinity));
    const at = openings.steps.map(({ relief }) => relief[2]?.value ?? Number.NaN);
    expect((at[0] ?? 0) - (at[1] ?? 0)).toBeGreaterThan(0);
    expect(((at[0] ?? 0) - (at[2] ?? 0)) / ((at[0] ?? 0) - (at[1] ?? 0))).toBeCloseTo(2, 0);
  });

  test("frets pressed after glue-up bow the neck several times as much for the same opening", () => {
    const drop = (work: OrderOfWork): number => {
      const [none, some] = openingReliefs(MODEL, work, [0, 0.01], [420]).steps.map(({ own }) => own.value);
      return (none ?? 0) - (some ?? 0);
    };
    const ratio = drop({ ...STRUNG, frets: "after glue-up" }) / drop(STRUNG);
    expect(ratio).toBeGreaterThan(3);
    expect(ratio).toBeLessThan(10);
  });

  test("refuses an opening below nothing", () => {
    expect(() => openingReliefs(MODEL, STRUNG, [-0.01], [400])).toThrow("of 0 or more, got -0.01");
  });
});

describe("learnBow", () => {
  const BOARD = { after: "fretted board", work: STRUNG, reliefMm: -4, giveOrTakeMm: 0.3 } as const;

  test("a board's measured bow fixes the interference and narrows what is predicted of the strung neck", () => {
    const learnt = learnBow(NECK, [BOARD]);
    const width = (belief?: typeof learnt.after): number => {
      const { relief } = bowForecast(NECK, STRUNG, belief === undefined ? {} : { belief });
      return relief.high95 - relief.low95;
    };
    expect(width(learnt.after)).toBeLessThan(0.9 * width());
    expect(learnt.describe()).toMatch(/^test neck: 1 reading of its bow narrowed \d of \d+ unknowns\.\nThe fretted board, not glued: read back bow \(middle high\), 4\.00 mm/);
    expect(learnt.values.find(({ name }) => name === "interferenceMm")?.left ?? 1).toBeLessThan(0.6);
  });

  test("a survey is taken at the fret nearest the middle of what it reaches, and its edge's bow is named as shared", () => {
    const truth = bowed(0.25, 16);
    const frets = [1, 3, 5, 7, 9, 12, 14, 16];
    const survey = adjust(NECK, sheet(["bass", "centre", "treble"].map((line) => along(line, frets.map((fret) => exact(line, fret, -truth(line, fret)))))));
    const observation = observationOf(MODEL.setup, { after: "strings", work: STRUNG, survey });
    expect(observation.measured.value).toBeCloseTo(0.25, 1);
    expect(observation.shared?.[0]?.error).toContain("450");
    expect(observation.shared?.[0]?.uMm ?? 0).toBeLessThan(observation.measured.u);
    expect(observation.predictMm(middleUnknowns(MODEL.belief))).toBeCloseTo(reliefAfter(prepareWork(MODEL.setup, STRUNG), middleUnknowns(MODEL.belief)), 6);
    const after = learnBow(NECK, [{ after: "strings", work: STRUNG, survey }]);
    expect(after.fits[0]?.after.u ?? 1).toBeLessThan(after.fits[0]?.before.u ?? 0);
  });

  test("a survey of a short stretch teaches nothing of bow and is refused in words", () => {
    const survey = adjust(NECK, sheet([along("centre", [5, 6, 7].map((fret) => exact("centre", fret, 0)))]));
    expect(() => learnBow(NECK, [{ after: "strings", work: STRUNG, survey }])).toThrow(/determine no line over half of the neck/);
  });

  test("a survey of another neck is refused", () => {
    const survey = adjust(NECK, sheet([along("centre", [1, 7, 16].map((fret) => exact("centre", fret, 0)))]));
    expect(() => learnBow({ ...NECK, name: "another" }, [{ after: "strings", work: STRUNG, survey }])).toThrow("Cannot learn another from a survey of test neck");
  });

  test("a bow that the model thinks impossible is called so", () => {
    expect(learnBow(NECK, [{ ...BOARD, reliefMm: 3 }]).describe()).toContain("do not fit what the model believes possible");
  });
});
