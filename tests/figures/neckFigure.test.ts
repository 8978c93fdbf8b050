import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { neckFigure } from "../../src/figures/neckFigure.js";
import type { Figure, Json } from "../../src/figures/figure.js";
import { textWidthPx } from "../../src/figures/text.js";
import type { Survey } from "../../src/survey/survey.js";
import { normalMm } from "../../src/units/measured.js";
import { fretPlace, neck, reliefs, sheet, survey, surveyOf } from "./handmade.js";
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
    for (const widthPx of [480, 600, 900, 1400]) {
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
    const odd: Survey = { ...survey, blunders: [{ line: first.line, at: "7", read: "gap", written: "9 thou", source: "a", row: 3, column: "gap", expectedMm: 0.1, uMm: 0.01, normalisedResidual: 6, rivals: [], sentence: "found 9, expected about 4" }] };
    const figure = neckFigure(odd);
    expect(texts(figure.data).join(" ")).toContain("does not fit:</b> found 9, expected about 4");
    expect(texts([figure.layout]).join(" ")).toContain("Ringed: a reading that does not fit the others (fret 7 bass).");
    expect(figure.data.some((trace) => JSON.stringify(trace["marker"] ?? {}).includes("circle-open"))).toBe(true);
  });

  test("refuses a width and a line it cannot draw", () => {
    expect(() => neckFigure(survey, { widthPx: 100 })).toThrow("Cannot draw the neck: expected a width of 480 to 1600 px, got 100");
    expect(() => neckFigure(survey, { widthPx: Number.NaN })).toThrow("got NaN");
    expect(() => neckFigure(survey, { panelPx: 10 })).toThrow("Cannot draw the neck: expected panels 60 to 600 px high, got 10");
    expect(() => neckFigure(survey, { lines: ["tenor"] })).toThrow("Cannot draw line tenor: the lines of this neck are bass, centre, treble");
  });

  test("says of the ends of the chord that they are, not that they are known perfectly", () => {
    const hovers = texts(neckFigure(survey).data).filter((text) => /^<b>fret (1|16), /.test(text));
    expect(hovers).toHaveLength(6);
    for (const hover of hovers) {
      expect(hover.replace(/<br>/g, " ")).toContain("an end of the chord: its height is 0 by agreement");
      expect(hover).not.toContain("0.00 mm, give or take 0.00");
    }
  });

  test("says of a fret how far it stands from the chord and from the neck line, and of no fret that it bows", () => {
    const high = { ...survey, linear: () => normalMm(0.06, 0.005) };
    const hover = texts(neckFigure(high).data).find((text) => text.startsWith("<b>fret 9, bass"))?.replace(/<br>/g, " ") ?? "";
    expect(hover).toMatch(/below the chord by 0\.\d\d mm, give or take 0\.02 \(/);
    expect(hover).toContain("above the neck line by 0.06 mm, give or take 0.01 (2.4 thou, give or take 0.4)");
    expect(hover).not.toContain("bow");
  });

  test("keeps hover boxes narrow enough for the narrowest page", () => {
    const rows = texts(neckFigure(survey).data).filter((text) => text.startsWith("<b>")).flatMap((text) => text.split("<br>"));
    expect(Math.max(...rows.map((row) => textWidthPx(row.replace(/<[^>]*>/g, ""), 13)))).toBeLessThan(400);
  });

  test("names the chord of the heights and the chord of the relief apart where they differ, once each", () => {
    const named = (figure: Figure): readonly Json[] => figure.data.filter((trace) => trace["showlegend"] === true && (trace["legendgroup"] === "chord" || trace["legendgroup"] === "relief")).map((trace) => trace["name"] ?? null);
    const longer = { ...survey, datum: survey.datum.map((datum) => ({ ...datum, to: fretPlace(22) })) };
    expect(named(neckFigure(longer, { reliefs }))).toEqual(["height 0: chord, first to last fret read", "chord of the relief, fret 1 to joint"]);
    expect(texts([neckFigure(longer, { reliefs }).layout]).join(" ").replace(/<br>/g, " ")).toContain("Arrow: relief, from its own chord (thin line, frets 1 and 16) to the neck line.");
    expect(named(neckFigure(survey, { reliefs }))).toEqual(["height 0: chord, first to last fret read; relief too"]);
    expect(named(neckFigure(longer))).toEqual(["height 0: chord, first to last fret read"]);
  });

  test("brackets the frets that stand up together over every line, and only then", () => {
    const zone = { fromFret: 8, toFret: 12, up: normalMm(0.07, 0.01), probability: 0.97, probabilityBoard: 0.5, probabilityFrets: 0.47 };
    const zoned = texts([neckFigure({ ...survey, zones: [zone] }).layout]);
    expect(zoned.filter((text) => text === "frets 8 to 12 up together")).toHaveLength(3);
    expect(zoned.join(" ").replace(/<br>/g, " ")).toContain("Bracket: frets 8 to 12 up together by 0.07 mm, give or take 0.02");
    expect(texts([neckFigure({ ...survey, zones: [{ ...zone, probability: 0.6 }] }).layout])).toContain("perhaps frets 8 to 12 up together");
    expect(texts([neckFigure(survey).layout]).join(" ")).not.toMatch(/Bracket|together/);
  });

  test("is laid out anew for narrower pages with the same ranges, so that its data and a zoomed frame stay", () => {
    const figure = neckFigure(survey, { reliefs });
    expect(figure.narrower.map(({ widthPx }) => widthPx)).toEqual([780, 660, 560, 480]);
    for (const { widthPx, heightPx, layout } of figure.narrower) {
      const alone = neckFigure(survey, { reliefs, widthPx });
      expect([alone.data, alone.layout, alone.heightPx]).toEqual([figure.data, layout, heightPx]);
      for (const axis of Object.keys(figure.layout).filter((key) => /^[xy]axis/.test(key))) expect(Reflect.get(Object(layout[axis]), "range")).toEqual(Reflect.get(Object(figure.layout[axis]), "range"));
    }
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
