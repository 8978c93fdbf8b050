import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { bowFigure } from "../../src/figures/bowFigure.js";
import type { DrawnBow } from "../../src/figures/bowDrawing.js";
import { openingFigure, type DrawnOpenings } from "../../src/figures/openingFigure.js";
import { neckSpan } from "../../src/bow/beam/span.js";
import { fretDistanceMm } from "../../src/neck/frets.js";
import { readNeck } from "../../src/neck/neckFile.js";
import { normalMm } from "../../src/units/measured.js";
import { valueOrThrow } from "../../src/units/problem.js";
import { rounded } from "./rounded.js";

const NECK = valueOrThrow(readNeck({ name: "<b>neck & $co$</b>", scaleLength: "25 in", frets: 22, bodyJoint: 16 }), "the neck");
const SPAN = neckSpan(NECK);
const xMm = Array.from({ length: 47 }, (_, index) => index * 10);
const bowed = (reliefMm: number): number[] => xMm.map((x) => (-4 * reliefMm * (x - SPAN.fromMm) * (SPAN.toMm - x)) / (SPAN.toMm - SPAN.fromMm) ** 2);
const BOW: DrawnBow = {
  neck: NECK, title: "strung", span: SPAN,
  causes: [["the fretted board's bow, glued flat", -0.1], ["strings", 0.42], ["a season that changes nothing", 0]].map(([cause, reliefMm]) => ({ cause: String(cause), reliefMm: Number(reliefMm), profile: { of: String(cause), xMm, vMm: bowed(Number(reliefMm)) } })),
  sum: { of: "all together", xMm, vMm: bowed(0.32), uMm: bowed(-0.08).map(Math.abs) }, relief: normalMm(0.32, 0.08),
  notes: ["Wide, because this neck's stiffness is a book value; one strung reading narrows it."],
};
const OPENINGS: DrawnOpenings = {
  neck: NECK, title: "opening per slot", tensionsN: [0, 200, 400, 600], ownTensionN: 420, first: 1, wantedMm: { min: 0.1, max: 0.3 }, notes: [],
  steps: [0, 0.01, 0.02].map((openingMm) => ({ openingMm, relief: [0, 200, 400, 600].map((tension) => normalMm(0.001 * tension - 12 * openingMm, 0.05)), own: normalMm(0.42 - 12 * openingMm, 0.05) })),
};

describe("bowFigure", () => {
  test("is drawn as in the snapshot", () => {
    expect(rounded(bowFigure(BOW))).toMatchSnapshot();
  });

  test("says every cause with amount and sign, and the sum as a range, in both units", () => {
    const { alt } = bowFigure(BOW);
    expect(alt).toContain("strings: 0.42 mm (16.5 thou) of forward bow (middle low)");
    expect(alt).toContain("glued flat: 0.10 mm (3.9 thou) of back bow (middle high)");
    expect(alt).toContain("a season that changes nothing: next to nothing");
    expect(alt).toMatch(/All together: 0\.16 to 0\.48 mm \(6\.4 to 18\.8 thou\) of forward bow \(middle low\)/);
    expect(bowFigure(BOW, { order: "thou first" }).alt).toContain("16.5 thou (0.42 mm)");
  });

  test("tells causes apart without colour: no two share marker and dash", () => {
    const lines = bowFigure(BOW).data.filter((trace) => typeof trace["legendgroup"] === "string" && trace["legendgroup"].startsWith("cause"));
    const looks = lines.map((trace) => JSON.stringify([trace["line"], trace["marker"]].map((look) => ({ ...(look as object), color: "" }))));
    expect(new Set(looks).size).toBe(BOW.causes.length);
  });

  test("every place that answers the pointer says mm, thou and nothing unescaped", () => {
    const figure = bowFigure(BOW);
    const hovers = figure.data.flatMap((trace) => (Array.isArray(trace["hovertext"]) ? trace["hovertext"].map(String) : []));
    expect(hovers.length).toBeGreaterThan(100);
    for (const text of hovers) expect(text).toMatch(/\d mm.*\d thou/);
    expect(JSON.stringify(figure.layout)).not.toMatch(/<b>neck|\$co/);
  });

  test("is drawn however small the uncertainty gets toward a chord's end", () => {
    const endMm = fretDistanceMm(NECK.scaleLengthMm, 22);
    fc.assert(fc.property(fc.double({ min: 1e-3, max: 0.3, noNaN: true }), fc.double({ min: 0.1, max: 5, noNaN: true }), (uMm, beforeMm) => {
      const places = [0, SPAN.fromMm - beforeMm, SPAN.fromMm, SPAN.fromMm + beforeMm, SPAN.toMm, endMm];
      const sum = { of: "all", xMm: places, vMm: places.map(() => 0), uMm: places.map((_, index) => (index === 2 || index === 4 ? 0 : uMm)) };
      expect(bowFigure({ ...BOW, sum }).data.length).toBeGreaterThan(5);
    }), { seed: 31, numRuns: 30, verbose: true });
  });

  test("refuses a width that nothing fits, and a bow without cause", () => {
    expect(() => bowFigure(BOW, { widthPx: 300 })).toThrow("a width of 480 to 1600 px");
    expect(() => bowFigure({ ...BOW, causes: [] })).toThrow("one cause or more");
  });
});

describe("openingFigure", () => {
  test("is drawn as in the snapshot", () => {
    expect(rounded(openingFigure(OPENINGS))).toMatchSnapshot();
  });

  test("each step of the slider shows its own three traces and hides all others, and the first step is what is drawn", () => {
    const { data, layout } = openingFigure(OPENINGS);
    const [slider] = layout["sliders"] as readonly { readonly active: number; readonly steps: readonly { readonly label: string; readonly args: readonly [{ readonly visible: readonly boolean[] }, readonly number[]] }[] }[];
    expect(slider?.active).toBe(1);
    slider?.steps.forEach(({ args: [{ visible }, traces], label }, step) => {
      expect(traces.filter((_, at) => visible[at] === true)).toEqual([1 + 3 * step, 2 + 3 * step, 3 + 3 * step]);
      const own = data[3 + 3 * step];
      expect(JSON.stringify(own?.["hovertext"])).toContain(`opening ${label}`);
      expect(own?.["visible"]).toBe(step === 1);
    });
    expect(slider?.steps.map(({ label }) => label)).toEqual(["0.0000 mm (0.00 thou)", "0.0100 mm (0.39 thou)", "0.0200 mm (0.79 thou)"]);
  });

  test("the mark stands where the neck's own strings meet the line", () => {
    const own = openingFigure(OPENINGS).data[6];
    expect(own?.["x"]).toEqual([420]);
    expect(own?.["y"]).toEqual([0.3]);
  });

  test("refuses a first step that is not there", () => {
    expect(() => openingFigure({ ...OPENINGS, first: 3 })).toThrow("a first step from 0 to 2, got 3");
  });
});
