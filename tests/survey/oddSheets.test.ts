import { describe, expect, test } from "vitest";
import { adjust, adjustTogether, fretDistanceMm, readBenchText, reliefs, valueOrThrow, verdict } from "neck-survey";
import type { GapReading, Survey, SurveySheet } from "neck-survey";
import { NECK, ROCKER, along, bowed, exact, lineNamed, sheet, sweep } from "./bench.js";
import type { Truth } from "./bench.js";

function surveyed(text: string): Survey {
  return adjust(NECK, valueOrThrow(readBenchText(NECK, text), "the bench text"));
}

const SLIP = "fret centre\n1 touch\n3 3\n5 6\n7 8\n9 18\n11 8\n13 6\n16 touch\n";

describe("sheets made in code", () => {
  const three = (gap: GapReading["gap"]): SurveySheet => sheet([along("centre", [exact("centre", 1, 0), { ...exact("centre", 8, 0.2), gap }, exact("centre", 16, 0)])]);

  test("with an uncertainty of 0 are refused: which reading, what was expected, what to give", () => {
    expect(() => adjust(NECK, three({ kind: "exact", gapMm: 0.2, uMm: 0 }))).toThrow(
      'Cannot use these readings: found the reading "0.2000 mm" at fret 8, first setting of the edge, centre (test sheet, row 8), with uMm 0; expected a standard uncertainty in mm above 0: no reading is exact (give what the eye or the tool is good for, as 0.003 for what was seen touching and 0.01 for a dial; what a leaf says is an interval and has none)');
    expect(() => adjustTogether(NECK, [three({ kind: "exact", gapMm: 0.2, uMm: 0.003 }), three({ kind: "exact", gapMm: 0.2, uMm: 0 })])).toThrow("with uMm 0; expected");
  });

  test.each<readonly [string, SurveySheet, string]>([
    ["an uncertainty below 0", three({ kind: "exact", gapMm: 0.2, uMm: -0.003 }), "with uMm -0.003; expected"],
    ["a gap that is no number", three({ kind: "exact", gapMm: NaN, uMm: 0.003 }), "with gapMm NaN; expected the gap in mm (leave the reading out"],
    ["an interval whose ends are swapped", three({ kind: "interval", lowMm: 0.3, highMm: 0.2, endsUMm: 0.002 }), "with a gap from 0.3 to 0.2 mm; expected an interval from its lower to its higher end"],
    ["ends of no known uncertainty", three({ kind: "interval", lowMm: 0.2, highMm: 0.3, endsUMm: NaN }), "with endsUMm NaN; expected"],
    ["a hand without feel", { ...three({ kind: "exact", gapMm: 0.2, uMm: 0.003 }), feelMm: -0.005 }, "found feelMm -0.005; expected the feel of the hand in mm, 0 or more"],
    ["a rocker of no height", { ...three({ kind: "exact", gapMm: 0.2, uMm: 0.003 }), rockers: [{ line: "centre", frets: [7, 8, 9], deltaMm: { low: NaN, high: 0.02 }, endsUMm: 0.002, tool: ROCKER, written: "2", origin: { source: "t", row: 3, column: "c" } }] }, 'the reading "2" at fret 8, centre (t, row 3), with deltaMm from NaN to 0.02 mm'],
  ])("with %s are refused", (_, odd, message) => {
    expect(() => adjust(NECK, odd)).toThrow(message);
  });

  test.each(["dialBar", "sightingBars", "crownGauge"] as const)("a bow that is stated of a tool in whose readings it does not show (%s) is no reason to know its zero better: its readings are left aside, and named", (kind) => {
    const stated = { name: kind, kind, lengthMm: 80, straightnessToleranceMm: 0.1, bow: { mm: 0.05, uMm: 0.001 } } as const;
    const edge = along("centre", [1, 4, 8, 12, 16].map((fret) => exact("centre", fret, 0.1)));
    const survey = adjust(NECK, sheet([edge, { ...along("centre", [5, 8, 11].map((fret) => exact("centre", fret, 0.05, 0.01)), stated), label: `first setting of the ${kind}, centre` }]));
    expect(survey.heights).toEqual(adjust(NECK, sheet([edge])).heights);
    expect(survey.notes.join(" ")).toMatch(new RegExp(`^first setting of the ${kind}, centre \\(3 readings\\) is kept but not used: it is stated as hollow or crowned, but .* leave it out, `));
  });
});

