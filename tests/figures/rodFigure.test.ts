import { describe, expect, test } from "vitest";
import { adjust, rodAdvice, rodFigure } from "neck-survey";
import type { Measured } from "neck-survey";
import { NECK, bowed, sheet, sweep } from "../survey/bench.js";
import { rounded } from "./rounded.js";

const strings: Measured = { value: 0.25, u: 0.08, unit: "mm", low95: 0.1, high95: 0.4 };
const survey = adjust({ ...NECK, rod: { works: "both ways", moreRelief: "anticlockwise" } }, sheet(NECK.lines.map((line) => sweep(bowed(0.4), line))));
const advice = rodAdvice(survey, { strings });
const drawn = rodFigure(advice);

describe("rodFigure", () => {
  test("is drawn as in the snapshot", () => {
    expect(rounded(drawn)).toMatchSnapshot();
  });

  test("draws now, rod turned and strings at pitch, apart by marker and dash as well as colour, and the band that is wanted", () => {
    const lines = drawn.data.filter((trace) => trace["mode"] === "lines+markers");
    expect(lines.map((trace) => trace["name"])).toEqual(["now", "rod turned", "strings at pitch"]);
    const looks = lines.map(({ line, marker }) => JSON.stringify([line, marker]));
    expect(new Set(looks).size).toBe(3);
    const [wanted] = drawn.data;
    expect(wanted?.["name"]).toBe("wanted");
    expect(Math.min(...(wanted?.["y"] as number[]))).toBeCloseTo(-0.3, 2);
  });

  test("its text alternative says what to do and where the neck ends", () => {
    expect(drawn.alt).toMatch(/now: forward bow \(middle low\), 0\.\d\d mm.*rod turned: .*strings at pitch: forward bow \(middle low\), 0\.20 mm \(7\.9 thou\).*turn the nut clockwise/);
  });

  test("a rod that is left has no line of its own", () => {
    const left = rodFigure(rodAdvice(survey, { target: { minMm: 0, maxMm: 2 } }));
    expect(left.data.filter((trace) => trace["mode"] === "lines+markers").map((trace) => trace["name"])).toEqual(["now"]);
  });

  test("refuses advice without a relief, and odd widths", () => {
    expect(() => rodFigure(rodAdvice(adjust(NECK, sheet([]))))).toThrow("the readings determine no relief");
    expect(() => rodFigure(advice, { widthPx: 100 })).toThrow("expected a width of 480 to 1600 px");
  });
});
