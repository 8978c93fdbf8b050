import { describe, expect, test } from "vitest";
import { compareSheets, rodAdvice, verdict } from "neck-survey";
import type { Figure, UnitOrder } from "neck-survey";
import { bowFigure } from "../../src/figures/bowFigure.js";
import { beliefFigure, type DrawnBelief } from "../../src/figures/beliefFigure.js";
import { comparisonFigure } from "../../src/figures/comparisonFigure.js";
import { sideWords } from "../../src/figures/hover.js";
import { levelFigure } from "../../src/figures/levelFigure.js";
import { neckFigure } from "../../src/figures/neckFigure.js";
import { openingFigure } from "../../src/figures/openingFigure.js";
import { rodFigure } from "../../src/figures/rodFigure.js";
import { neckSpan } from "../../src/bow/beam/span.js";
import { planLevelling } from "../../src/notebook/planLevelling.js";
import { normalMm } from "../../src/units/measured.js";
import { inventedSurvey } from "../advice/levelPlan/surveyed.js";
import { neckWith, read, surveyed } from "../frets/bench.js";

const NECK = neckWith();
const SPAN = neckSpan(NECK);
const SWEPT = "fret bass centre treble\n1 touch touch touch\n3 5 6 6\n5 9 10 9\n7 10 11 8\n9 10 11 11\n12 8 9 8\n14 4 4 4\n16 touch touch touch\n";
/** Bars over a twisted neck, one sighting of the three a slip: what was expected of it is below 0. */
const SIGHTED = `${SWEPT}\nsightingBars treble\n1 0\n22 -0.6±0.05mm\n\nsightingBars treble\n1 0\n22 -0.62±0.05mm\n\nsightingBars treble\n1 0\n22 0.9±0.05mm\n`;
const BACK = "strings: off\nfret centre\n1 16\n4 6\n7 touch\n10 4\n16 16\n\n1 touch\n2 touch\n7 7\n10 14\n16 28\n";

const xMm = Array.from({ length: 47 }, (_, index) => index * 10);
const bowed = (reliefMm: number): number[] => xMm.map((x) => (-4 * reliefMm * (x - SPAN.fromMm) * (SPAN.toMm - x)) / (SPAN.toMm - SPAN.fromMm) ** 2);
const bow = (reliefMm: number, uMm: number): Parameters<typeof bowFigure>[0] => ({
  neck: NECK, title: "strung", span: SPAN, causes: [{ cause: "strings", reliefMm, profile: { of: "strings", xMm, vMm: bowed(reliefMm) } }],
  sum: { of: "all together", xMm, vMm: bowed(reliefMm), uMm: bowed(-uMm).map(Math.abs) }, relief: normalMm(reliefMm, uMm), notes: [],
});
const belief = (known: string, low: number, high: number): DrawnBelief => ({ known, reliefMm: { middle: 0, low95: -0.1, high95: 0.2 }, taught: { middle: (low + high) / 2, low95: low, high95: high } });

const comparison = compareSheets(NECK, read(SWEPT), read(SWEPT.replace("7 10 11 8", "7 9 12 8")));
const advice = [SWEPT, BACK].map((text) => rodAdvice(surveyed(text)));
const planned = await planLevelling(inventedSurvey(), { rod: { lowMm: -0.3, highMm: 0.1 } });

const FIGURES: Readonly<Record<string, (order: UnitOrder) => readonly Figure[]>> = {
  neck: (order) => [SWEPT, SIGHTED].map((text) => neckFigure(surveyed(text), { order })),
  comparison: (order) => [comparisonFigure(comparison, { order })],
  rod: (order) => advice.map((one) => rodFigure(one, { order })),
  bow: (order) => [bow(0.32, 0.08), bow(-0.2, 0.02), bow(-0.01, 0.05)].map((one) => bowFigure(one, { order })),
  opening: (order) => [openingFigure({ neck: NECK, title: "opening", tensionsN: [0, 400], ownTensionN: 300, first: 0, wantedMm: { min: 0.1, max: 0.3 }, notes: [], steps: [{ openingMm: 0.02, relief: [normalMm(-0.2, 0.05), normalMm(0.02, 0.05)], own: normalMm(-0.04, 0.05) }] }, { order })],
  belief: (order) => ["mm", ""].map((unit) => beliefFigure({ neck: NECK, title: "strung", middleFret: 7, beliefs: [belief("before", -0.0127, 0.0254), belief("after", -0.0254, -0.0127)], taught: { what: "tang thicker than its slot by", unit }, wantedMm: { min: 0.1, max: 0.3 } }, { order })),
  level: (order) => (planned.status === "planned" ? [levelFigure(planned.posed, planned.plan, planned.sure.first, { order })] : []),
};

