import { createRequire } from "node:module";
import { readFileSync } from "node:fs";
import type { Figure, Json } from "../figures/figure.js";
import { textWidthPx } from "../figures/text.js";
import { checksum } from "./checksum.js";

/** The few calls of the plotting library that are used here. */
type Plotly = {
  newPlot(element: unknown, data: unknown, layout: unknown, config: unknown): unknown;
  readonly Snapshot: { toSVG(element: unknown, format: "svg", scale: number): string };
};
/** What is used of the page; the page's own types would be published with ours, and the kernel's compiler would read them at every cell. */
type Element = {
  readonly textContent: string | null;
  readonly querySelectorAll: (selector: string) => Iterable<Element> & { readonly length: number };
  readonly querySelector: (selector: string) => Element | null;
  readonly closest: (selector: string) => Element | null;
  readonly getAttribute: (name: string) => string | null;
  readonly remove: () => void;
};
type Window = {
  readonly document: { readonly createElement: (name: string) => Element; readonly body: { readonly appendChild: (element: Element) => unknown } };
  readonly Math: { random: () => number };
  readonly SVGElement: { readonly prototype: object };
  readonly URL: object;
  readonly eval: (source: string) => unknown;
  readonly Plotly?: unknown;
};
type PageMaker = { readonly JSDOM: new (html: string, options: { readonly runScripts: "outside-only" }) => { readonly window: Window } };
type Box = { readonly x: number; readonly y: number; readonly left: number; readonly top: number; readonly width: number; readonly height: number; readonly right: number; readonly bottom: number };
type Page = { readonly window: Window; readonly plotly: Plotly };

let opened: Page | undefined;

/**
 * The figure as a still SVG picture: the same plotting library draws it on a page without a browser.
 * The same figure gives the same bytes. The library and the page are loaded at the first call, about half a second.
 * @returns SVG source, one root element, without an XML declaration
 */
export function stillSvg(figure: Figure): string {
  const { window, plotly } = loadStills();
  window.Math.random = seededRandom(checksum(JSON.stringify(figure)));
  const element = window.document.createElement("div");
  window.document.body.appendChild(element);
  plotly.newPlot(element, copied(figure.data), copied(figure.layout), { ...figure.config, staticPlot: true });
  const svg = plotly.Snapshot.toSVG(element, "svg", 1);
  element.remove();
  return svg;
}

/** Loads the page and the plotting library, once. */
export function loadStills(): Page {
  return (opened ??= openPage());
}

/** Where the plotting library's single file lies on this machine. */
export function plotlyFile(): string {
  return createRequire(import.meta.url).resolve("plotly.js-cartesian-dist-min");
}

function copied(value: Json | readonly Json[]): unknown {
  return JSON.parse(JSON.stringify(value)) as unknown;
}

function openPage(): Page {
  const jsdom: unknown = createRequire(import.meta.url)("jsdom");
  if (!isJsdom(jsdom)) throw new Error("Cannot draw the still picture: the package jsdom is not what was expected (run npm ci)");
  const { window } = new jsdom.JSDOM("<!doctype html><html><body></body></html>", { runScripts: "outside-only" });
  giveSizes(window);
  window.eval(`var self = window; ${readFileSync(plotlyFile(), "utf8")}`);
  const plotly: unknown = window.Plotly;
  if (!isPlotly(plotly)) throw new Error("Cannot draw the still picture: the plotting library did not load (run npm ci)");
  return { window, plotly };
}

function isJsdom(loaded: unknown): loaded is PageMaker {
  return typeof loaded === "object" && loaded !== null && "JSDOM" in loaded;
}

function isPlotly(loaded: unknown): loaded is Plotly {
  return typeof loaded === "object" && loaded !== null && "newPlot" in loaded && "Snapshot" in loaded;
}

/** A page without a browser measures nothing: text sizes are estimated, and what a still picture never uses is answered plainly. */
function giveSizes(window: Window): void {
  const box = function (this: Element): Box { return textBox(this); };
  Object.assign(window.SVGElement.prototype, {
    getBBox: box, getBoundingClientRect: box, getComputedTextLength(this: Element): number { return textBox(this).width; },
    getTotalLength: () => 0, getPointAtLength: () => ({ x: 0, y: 0 }),
  });
  Object.assign(window.URL, { createObjectURL: () => "", revokeObjectURL: () => undefined });
  Object.assign(window, { requestAnimationFrame: () => 0, cancelAnimationFrame: () => undefined, matchMedia: () => ({ matches: false, addEventListener: () => undefined }) });
}

function textBox(element: Element): Box {
  if ((element.textContent ?? "") === "") return boxOf(0, 0, 0, 0);
  const sizePx = typeSizePx(element);
  const rows = element.querySelectorAll("tspan.line");
  const lines = rows.length > 0 ? [...rows].map((row) => row.textContent ?? "") : [element.textContent ?? ""];
  const width = Math.max(...lines.map((line) => textWidthPx(line, sizePx)));
  const height = sizePx * (1.15 + 1.3 * (lines.length - 1));
  const anchor = element.getAttribute("text-anchor");
  const left = anchor === "middle" ? -width / 2 : anchor === "end" ? -width : 0;
  return boxOf(left, -0.93 * sizePx, width, height);
}

function boxOf(left: number, top: number, width: number, height: number): Box & { readonly toJSON: () => Box } {
  const box = { x: left, y: top, left, top, width, height, right: left + width, bottom: top + height };
  return { ...box, toJSON: () => box };
}

function typeSizePx(element: Element): number {
  const sized = element.closest("[style*='font-size']") ?? element.querySelector("[style*='font-size']");
  const written = /font-size:\s*([\d.]+)px/.exec(sized?.getAttribute("style") ?? "");
  return written === null ? 12 : Number(written[1]);
}

/** A short repeatable stream in [0, 1): names inside a picture are the same each time, and differ between pictures on one page (a linear congruence; nothing is estimated with it). */
function seededRandom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 1_664_525 + 1_013_904_223) % 4_294_967_296;
    return state / 4_294_967_296;
  };
}
