import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { neckFigure } from "../../src/figures/neckFigure.js";
import type { Json } from "../../src/figures/figure.js";
import type { Survey } from "../../src/survey/survey.js";
import { normalMm } from "../../src/units/measured.js";
import { neck, reliefs, sheet, survey, surveyOf } from "./handmade.js";
import { rounded } from "./rounded.js";

function texts(value: Json | readonly Json[]): readonly string[] {
  if (typeof value === "string") return [value];
  if (Array.isArray(value)) return value.flatMap(texts);
  return typeof value === "object" && value !== null ? Object.values(value).flatMap(texts) : [];
}

function numberAt(value: unknown, path: readonly (string | number)[]): number {
  const found = path.reduce<unknown>((inner, key) => (typeof inner === "object" && inner !== null ? Reflect.get(inner, key) : undefined), value);
  if (typeof found !== "number") throw new Error(`no number at ${path.join(".")}`);
  return found;
}

describe("neckFigure", () => {
  test("draws three lines as in the snapshot", () => {
    expect(rounded(neckFigure(survey, { reliefs }))).toMatchSnapshot();
  });

  test("draws one line, thou first, as in the snapshot", () => {
    expect(rounded(neckFigure(surveyOf(["treble"]), { reliefs, order: "thou first", widthPx: 600 }))).toMatchSnapshot();
  });

  test("states how much too tall heights are drawn, as the axes have it", () => {
    for (const widthPx of [600, 900, 1400]) {
      const figure = neckFigure(survey, { widthPx });
      const at = (...path: readonly (string | number)[]): number => numberAt(figure.layout, path);
      const panelPx = (at("height") - at("margin", "t") - at("margin", "b")) * (at("yaxis", "domain", 1) - at("yaxis", "domain", 0));
      const up = panelPx / (at("yaxis", "range", 1) - at("yaxis", "range", 0));
      const along = (at("width") - at("margin", "l") - at("margin", "r")) / (at("xaxis", "range", 1) - at("xaxis", "range", 0));
      const stated = Number(/drawn (\d+) times too tall/.exec(texts([figure.layout]).join(" "))?.[1]);
      expect(stated / (up / along)).toBeGreaterThan(0.95);
      expect(stated / (up / along)).toBeLessThan(1.05);
    }
  });

  test("draws every height and every reading behind it, as typed", () => {
    const figure = neckFigure(survey);
    const hovers = texts(figure.data).join("\n");
    for (const height of survey.heights) {
      expect(hovers).toContain(`fret ${height.at}, ${height.line}`);
      for (const reading of height.readings) expect(hovers).toContain(`read: ${reading.written}`);
    }
    expect(hovers).toMatch(/-?\d\.\d\d mm, give or take .* \(-?\d+\.\d thou, give or take/);
  });

  test("says forward bow and back bow with their brackets", () => {
    const back = neckFigure(survey, { reliefs: reliefs.map((relief) => (relief.status === "determined" ? { ...relief, relief: normalMm(-0.1, 0.01) } : relief)) });
    expect(texts([neckFigure(survey, { reliefs }).layout]).join(" ")).toContain("forward bow (middle low), 0.21 mm, give or take 0.02 (8.3 thou, give or take 0.9)");
    expect(texts([back.layout]).join(" ")).toContain("back bow (middle high), 0.10 mm");
  });

  test("does not call a line bowed whose interval holds both ways", () => {
    const open = neckFigure(survey, { reliefs: reliefs.map((relief) => (relief.status === "determined" ? { ...relief, relief: normalMm(0.004, 0.02) } : relief)) });
    expect(texts([open.layout]).join(" ")).toContain("straight within what was read");
  });

  test("tells lines apart by marker, dash and hatching, not by colour alone", () => {
    const { data } = neckFigure(survey);
    const of = (key: string): readonly string[] => data.filter((trace) => trace["legendgroup"] === key).map((trace) => JSON.stringify([trace["line"], trace["marker"], trace["fillpattern"]]).replace(/#[0-9a-f]{6}/g, ""));
    expect(new Set(of("points")).size).toBe(3);
    expect(new Set(of("band")).size).toBe(3);
    expect(new Set(data.filter((trace) => trace["name"] === "neck line").map((trace) => JSON.stringify(trace["line"]).replace(/#[0-9a-f]{6}/g, ""))).size).toBe(3);
  });

  test("keeps every text at 12 px or more", () => {
    const sizes = JSON.stringify(neckFigure(survey, { reliefs })).matchAll(/"font":\{[^}]*"size":(\d+)/g);
    expect([...sizes].every((match) => Number(match[1]) >= 12)).toBe(true);
  });

  test("names a line without readings and draws the others", () => {
    const figure = neckFigure(surveyOf(["bass"]));
    expect(texts([figure.layout]).join(" ")).toContain("Not drawn for want of readings: centre, treble.");
    expect(figure.alt).toContain("bass");
    expect(figure.alt).not.toContain("treble");
  });

  test("draws an empty sheet with a sentence when nothing is determined", () => {
    const figure = neckFigure(surveyOf([]));
    expect(texts([figure.layout]).join(" ")).toContain("No place on this neck is determined yet");
    expect(figure.alt).toContain("No place is determined yet");
  });

  test("rings a reading that does not fit and says why on hover", () => {
    const [first] = survey.heights.filter((height) => height.at === "7");
    if (first === undefined) throw new Error("fret 7 is read");
    const odd: Survey = { ...survey, blunders: [{ line: first.line, at: "7", written: "9 thou", source: "a", row: 3, column: "gap", expectedMm: 0.1, uMm: 0.01, normalisedResidual: 6, sentence: "found 9, expected about 4" }] };
    const figure = neckFigure(odd);
    expect(texts(figure.data).join(" ")).toContain("does not fit:</b> found 9, expected about 4");
    expect(texts([figure.layout]).join(" ")).toContain("Ringed: a reading that does not fit the others (fret 7 bass).");
    expect(figure.data.some((trace) => JSON.stringify(trace["marker"] ?? {}).includes("circle-open"))).toBe(true);
  });

  test("refuses a width and a line it cannot draw", () => {
    expect(() => neckFigure(survey, { widthPx: 100 })).toThrow("Cannot draw the neck: expected a width of 600 to 1600 px, got 100");
    expect(() => neckFigure(survey, { widthPx: Number.NaN })).toThrow("got NaN");
    expect(() => neckFigure(survey, { lines: ["tenor"] })).toThrow("Cannot draw line tenor: the lines of this neck are bass, centre, treble");
  });

  test("is plain JSON without a hole, whatever was read", () => {
    fc.assert(fc.property(fc.array(fc.tuple(fc.integer({ min: 0, max: 23 }), fc.double({ min: -3, max: 3, noNaN: true }), fc.double({ min: 0, max: 5, noNaN: true })), { maxLength: 24 }), (changes) => {
      const heights = survey.heights.map((height, index) => {
        const change = changes.find(([at]) => at === index);
        return change === undefined ? height : { ...height, heightMm: change[1], uMm: change[2] };
      });
      const figure = neckFigure({ ...survey, heights }, { reliefs });
      expect(JSON.parse(JSON.stringify(figure))).toEqual(figure);
      expect(JSON.stringify(figure)).not.toMatch(/NaN|Infinity|undefined/);
    }), { seed: 20_260_314, numRuns: 60 });
  });

  test("shows what the user typed without letting any of it act", () => {
    const nasty = "<img src=x onerror=alert(1)> & <b>7</b> $x^2$ %{x} \u2028";
    const named = { ...neck, name: nasty };
    const typed: Survey = {
      ...survey, neck: named, sheet: { ...sheet, stage: nasty, date: nasty },
      heights: survey.heights.map((height) => ({ ...height, readings: height.readings.map((reading) => ({ ...reading, written: nasty, origin: { source: nasty, row: 1, column: nasty } })) })),
    };
    const figure = neckFigure(typed, { reliefs });
    const tags = texts([...figure.data, figure.layout]).flatMap((text) => text.match(/<[^>]*>/g) ?? []);
    expect(new Set(tags)).toEqual(new Set(["<b>", "</b>", "<br>"]));
    expect(texts([...figure.data, figure.layout]).join(" ")).not.toMatch(/\$/);
    expect(JSON.stringify(figure)).not.toContain("hovertemplate");
    expect(figure.fileName).toMatch(/^[a-z0-9-]+$/);
  });
});