describe("sheets of an odd kind", () => {
  test("a rocker pass alone has no relief, says what to read, and breaks nothing", () => {
    const survey = surveyed("rocked frets 2-21 on bass, centre, treble: still except 7 treble rocks 2, 14 centre rocks");
    expect(reliefs(survey).map(({ status }) => status)).toEqual(["undetermined", "undetermined", "undetermined"]);
    expect(verdict(survey).headline).toBe("test neck: these readings do not yet determine its shape.");
  });

  test("a rocker pass beside an edge whose only gap is open", () => {
    const survey = surveyed("fret centre\n9 >1.5\n\nrocked frets 2-21 on centre: still");
    expect(survey.heights).toEqual([]);
    expect(reliefs(survey)[0]?.status).toBe("undetermined");
  });

  test("two neighbouring high frets are not a back bow", () => {
    const survey = surveyed("rocked frets 7-8 on centre: still except 7 centre rocks 2, 8 centre rocks 2");
    expect(reliefs(survey).every(({ status }) => status === "undetermined")).toBe(true);
  });

  test("three readings close together say nothing of the relief of the neck", () => {
    const [relief] = reliefs(surveyed("fret centre\n5 touch\n7 3\n9 touch"));
    expect(relief?.describe()).toContain("not determined by these readings");
  });

  test("a setting with a single reading does not stand in the way of finding a slip", () => {
    const survey = surveyed(`${SLIP}\nfret treble\n7 4\n`);
    expect(survey.blunders.map(({ at }) => at)).toEqual(["9"]);
  });

  test("neither does an uninformative second setting", () => {
    const survey = surveyed(`${SLIP}\nfret centre\n5 4\n13 5\n`);
    expect(survey.blunders.map(({ at, line }) => [at, line])).toEqual([["9", "centre"]]);
    const [relief] = reliefs(survey);
    expect(relief?.status === "determined" && relief.relief.value < 0.25).toBe(true);
  });

  test("a fret that is not pressed home is a high fret, not a slip", () => {
    // the edge bears on fret 9, 0.25 mm up, and is pressed down on fret 1: the other gaps are wide
    const survey = surveyed("unit: mm\nfret centre\n1 touch\n3 0.06..0.08\n5 0.13..0.15\n7 0.20..0.22\n9 touch\n11 0.30..0.35\n13 0.35..0.40\n16 0.43..0.48");
    expect(survey.blunders).toEqual([]);
    expect(verdict(survey).where.join(" ")).toMatch(/Fret 9 stands above the neck line on the centre line: 0\.2\d mm/);
  });

  test("wood and fret tops of one line keep a datum each; heights are those of the fret tops", () => {
    const survey = surveyed("fret centre\n1 touch\n7 10\n16 touch\n\nsurface: wood\nnotched centre\n2.5 40\n5.5 >40\n");
    expect(survey.heights.map(({ surface, at }) => [surface, at])).toEqual([["fretTops", "1"], ["fretTops", "7"], ["fretTops", "16"]]);
    expect(survey.undetermined).toEqual([]);
    expect(reliefs(survey)[0]).toMatchObject({ status: "determined", from: { label: "1" }, to: { label: "16" } });
  });

  test("a neck that has wound: what one line does does not bend the other, nor lift its frets", () => {
    const both = surveyed("fret bass treble\n1 touch touch\n2 - touch\n3 6 light\n5 10 3\n7 13 7\n9 13 10\n12 9 17\n14 5 22\n16 touch 28\n");
    const alone = surveyed("fret bass\n1 touch\n3 6\n5 10\n7 13\n9 13\n12 9\n14 5\n16 touch\n");
    const [relief, own] = [reliefs(both)[0], reliefs(alone)[0]];
    if (relief?.status !== "determined" || own?.status !== "determined") throw new Error("expected both reliefs to be determined");
    // beside a line that bends otherwise it is less sure of the first, but no more than twice that off it (integrated densely: 0.316 beside 0.351 mm)
    expect(relief.relief.u).toBeLessThan(3 * own.relief.u);
    expect(Math.abs(relief.relief.value - own.relief.value)).toBeLessThan(2 * relief.relief.u);
    const surelyHigh = both.heights.filter(({ line, place: { fret, xMm } }) => fret !== undefined && both.linear([{ of: "fretTop", line, fret, weight: 1 }, { of: "neckLine", line, xMm, weight: -1 }]).low95 > 0.03);
    expect(surelyHigh.map(({ line, at }) => `${at} ${line}`)).toEqual([]);
  });

  test("a slip is named beside a gap that a high fret explains", () => {
    const raised: Truth = (line, fret) => bowed(0.8)(line, fret) + (line === "centre" && fret === 8 ? 0.3 : 0);
    const slipped = NECK.lines.map((line) => {
      const setting = sweep(raised, line);
      return line.name !== "centre" ? setting : { ...setting, readings: setting.readings.map((reading) => (reading.place.fret === 16 && reading.gap.kind === "interval" ? { ...reading, gap: { ...reading.gap, lowMm: reading.gap.lowMm + 0.2, highMm: reading.gap.highMm + 0.2 } } : reading)) };
    });
    expect(adjust(NECK, sheet(slipped)).blunders.map(({ at, line }) => `${at} ${line}`)).toEqual(["16 centre"]);
  });

  test("a hollow rocker is reckoned with: it shows the middle crown lower by a known amount", () => {
    const middleMm = (bow: string): number => {
      const survey = surveyed(`rocker: 75 mm, straight within 0.002 mm${bow}\nfret centre\n1 touch\n3 4\n5 6\n12 8\n16 touch\n\nrocked frets 7-9 on centre: still except 8 centre rocks 6\n`);
      return survey.linear([{ of: "fretTop", line: "centre", fret: 8, weight: 1 }, { of: "neckLine", line: "centre", xMm: fretDistanceMm(NECK.scaleLengthMm, 8), weight: -1 }]).value;
    };
    const [hollow, crowned] = [middleMm(", hollow 0.02±0.001 mm"), middleMm(", crowned 0.02±0.001 mm")];
    expect(Math.abs(hollow - crowned)).toBeGreaterThan(0.005);
    expect(hollow).toBeGreaterThan(crowned);
  });

  test("as many draws as were asked for, an odd number too", () => {
    const survey = surveyed("fret centre\n1 touch\n7 9\n16 touch\n");
    const terms = [[{ of: "fretTop", line: "centre", fret: 7, weight: 1 }, { of: "neckLine", line: "centre", xMm: fretDistanceMm(NECK.scaleLengthMm, 7), weight: -1 }]] as const;
    for (const count of [1, 2, 5]) expect(survey.draws(terms, count, 1)).toHaveLength(count);
  });

  test("a free board among several surveys has no body joint, and bends there no more than elsewhere", () => {
    const [first, joint, last] = [10, 16, 22].map((fret) => fretDistanceMm(NECK.scaleLengthMm, fret));
    const humpU = (stage: string): number => {
      const sheets = [0.3, 0.35].map((mm) => ({ ...sheet([sweep(bowed(mm), lineNamed("centre"))]), stage }));
      const at = (xMm = 0, weight = 0): { readonly of: "neckLine"; readonly line: string; readonly xMm: number; readonly weight: number } => ({ of: "neckLine", line: "centre", xMm, weight });
      const share = ((joint ?? 0) - (first ?? 0)) / ((last ?? 0) - (first ?? 0));
      return adjustTogether(NECK, sheets).linear([at(first, share - 1), at(joint, 1), at(last, -share)]).u;
    };
    expect(humpU("fretted board, not glued")).not.toBeCloseTo(humpU("glued"), 6);
  });
});
