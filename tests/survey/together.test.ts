import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { adjust, adjustTogether } from "neck-survey";
import type { Difference, HeightTerm, LineShift, SurveySheet } from "neck-survey";
import { EDGE, NECK, along, bowed, exact, gapMm, lineNamed, overChord, place, sheet, sweep } from "./bench.js";
import type { Truth } from "./bench.js";

const SEED = 20261126;
const [X1, X11, X22] = [place(1).xMm, place(11).xMm, place(22).xMm];

function surveyed(truth: Truth, lines: readonly string[] = ["bass", "treble"], more: Partial<SurveySheet> = {}): SurveySheet {
  return { ...sheet(lines.map((line) => sweep(truth, lineNamed(line)))), ...more };
}

function lineOf(difference: Difference, line: string): LineShift {
  const found = difference.lines.find((candidate) => candidate.line === line);
  if (found === undefined) throw new RangeError(`no change of ${line}`);
  return found;
}

/** Frets as they were pressed, some of them high; bow on top. */
function fretted(reliefMm: number, moved: (line: string, fret: number) => number = () => 0): Truth {
  return (line, fret) => bowed(reliefMm)(line, fret) + 0.006 * Math.sin(37 * fret) + (fret === 7 ? 0.08 : 0) + moved(line, fret);
}

describe("two surveys adjusted together", () => {
  const before = surveyed(fretted(0.1));
  const after = surveyed(fretted(0.18), ["bass", "treble"], { stage: "after glue-up" });
  const together = adjustTogether(NECK, [before, after]);
  const difference = together.difference(0, 1);

  test("give the change of each line where both determine it, right within its uncertainty", () => {
    expect(difference.lines.map(({ line, from, to }) => [line, from.label, to.label])).toEqual([["bass", "1", "22"], ["treble", "1", "22"]]);
    const { xMm, changeMm, uMm } = lineOf(difference, "bass");
    const apart = xMm.map((x, index) => {
      const t = (x - X1) / (X22 - X1);
      return Math.abs((changeMm[index] ?? NaN) + 4 * 0.08 * t * (1 - t)) / Math.max(uMm[index] ?? NaN, 1e-4);
    });
    expect(Math.max(...apart)).toBeLessThan(3);
    expect(Math.max(...uMm)).toBeGreaterThan(0.002);
  });

  test("know a change better than either shape: edge and frets are the same ones", () => {
    const shape: readonly HeightTerm[] = [{ of: "neckLine", line: "bass", xMm: X11, weight: 1 }, { of: "neckLine", line: "bass", xMm: X1, weight: (X11 - X22) / (X22 - X1) }, { of: "neckLine", line: "bass", xMm: X22, weight: (X1 - X11) / (X22 - X1) }];
    const { u } = together.linear(lineOf(difference, "bass").at(X11));
    expect(u).toBeLessThan(0.6 * (together.surveys[0]?.linear(shape).u ?? NaN));
    expect(u).toBeLessThan(0.6 * (together.surveys[1]?.linear(shape).u ?? NaN));
  });

  test("answer for each survey as it was", () => {
    const found = together.surveys[1]?.heights.filter(({ line }) => line === "treble") ?? [];
    expect(found).toHaveLength(22);
    for (const { place: { fret }, heightMm, uMm } of found) expect(Math.abs(heightMm - overChord(fretted(0.18), "treble", fret ?? NaN))).toBeLessThan(3 * uMm + 1e-9);
    expect(together.surveys.map(({ sheet: { stage } }) => stage)).toEqual(["test", "after glue-up"]);
  });

  test("give joint draws of changes", () => {
    const terms = lineOf(difference, "bass").at(X11);
    const draws = together.draws([terms], 2000, SEED).map(([value = NaN]) => value);
    const mean = draws.reduce((sum, value) => sum + value, 0) / draws.length;
    const { value, u } = together.linear(terms);
    expect(Math.abs(mean - value)).toBeLessThan(0.1 * u);
    expect(Math.sqrt(draws.reduce((sum, one) => sum + (one - mean) ** 2, 0) / draws.length) / u).toBeCloseTo(1, 1);
  });

  test("refuse positions that are none, and a height against the other survey's, which no reading ties together", () => {
    expect(() => together.difference(0, 2)).toThrow("Cannot compare survey 0 with survey 2: expected two different positions from 0 to 1");
    const step: readonly HeightTerm[] = [{ of: "neckLine", line: "bass", xMm: X11, weight: 1, survey: 1 }, { of: "neckLine", line: "bass", xMm: X11, weight: -1 }];
    expect(together.determines(step)).toBe(false);
    expect(() => together.linear(step)).toThrow("do not sum to zero on every line");
    expect(() => adjustTogether(NECK, [before])).toThrow("expected two sheets or more, got 1");
    expect(() => adjustTogether(NECK, [before, { ...after, neck: "another" }])).toThrow('neck "another"');
  });
});

