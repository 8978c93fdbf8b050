import { describe, expect, test } from "vitest";
import { between, type ShipCheck } from "../../../src/advice/ship/judged.js";
import { doneBy, shipReport, type ShipAbout } from "../../../src/advice/ship/ship.js";
import { fretDistanceMm } from "../../../src/neck/frets.js";
import type { Neck } from "../../../src/neck/neck.js";
import { readBenchText } from "../../../src/readings/benchText.js";
import { neckLineRelief, reliefs } from "../../../src/shape/relief.js";
import { spansOf } from "../../../src/shape/span.js";
import { adjust } from "../../../src/survey/adjust.js";
import type { Survey } from "../../../src/survey/survey.js";
import { valueOrThrow } from "../../../src/units/problem.js";
import { inventedNeckFile, inventedSurvey } from "../levelPlan/surveyed.js";

const survey = inventedSurvey();
const withState = (state: Readonly<Record<string, string>>): Survey => ({ ...survey, sheet: { ...survey.sheet, state: { ...survey.sheet.state, ...state } } });

test("done is printed only where it was said", () => {
  expect(shipReport(withState({ fretState: "pressed, not levelled" })).done).toEqual([]);
});

describe("what the words of the readings say", () => {
  test.each([
    ["pressed, not levelled", []],
    ["to be levelled and crowned", []],
    ["unseated", []],
    ["partly levelled", []],
    ["seated, to be levelled", ["seated and checked"]],
    ["levelled and crowned", ["seated and checked", "levelled", "crowned and ends dressed"]],
    ["levelled, crowned, ends not dressed", ["seated and checked", "levelled"]],
    ["crowned, not levelled", ["seated and checked", "crowned and ends dressed"]],
    ["set up", ["seated and checked", "levelled", "crowned and ends dressed", "set up"]],
  ])("done by %s", (fretState, done) => expect(doneBy(fretState)).toEqual(done));

  test.each([["at pitch", "determined"], ["tuned to E", "determined"], ["off, detuned", "strings off"], ["not on", "strings off"], ["on, slack", "is not clear"]])("relief under strings of a neck read with its strings %s", (strings, found) => {
    const checks = shipReport(withState({ strings })).checks;
    const under = checks.find(({ what }) => what === "relief under strings");
    if (found === "determined") expect(under?.found).toMatch(/give or take/);
    else expect(under?.reason).toContain(found);
    expect(checks.some(({ what }) => what.startsWith("straightness as it lies"))).toBe(found === "strings off");
  });
});

const ALL = Array.from({ length: 22 }, (_, index) => index + 1);
const NECK = inventedNeckFile();
const x = (fret: number): number => fretDistanceMm(NECK.scaleLengthMm, fret);

/** An even bow over frets 1 to 22, read on some frets of some lines, strings on; lengths in thou. */
function bowed(mm: number, frets: readonly number[], lines: readonly string[], more = "", neck: Neck = NECK): Survey {
  const gap = (fret: number): string => {
    const t = (x(fret) - x(1)) / (x(22) - x(1));
    return `${((4 * mm * t * (1 - t)) / 0.0254).toFixed(1)}±0.2thou`;
  };
  const rows = frets.map((fret) => `${fret} ${lines.map(() => gap(fret)).join(" ")}`);
  return adjust(neck, valueOrThrow(readBenchText(neck, `rod: neutral\nstrings: on\nfret ${lines.join(" ")}\n${rows.join("\n")}\n${more}`, { source: "bench" }), "the readings"));
}

const LINES = ["bass", "centre", "treble"];
const STILL = "rocked frets 2-21 on bass, centre, treble: still\n";
const BARS = "sightingBars: 300 mm\nsightingBars treble\n1 0\n22 0.02mm±0.05mm\n";
const CROWNS = (mm: number, u: number): string => `crownGauge: 30 mm\ncrownGauge centre\n${ALL.map((fret) => `${fret} ${mm}mm±${u}mm`).join("\n")}\n`;
const check = (of: Survey, what: string, about: ShipAbout = {}): ShipCheck => {
  const found = shipReport(of, about).checks.find((one) => one.what === what);
  if (found === undefined) throw new Error(`no check of ${what}`);
  return found;
};

