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
  test("the still part carries the picture and its words, neither part asks anything of the network", () => {
    const figure = neckFigure(survey, { reliefs });
    const { live, still } = figureHtml(figure);
    const picture = still(stillSvg(figure));
    expect(picture).toMatch(/<img class="neck-figure-\w+-still" src="data:image\/svg\+xml;base64,[A-Za-z0-9+/=]+" alt="Side view of Ash/);
    for (const part of [live, picture]) expect(part.replace(/data:image[^"]+/, "")).not.toMatch(/(src|href)\s*=\s*"?http/);
  });

  test("the live figure, once drawn, hides the still picture of the same figure and of no other", () => {
    const [figure, other] = [neckFigure(survey, { reliefs }), neckFigure(surveyOf(["treble"]), { reliefs })].map((one) => ({ html: figureHtml(one), alt: one.alt }));
    const page = `<div id="plots">${figure?.html.live ?? ""}</div>${figure?.html.still("<svg/>") ?? ""}${other?.html.still("<svg/>") ?? ""}`;
    const { window } = new JSDOM(page.replace(/<script>[\s\S]*?<\/script>/g, ""), { runScripts: "outside-only" });
    Object.defineProperty(window.HTMLElement.prototype, "offsetWidth", { value: 900 });
    Object.defineProperty(window.HTMLElement.prototype, "clientWidth", { value: 900 });
    const drawn: unknown[] = [];
    const Plotly = { Icons: {}, newPlot: (element: unknown) => { drawn.push(element); return Promise.resolve({ on: () => undefined }); } };
    Object.assign(window, { Plotly });
    const shown = (): readonly string[] => [...window.document.querySelectorAll("img")].filter((image) => window.getComputedStyle(image).display !== "none").map(({ alt }) => alt);
    expect(shown()).toEqual([figure?.alt, other?.alt]);
    window.eval(/<script>([\s\S]*?)<\/script>/.exec(page)?.[1] ?? "");
    expect(drawn).toHaveLength(1);
    expect(shown()).toEqual([other?.alt]);
    expect(window.document.querySelector("[role=group]")?.getAttribute("aria-label")).toBe(figure?.alt);
  });

  test("lets nothing out of its script or its attribute", () => {
    const nasty = '</script><img src=x onerror="x()">';
    const { live, still } = figureHtml(neckFigure({ ...survey, sheet: { ...sheet, stage: nasty } }, { reliefs }));
    const { window } = new JSDOM(live + still("<svg/>"));
    expect(window.document.querySelectorAll("script")).toHaveLength(1);
    expect(window.document.querySelectorAll("img")).toHaveLength(1);
    expect(window.document.querySelector("img")?.getAttribute("alt")).toContain(nasty);
  });
});