describe("a neck with a corner, in two surveys", () => {
  const kinked = (reliefMm: number): Truth => (line, fret) => bowed(reliefMm)(line, fret) - (0.12 * Math.abs(place(fret).xMm - place(6).xMm)) / 100;
  const sheets = [surveyed(kinked(0.15)), surveyed(kinked(0.22), ["bass", "treble"], { stage: "after glue-up" })];
  const together = adjustTogether(NECK, sheets);
  /** How far the line stands up at fret 6 over its chord from fret 2 to fret 10. */
  const kink = (survey: number, sign = 1): readonly HeightTerm[] => {
    const share = (place(6).xMm - place(2).xMm) / (place(10).xMm - place(2).xMm);
    return [[6, 1], [2, share - 1], [10, -share]].map(([fret = 0, weight = 0]): HeightTerm => ({ of: "neckLine", line: "bass", xMm: place(fret).xMm, weight: sign * weight, survey }));
  };

  test("is asked of each survey as that survey answers, corners allowed for", () => {
    for (const [survey, one] of together.surveys.entries()) {
      expect(together.linear(kink(survey))).toEqual(one.linear(kink(0)));
      expect(together.draws([kink(survey)], 200, SEED)).toEqual(one.draws([kink(0)], 200, SEED));
    }
  });

  test("is known at least as well as from one survey by itself, and as the same", () => {
    for (const [survey, one] of sheets.entries()) {
      const [found, alone] = [together.linear(kink(survey)), adjust(NECK, one).linear(kink(0))];
      expect(Math.abs(found.value - alone.value)).toBeLessThan(alone.u);
      expect(found.u).toBeLessThan(1.05 * alone.u);
      expect(found.u).toBeGreaterThan(0.5 * alone.u);
    }
  });

  test("keeps its corner out of a change, also drawn", () => {
    const { value, u, low95, high95 } = together.linear([...kink(1), ...kink(0, -1)]);
    const both = [0, 1].map((survey) => together.linear(kink(survey)).value);
    expect(Math.abs(value - ((both[1] ?? NaN) - (both[0] ?? NaN)))).toBeLessThan(u);
    expect(high95 - value).toBeCloseTo(value - low95, 12);
    // draws come in pairs about the mean of one normal: each corner has its own
    const normals = (...beside: readonly (readonly HeightTerm[])[]): number => {
      const draws = together.draws([[...kink(1), ...kink(0, -1)], ...beside], 400, SEED).map((draw) => draw[0] ?? NaN);
      return new Set(draws.flatMap((one, at) => (at % 2 === 0 ? [((one + (draws[at + 1] ?? NaN)) / 2).toFixed(9)] : []))).size;
    };
    expect(normals()).toBeLessThan(0.5 * normals(kink(0)));
  });
});

describe("the same readings twice", () => {
  test("have not changed", () => {
    const once = surveyed(fretted(0.1), ["centre"]);
    const { changeMm, uMm } = lineOf(adjustTogether(NECK, [once, once]).difference(0, 1), "centre");
    expect(Math.max(...changeMm.map(Math.abs))).toBeLessThan(0.003);
    expect(Math.max(...uMm)).toBeGreaterThan(0.003);
  });

  test("a change is the other way round backwards", () => {
    const both = adjustTogether(NECK, [surveyed(fretted(0.1), ["centre"]), surveyed(fretted(0.2), ["centre"])]);
    const [there, back] = [lineOf(both.difference(0, 1), "centre"), lineOf(both.difference(1, 0), "centre")];
    expect(back.changeMm.map((mm) => -mm + 0)).toEqual(there.changeMm.map((mm) => expect.closeTo(mm, 9) as number));
    expect(back.uMm).toEqual(there.uMm.map((mm) => expect.closeTo(mm, 9) as number));
  });
});