describe("what was not read is not passed", () => {
  const centre = bowed(0.2, ALL, ["centre"], "rocked frets 2-21 on centre: still\n");
  const third = bowed(0.2, ALL.filter((fret) => fret % 3 === 1), LINES);
  const whole = bowed(0.2, ALL, LINES, STILL);

  test("frets not read between those that were count as their neighbours allow; those read alone would pass", () => {
    const frets = check(third, "single frets");
    expect(frets.state).toBe("not sure");
    expect(frets.found).toContain("not read: frets");
    expect(frets.reason).toContain("where it was read, kept: almost surely right");
    // the survey's own draws of the unread frets say the same
    const unread = ALL.filter((fret) => fret % 3 !== 1);
    const forms = LINES.flatMap((line) => unread.map((fret) => [{ of: "fretTop", line, fret, weight: 1 }, { of: "neckLine", line, xMm: x(fret), weight: -1 }] as const));
    const kept = third.draws(forms, 2000, 5).filter((draw) => draw.every((mm) => mm <= 0.03)).length / 2000;
    expect(kept).toBeLessThan(0.9);
    expect(Math.abs((frets.probability ?? NaN) - kept)).toBeLessThan(0.05);
  });

  test("lines not read leave frets and relief open, and are named", () => {
    for (const what of ["single frets", "relief under strings"]) {
      const { state, reason, found, next, probability } = check(centre, what);
      expect([what, state, probability]).toEqual([what, "not sure", undefined]);
      expect(`${found} ${reason}`).toMatch(/bass and treble/);
      expect(next).toBeDefined();
    }
    expect(["single frets", "relief under strings"].map((what) => check(whole, what).state)).toEqual(["pass", "pass"]);
  });

  test("what was read still fails a neck of which the rest was not", () => {
    expect(check(bowed(0.9, ALL, ["centre"]), "relief under strings").state).toBe("fail");
  });

  test("the wire's stated height is no reading", () => {
    expect(check(whole, "crowns")).toMatchObject({ state: "not sure", reason: expect.stringContaining("none was measured") });
    expect(check(bowed(0.2, ALL, LINES, CROWNS(1.05, 0.01)), "crowns").state).toBe("pass");
  });
});

describe("all limits together", () => {
  test("relief is kept on all lines at once: less probably than on the least sure of them", () => {
    const table = [[1, "touch"], [4, 9], [8, 10], [12, 9], [16, "touch"]].map(([fret, gap]) => [fret, gap, gap, gap].join(" ")).join("\n");
    const nine = adjust(NECK, valueOrThrow(readBenchText(NECK, `strings: on\nrod: neutral\nfret bass centre treble\n${table}\n`, { source: "bench" }), "the readings"));
    const { probability = NaN } = check(nine, "relief under strings");
    const alone = reliefs(nine).map((one) => (one.status === "determined" ? between(one.relief, 0.1, 0.3) : NaN));
    const spans = spansOf(nine).flatMap((span) => (span.status === "read" ? [neckLineRelief(span)] : []));
    const draws = nine.draws(spans.flatMap(({ forms }) => forms), 4000, 77);
    const joint = draws.filter((draw) => spans.every(({ forms, value }, index) => {
      const mm = value(draw.subarray(index * forms.length, (index + 1) * forms.length));
      return mm >= 0.1 && mm <= 0.3;
    })).length / 4000;
    expect(Math.abs(probability - joint)).toBeLessThan(0.04);
    expect(probability).toBeLessThan(Math.min(...alone) - 0.02);
  });

  test("limits each kept at 0.96 or so do not make a neck that is almost surely right; surer ones do", () => {
    const neck = inventedNeckFile({ rod: { works: "none" } });
    const strung = bowed(0.2, ALL, LINES, `${STILL}${BARS}`, neck);
    const unstrung: Survey = { ...strung, sheet: { ...strung.sheet, state: { strings: "off" } } };
    const about = (value: number): ShipAbout => ({ underStrings: { value, u: 0.05, unit: "mm", low95: 0.1, high95: 0.3 } });
    const gauged = (mm: number): Survey => {
      const more = bowed(0.2, ALL, LINES, CROWNS(mm, 0.01), neck);
      return { ...unstrung, sheet: { ...unstrung.sheet, settings: [...unstrung.sheet.settings, ...more.sheet.settings.filter(({ tool }) => tool.kind === "crownGauge")] } };
    };
    // by hand: relief within 1.96 u either way is kept at 0.95; crowns 2.9 u over the limit on 22 frets are broken at 22 x 0.0019 at most
    const marginal = shipReport(gauged(0.779), { ...about(0.2), underStrings: { value: 0.2, u: 0.05, unit: "mm", low95: 0.1, high95: 0.3 } });
    expect(marginal.checks.map(({ what, state }) => `${what}: ${state}`)).toEqual(expect.arrayContaining(["relief under strings: pass", "crowns: pass", "single frets: pass", "twist: pass", "rod: pass"]));
    expect(marginal.state).toBe("not sure");
    expect(marginal.atLeast ?? NaN).toBeCloseTo(1 - 0.0455 - 22 * 0.001866, 1);
    expect(marginal.headline).toContain("not all of them together");
    const sure = shipReport(gauged(1.0), { underStrings: { value: 0.2, u: 0.02, unit: "mm", low95: 0.16, high95: 0.24 } });
    expect([sure.state, sure.headline]).toEqual(["pass", expect.stringContaining("almost surely")]);
  });

  test("a prediction that holds no number is refused with a sentence", () => {
    expect(() => shipReport(survey, { underStrings: { value: NaN, u: 0.02, unit: "mm", low95: 0, high95: 0 } })).toThrow("leave underStrings out");
    expect(() => shipReport({ ...survey, neck: { ...survey.neck, limits: { reliefMinMm: 0.3, reliefMaxMm: 0.1 } } })).toThrow("swap the two");
  });
});
