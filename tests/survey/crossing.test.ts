import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { adjust, twistTerms } from "neck-survey";
import type { EdgeSetting, Measured, Survey } from "neck-survey";
import { NECK, place, sheet } from "./bench.js";
import { across, bars, board, diagonal, lengthwise, yOf } from "./board.js";
import type { Board } from "./board.js";

const SEED = 20261125;
const [X1, X22] = [place(1).xMm, place(22).xMm];
const EXACT = { uMm: 0.004 };
const twisted = board({ bowMm: 0.2, twistMm: 0.25, crownMm: 0.04 });

function edges(heights: Board): readonly EdgeSetting[] {
  return NECK.lines.map(({ name }) => lengthwise(heights, name, EXACT));
}

function trueTwist(heights: Board): number {
  return twistTerms(NECK, X1, X22).reduce((sum, term) => sum + term.weight * (term.of === "neckLine" ? heights(term.xMm, yOf(term.line, term.xMm)) : NaN), 0);
}

function twistOf(survey: Survey): Measured {
  if (survey.twist.status === "undetermined") throw new RangeError(survey.twist.need);
  return survey.linear(survey.twist.between(X1, X22));
}

describe("twist", () => {
  test("is the height of the treble edge over the width, and rolling the neck leaves it alone", () => {
    expect(trueTwist(twisted)).toBeCloseTo(0.25, 10);
    expect(trueTwist((x, y) => twisted(x, y) + 0.01 * y + 0.002 * x)).toBeCloseTo(0.25, 10);
  });

  test.each([
    ["both diagonals", [diagonal(twisted, "bass", "treble", EXACT), diagonal(twisted, "treble", "bass", EXACT)], 0.03],
    ["both diagonals, read with leaves", [diagonal(twisted, "bass", "treble", "leaves"), diagonal(twisted, "treble", "bass", "leaves")], 0.05],
    ["two sighting bars", [bars(twisted, 0.05)], 0.04],
  ] as const)("is determined by %s", (_, settings, most) => {
    const found = twistOf(adjust(NECK, sheet([...edges(twisted), ...settings])));
    expect(Math.abs(found.value - 0.25)).toBeLessThan(2 * found.u);
    expect(found.u).toBeLessThan(most);
    expect(found.u).toBeGreaterThan(0.003);
  });

  test.each([
    ["edges along the lines alone", []],
    ["one diagonal", [diagonal(twisted, "bass", "treble", EXACT)]],
    ["an edge across at both ends, its tilt being free", [across(twisted, 1, 0.004), across(twisted, 22, 0.004)]],
    ["sighting bars that were laid at one place", [{ ...bars(twisted, 0.05), readings: bars(twisted, 0.05).readings.slice(0, 1) }]],
  ] as const)("is not determined by %s; the answer names the reading that would fix it", (_, settings) => {
    const survey = adjust(NECK, sheet([...edges(twisted), ...settings]));
    const need = "lay two sighting bars across, at fret 1 and at the last fret, or read gaps under the edge along both diagonals";
    expect(survey.twist).toEqual({ status: "undetermined", need });
    expect(survey.determines(twistTerms(NECK, X1, X22))).toBe(false);
    expect(() => survey.linear(twistTerms(NECK, X1, X22))).toThrow(need);
    expect(() => survey.draws([twistTerms(NECK, X1, X22)], 4, 1)).toThrow(need);
    expect(survey.undetermined.filter(({ what }) => what === "the twist")).toHaveLength(settings.length === 0 ? 0 : 1);
    expect(survey.heights.length).toBeGreaterThan(0);
  });

  test("one diagonal leaves a combination of twist and crown: a neck with both of them reads as one with neither", () => {
    const gaps = (heights: Board): readonly number[] => {
      const read = diagonal(heights, "bass", "treble", EXACT).readings.map(({ gap, place: { xMm } }) => ({ xMm, mm: gap.kind === "exact" ? gap.gapMm : NaN }));
      const [first = { xMm: NaN, mm: NaN }, last = { xMm: NaN, mm: NaN }] = [read[0], read.at(-1)];
      return read.map(({ xMm, mm }) => mm - first.mm - ((last.mm - first.mm) * (xMm - first.xMm)) / (last.xMm - first.xMm));
    };
    const [twist, crown, flat] = [board({ twistMm: 0.2 }), board({ crownMm: 0.1 }), board({})].map(gaps);
    const apart = (a: readonly number[] | undefined, index: number): number => (a?.[index] ?? NaN) - (flat?.[index] ?? NaN);
    const shares = [1, 2, 3].map((index) => apart(twist, index) / apart(crown, index));
    expect(Math.max(...shares) / Math.min(...shares)).toBeCloseTo(1, 1);
  });

  test("edges across see the crown across", () => {
    const survey = adjust(NECK, sheet([...edges(twisted), across(twisted, 8, 0.004)]));
    const { xMm } = place(8);
    const [bass, centre, treble] = ["bass", "centre", "treble"].map((line) => yOf(line, xMm));
    if (bass === undefined || centre === undefined || treble === undefined) throw new RangeError("three lines");
    const share = (centre - bass) / (treble - bass);
    const crown = [{ of: "neckLine", line: "centre", xMm, weight: -1 }, { of: "neckLine", line: "bass", xMm, weight: 1 - share }, { of: "neckLine", line: "treble", xMm, weight: share }] as const;
    const truth = (1 - share) * twisted(xMm, bass) + share * twisted(xMm, treble) - twisted(xMm, centre);
    expect(survey.determines(crown)).toBe(true);
    expect(Math.abs(survey.linear(crown).value - truth)).toBeLessThan(2 * survey.linear(crown).u);
    expect(survey.linear(crown).u).toBeLessThan(0.02);
  });

  test("of any amount is found, whatever the bow and crown are", () => {
    fc.assert(fc.property(fc.double({ min: -0.5, max: 0.5, noNaN: true }), fc.double({ min: -0.3, max: 0.3, noNaN: true }), fc.double({ min: -0.1, max: 0.1, noNaN: true }), (twistMm, bowMm, crownMm) => {
      const heights = board({ twistMm, bowMm, crownMm });
      const found = twistOf(adjust(NECK, sheet([diagonal(heights, "bass", "treble", EXACT), diagonal(heights, "treble", "bass", EXACT)])));
      expect(Math.abs(found.value - twistMm)).toBeLessThan(2.5 * found.u);
    }), { seed: SEED, numRuns: 5 });
  });
});

describe("settings that cross the lines", () => {
  test("leave the plain survey's heights alone where they say nothing of them", () => {
    const plain = adjust(NECK, sheet(edges(twisted)));
    const more = adjust(NECK, sheet([...edges(twisted), bars(twisted, 0.05)]));
    const shifts = plain.heights.map(({ heightMm }, index) => Math.abs(heightMm - (more.heights[index]?.heightMm ?? NaN)));
    expect(Math.max(...shifts)).toBeLessThan(0.002);
  });

  test("count whichever way round they come", () => {
    const settings = [...edges(twisted), diagonal(twisted, "bass", "treble", EXACT), diagonal(twisted, "treble", "bass", EXACT)];
    const [one, other] = [settings, settings.toReversed()].map((all) => twistOf(adjust(NECK, sheet(all))));
    expect(other?.value).toBeCloseTo(one?.value ?? NaN, 4);
    expect(other?.u).toBeCloseTo(one?.u ?? NaN, 4);
  });
});
