import { JSDOM } from "jsdom";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { neckFigure } from "../../src/figures/neckFigure.js";
import { figureHtml } from "../../src/notebook/figureHtml.js";
import { stillSvg } from "../../src/notebook/still.js";
import { reliefs, sheet, survey, surveyOf } from "../figures/handmade.js";

const warned = ["warn", "error"] as const;
let spies: readonly ReturnType<typeof vi.spyOn>[] = [];

beforeEach(() => {
  spies = warned.map((name) => vi.spyOn(console, name));
});

afterEach(() => {
  for (const spy of spies) {
    expect(spy).not.toHaveBeenCalled();
    spy.mockRestore();
  }
});

describe("stillSvg", () => {
  test("draws as in the snapshot, rounded to three decimals", () => {
    const svg = stillSvg(neckFigure(surveyOf(["treble"]), { reliefs, widthPx: 600 }));
    expect(svg.replace(/-?\d+\.\d+/g, (number) => String(Number(Number(number).toFixed(3)))).replace(/></g, ">\n<")).toMatchSnapshot();
  });

  test("gives the same bytes for the same figure and other names inside for another", () => {
    const figure = neckFigure(survey, { reliefs });
    expect(stillSvg(figure)).toBe(stillSvg(figure));
    const names = (svg: string): readonly string[] => [...svg.matchAll(/ id="([^"]+)"/g)].map((match) => match[1] ?? "");
    const other = new Set(names(stillSvg(neckFigure(surveyOf(["bass"])))));
    expect(names(stillSvg(figure)).filter((name) => other.has(name) && name !== "")).toEqual([]);
  });

  test("is well-formed XML that holds every heading", () => {
    const svg = stillSvg(neckFigure(survey, { reliefs }));
    const { window } = new JSDOM(svg, { contentType: "image/svg+xml" });
    const text = window.document.documentElement.textContent ?? "";
    for (const line of ["bass", "centre", "treble"]) expect(text).toContain(`${line}: forward bow (middle low)`);
    expect(text).toContain("times too tall");
  });
});

describe("figureHtml", () => {
  test("carries the picture, its words, and no request to the network", () => {
    const html = figureHtml(neckFigure(survey, { reliefs }));
    expect(html).toMatch(/<img src="data:image\/svg\+xml;base64,[A-Za-z0-9+/=]+" alt="Side view of Ash/);
    expect(html.replace(/data:image[^"]+/, "")).not.toMatch(/(src|href)\s*=\s*"?http/);
  });

  test("lets nothing out of its script or its attribute", () => {
    const nasty = '</script><img src=x onerror="x()">';
    const html = figureHtml(neckFigure({ ...survey, sheet: { ...sheet, stage: nasty } }, { reliefs }));
    const { window } = new JSDOM(html);
    expect(window.document.querySelectorAll("script")).toHaveLength(1);
    expect(window.document.querySelectorAll("img")).toHaveLength(1);
    expect(window.document.querySelector("img")?.getAttribute("alt")).toContain(nasty);
  });
});