function hovers(figures: readonly Figure[]): readonly string[] {
  return figures.flatMap(({ data }) => data.flatMap(({ hovertext }) => (Array.isArray(hovertext) ? hovertext.map(String) : [])));
}

/** What is told, without the readings as they were typed. */
const told = (hover: string): string => hover.split("<br>").filter((line) => !line.startsWith("read: ")).join(" ").replace(/was read as &quot;.*?&quot;/, "");

/** A minus that stands before a number and is no hyphen or range. */
const BARE_SIGN = /(?:^|[\s(:,])[-−]\s?\d/;

describe("what is shown over a figure tells signs in words", () => {
  test.each(Object.keys(FIGURES).flatMap((name) => (["mm first", "thou first"] as const).map((order) => [name, order] as const)))("%s, %s", (name, order) => {
    const all = hovers(FIGURES[name]?.(order) ?? []);
    expect(all.length).toBeGreaterThan(2);
    expect(all.map(told).filter((text) => BARE_SIGN.test(text))).toEqual([]);
    expect(all.filter((text) => /\d mm\b/.test(text) !== /\d thou\b/.test(text) && !text.includes("from the nut"))).toEqual([]);
  });

  test("control: a bare sign is found", () => {
    expect(["level: -0.4 thou", "0.01 mm (-0.4 thou)", "−3 mm"].filter((text) => BARE_SIGN.test(text))).toHaveLength(3);
    expect(["frets 3-4", "QUILLFEN-07", "2026-03-02"].filter((text) => BARE_SIGN.test(text))).toEqual([]);
  });

  test("a height that may lie on either side has the side of its best estimate", () => {
    expect(sideWords(normalMm(-0.01, 0.02), "the neck line", "thou first")).toBe("level with the neck line within the give or take: best estimate below it by 0.4 thou, give or take 1.5 (0.01 mm, give or take 0.04)");
    expect(sideWords(normalMm(0.01, 0.02), "the neck line", "mm first")).toContain("best estimate above it by 0.01 mm");
    expect(sideWords(normalMm(0, 0.02), "the chord", "mm first")).toBe("level with the chord within the give or take: 0.00 mm, give or take 0.04 (0.0 thou, give or take 1.5)");
    expect(sideWords(normalMm(-0.1, 0.02), "the chord", "mm first")).toBe("below the chord by 0.10 mm, give or take 0.04 (3.9 thou, give or take 1.5)");
  });

  test("rod and predicted bow say which bow a height within the chord is", () => {
    const said = (name: string): string => hovers(FIGURES[name]?.("mm first") ?? []).join("\n");
    for (const name of ["rod", "bow"]) {
      expect(said(name)).toMatch(/below the chord by [^\n]*forward bow \(middle low\)/);
      expect(said(name)).toMatch(/above the chord by [^\n]*back bow \(middle high\)/);
      expect(said(name)).not.toMatch(/below the chord by [^\n]*back bow/);
    }
    expect(said("bow")).toMatch(/level with the chord within the give or take: best estimate above it by 0\.01 mm[^\n]*\)$/m);
  });

  test("a slip among signed readings is told with its sign in words, in the figure and the verdict", () => {
    const survey = surveyed(SIGHTED);
    expect(hovers([neckFigure(survey)]).length).toBeGreaterThan(0);
    expect(survey.blunders.map(({ sentence }) => sentence).join(" ")).toMatch(/expects about 0\.6\d mm \(2\d\.\d thou\), written with a minus\./);
    expect(verdict(survey).readNext.join(" ")).toMatch(/Expect about 0\.6\d mm \(2\d\.\d thou\), written with a minus\./);
  });
});