describe("frets between two surveys", () => {
  const seated = fretted(0.1, (_, fret) => (fret === 7 ? -0.08 : 0));
  const log = [{ fret: 7, line: "centre", steps: ["rocks 3", "tapped", "still"], origin: { source: "t", row: 1, column: "c" } }];

  test("that were reseated stand anew, and the line is not bent by it", () => {
    const together = adjustTogether(NECK, [surveyed(fretted(0.1), ["centre"]), surveyed(seated, ["centre"], { seating: log })]);
    expect(together.notes).toEqual(["survey 2: taken as reseated since the survey before (seating log): fret 7"]);
    const { frets, lines: [line] } = together.difference(0, 1);
    expect(frets.map(({ fret }) => fret)).toEqual([7]);
    expect(Math.abs((frets[0]?.change.value ?? NaN) + 0.08)).toBeLessThan(3 * (frets[0]?.change.u ?? NaN));
    expect(Math.max(...(line?.changeMm ?? [NaN]).map(Math.abs))).toBeLessThan(0.01);
  });

  test("that lifted without a word are found, and do not bend the line", () => {
    const lifted = fretted(0.1, (_, fret) => (fret === 12 ? 0.09 : 0));
    const together = adjustTogether(NECK, [surveyed(fretted(0.1), ["bass", "centre"]), surveyed(lifted, ["bass", "centre"])]);
    expect(together.notes).toEqual(["survey 2: fret 12 stands otherwise than in the survey before by more than your readings can do by luck, though no seating was logged: taken as moved"]);
    const { frets, lines } = together.difference(0, 1);
    expect(frets.map(({ line, fret }) => [line, fret])).toEqual([["bass", 12], ["centre", 12]]);
    for (const { change } of frets) expect(Math.abs(change.value - 0.09)).toBeLessThan(3 * change.u);
    for (const { changeMm } of lines) expect(Math.max(...changeMm.map(Math.abs))).toBeLessThan(0.012);
    expect(together.surveys.flatMap(({ blunders }) => blunders)).toEqual([]);
  });

  test("all stand anew where their state is another", () => {
    const levelled = surveyed(bowed(0.1), ["centre"], { state: { fretState: "levelled and crowned" } });
    const together = adjustTogether(NECK, [surveyed(fretted(0.1), ["centre"], { state: { fretState: "pressed" } }), levelled]);
    expect(together.notes).toEqual(["survey 2: the frets are in another state than before, so each may stand anew"]);
    expect(together.difference(0, 1).frets).toHaveLength(22);
    expect(together.surveys[1]?.blunders).toEqual([]);
  });
});

describe("what two surveys do not determine", () => {
  test("is named with the reading that would fix it", () => {
    const three = sheet([along("centre", [1, 8, 16].map((fret) => exact("centre", fret, gapMm(bowed(0.1), lineNamed("centre"), [1, 16], fret))))]);
    const two = sheet([along("centre", [exact("centre", 1, 0), exact("centre", 16, 0)]), along("bass", [1, 8, 16].map((fret) => exact("bass", fret, 0.01)))]);
    const { lines, undetermined } = adjustTogether(NECK, [three, two]).difference(0, 1);
    expect(lines).toEqual([]);
    expect(undetermined.map(({ line }) => line)).toEqual(["bass", "centre"]);
    expect(undetermined[1]?.need).toContain("lay the edge along the centre line");
  });

  test("a slip in one survey is named in that survey", () => {
    const good = surveyed(fretted(0.1), ["centre"]);
    const slipped = { ...good, settings: good.settings.map((setting) => ({ ...setting, readings: setting.readings.map((reading) => (reading.place.fret === 11 ? exact("centre", 11, 0.5) : reading)) })) };
    const [first, second] = adjustTogether(NECK, [good, slipped]).surveys;
    expect(first?.blunders).toEqual([]);
    expect(second?.blunders.map(({ at, survey }) => [at, survey])).toEqual([["11", 1]]);
  });
});

describe("invariance", () => {
  test("how the edge lay in the second survey does not matter", () => {
    const first = surveyed(fretted(0.1), ["centre"]);
    const frets = [1, 4, 8, 12, 16, 19, 22];
    const laid = (a: number, b: number): SurveySheet => sheet([along("centre", frets.map((fret) => exact("centre", fret, gapMm(fretted(0.15), lineNamed("centre"), [1, 22], fret) + a + b * (place(fret).xMm / 400))), EDGE)]);
    const changeOf = (a: number, b: number): readonly number[] => lineOf(adjustTogether(NECK, [first, laid(a, b)]).difference(0, 1), "centre").changeMm;
    const plain = changeOf(0.5, 0);
    fc.assert(fc.property(fc.double({ min: 0.5, max: 1, noNaN: true }), fc.double({ min: -0.3, max: 0.3, noNaN: true }), (a, b) => {
      const moved = changeOf(a, b);
      expect(Math.max(...moved.map((mm, index) => Math.abs(mm - (plain[index] ?? NaN))))).toBeLessThan(5e-4);
    }), { seed: SEED, numRuns: 3 });
  });
});
