import { describe, expect, test } from "vitest";
import { beliefFigure } from "neck-survey";
import type { DrawnBelief, DrawnBeliefs } from "neck-survey";
import { NECK } from "../survey/bench.js";
import { rounded } from "./rounded.js";

const belief = (known: string, half: number): DrawnBelief => ({ known, reliefMm: { middle: 0.2, low95: 0.2 - half, high95: 0.2 + 2 * half }, taught: { middle: 0.02, low95: 0.02 - half / 10, high95: 0.02 + half / 10 } });
const beliefs: DrawnBeliefs = {
  neck: NECK, title: "strings at pitch", middleFret: 7, beliefs: [belief("before any reading", 0.15), belief("after the fretted board", 0.05)], taught: { what: "tang thicker than its slot by", unit: "mm" }, wantedMm: { min: 0.1, max: 0.3 },
};
const drawn = beliefFigure(beliefs);
type Numbers = readonly number[];

/** Area under a curve by the trapezium rule. */
const area = (x: Numbers, y: Numbers): number => x.slice(1).reduce((sum, at, index) => sum + ((at - (x[index] ?? 0)) * ((y[index] ?? 0) + (y[index + 1] ?? 0))) / 2, 0);

describe("beliefFigure", () => {
  test("is drawn as in the snapshot", () => {
    expect(rounded(drawn)).toMatchSnapshot();
  });

  test("every hill has one area over its scale, lopsided ones too, and its hatched part 95 % of it", () => {
    const curves = drawn.data.filter((trace) => trace["mode"] === "lines" && trace["hovertext"] !== undefined);
    expect(curves).toHaveLength(4);
    const scale = Math.sqrt(2 * Math.PI); // the hills leave out the normal curve's constant
    for (const { x, y } of curves) expect(area(x as Numbers, y as Numbers) / scale).toBeCloseTo(0.99914, 2);
    const hatched = drawn.data.filter((trace) => trace["fill"] === "toself" && trace["legendgroup"] !== undefined);
    for (const { x, y } of hatched) expect(area((x as Numbers).slice(0, -2), (y as Numbers).slice(0, -2)) / scale).toBeCloseTo(0.95, 2);
  });

  test("hills are told apart by dash and marker, and the pointer on them says both units and the sign", () => {
    const marks = drawn.data.filter((trace) => trace["mode"] === "lines+markers" && trace["showlegend"] === true);
    expect(new Set(marks.map(({ line, marker }) => JSON.stringify([line, marker]))).size).toBe(2);
    expect(marks.map((trace) => (trace["hovertext"] as readonly string[])[0])).toEqual([
      "<b>before any reading</b><br>0.05 to 0.50 mm (2.0 to 19.7 thou) of forward bow (middle low)<br>19 times in 20", "<b>after the fretted board</b><br>0.15 to 0.30 mm (5.9 to 11.8 thou) of forward bow (middle low)<br>19 times in 20",
    ]);
  });

  test("its text alternative says what was believed before and after", () => {
    expect(drawn.alt).toMatch(/strings at pitch, at fret 7, 19 times in 20\. before any reading: relief 0\.05 to 0\.50 mm .*tang thicker than its slot by 0\.005 to 0\.035 mm \(0\.2 to 1\.4 thou\); after the fretted board: relief 0\.15/);
  });

  test("the scale says both units, the asked one first", () => {
    const ticks = (order: "mm first" | "thou first"): unknown => (beliefFigure(beliefs, { order }).layout["xaxis"] as { readonly ticktext: readonly string[] }).ticktext[1];
    expect(ticks("mm first")).toMatch(/^0\.\d+ mm<br>\d+\.\d+ thou$/);
    expect(ticks("thou first")).toMatch(/^\d+\.\d+ thou<br>0\.\d+ mm$/);
  });

  test("refuses one belief alone, and odd widths", () => {
    expect(() => beliefFigure({ ...beliefs, beliefs: beliefs.beliefs.slice(1) })).toThrow("expected what was believed before and after, got 1");
    expect(() => beliefFigure(beliefs, { widthPx: 100 })).toThrow("expected a width of 480 to 1600 px");
  });
});
