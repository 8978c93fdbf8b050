import type { OpeningRelief, Openings } from "../bow/openings.js";
import type { Neck } from "../neck/neck.js";
import type { Measured } from "../units/measured.js";
import { bowWords, lengthWords, type UnitOrder } from "../units/words.js";
import { heightAxis } from "./bowAxes.js";
import { panelPaper, panelPaperY, panelSheet, panelWriting, type PanelSheet, type PanelSheetTexts } from "./bowSheet.js";
import { rounded } from "./drawing.js";
import type { Figure, JsonObject, NarrowerLayout } from "./figure.js";
import { HOVER_TEXT_PX, INK, lineLook, PANEL, PAPER, PENCIL, SMALLEST_TEXT_PX, SOFT_INK, TEXT_FONT } from "./look.js";
import { roundStep } from "./ticks.js";

/** Relief under strings for several openings per slot and string tensions, worked out beforehand. */
export type DrawnOpenings = Openings & {
  readonly neck: Neck;
  readonly title: string;
  /** The step shown first. */
  readonly first: number;
  /** Relief wanted under strings. */
  readonly wantedMm: { readonly min: number; readonly max: number };
  readonly notes: readonly string[];
};

const PANEL_PX = 300;
const SLIDER_PX = 86;
const LEAST_WIDTH_PX = 480;
const NARROWER_PX = [780, 660, 560, LEAST_WIDTH_PX];
const WANTED_NAME = "relief wanted under strings";
const LINE_NAME = "relief left, middle of what is believed";
const BAND_NAME = "where it may lie";
const OWN_NAME = "with your strings";

/**
 * Relief under strings against their tension, with a slider for the opening per slot. All steps lie in the figure and the slider only shows and
 * hides them, so it works in a saved page without a kernel; a still picture shows the first step.
 * @throws {RangeError} a width outside 480 to 1600 px, no step, or a first step that is not there
 */
export function openingFigure(drawn: DrawnOpenings, options: { readonly order?: UnitOrder; readonly widthPx?: number } = {}): Figure {
  const { order = "mm first", widthPx = 900 } = options;
  if (!(widthPx >= LEAST_WIDTH_PX && widthPx <= 1600)) throw new RangeError(`Cannot draw openings: expected a width of ${LEAST_WIDTH_PX} to 1600 px, got ${widthPx}`);
  const shown = drawn.steps[drawn.first];
  if (shown === undefined) throw new RangeError(`Cannot draw openings: expected a first step from 0 to ${drawn.steps.length - 1}, got ${drawn.first}`);
  const own = shown.own;
  const data = [wanted(drawn), ...drawn.steps.flatMap((step, index) => stepTraces(drawn, step, index === drawn.first, order)), unseen()];
  return {
    data, ...laidOut(drawn, order, widthPx), config: { displaylogo: false, displayModeBar: "hover", responsive: false, scrollZoom: false, doubleClick: "reset", showTips: false },
    alt: `Relief of ${drawn.neck.name} under strings against their total tension, for ${drawn.steps.length} openings per slot from ${openingWords(drawn.steps[0]?.openingMm ?? 0, order)} to ${openingWords(drawn.steps.at(-1)?.openingMm ?? 0, order)}. Shown: ${openingWords(shown.openingMm, order)}; with ${drawn.ownTensionN.toFixed(0)} N it leaves ${lengthWords(Math.abs(own.value), order)} of ${bowWords(own.value)}, ${lengthWords(Math.abs(own.low95), order)} of ${bowWords(own.low95)} to ${lengthWords(Math.abs(own.high95), order)} of ${bowWords(own.high95)}.`,
    fileName: `opening per slot ${drawn.neck.name}`.toLowerCase().replace(/[^a-z0-9]+/g, "-").slice(0, 60),
    narrower: NARROWER_PX.filter((px) => px < widthPx).map((px) => laidOut(drawn, order, px)),
  };
}

/** The band, the line and the mark at the neck's own strings: three traces a step. */
function stepTraces(drawn: DrawnOpenings, step: OpeningRelief, visible: boolean, order: UnitOrder): readonly JsonObject[] {
  const x = drawn.tensionsN.map((tension) => rounded(tension, 1));
  const edge = (pick: (one: Measured) => number): readonly number[] => step.relief.map((one) => rounded(pick(one), 5));
  const { own } = step;
  const look = lineLook(0);
  const axis = { type: "scatter", xaxis: "x", yaxis: "y", visible };
  return [
    {
      ...axis, mode: "lines", x: [...x, ...[...x].reverse()], y: [...edge((one) => one.high95), ...[...edge((one) => one.low95)].reverse()], fill: "toself", line: { color: look.colour, width: 0.6 },
      fillpattern: { shape: look.hatch, size: 6, solidity: 0.16, fgcolor: look.colour, bgcolor: "rgba(0,0,0,0)", fillmode: "replace" }, hoverinfo: "skip", name: BAND_NAME, legendgroup: "band", opacity: 0.75,
    },
    {
      ...axis, mode: "lines+markers", x, y: edge((one) => one.value), line: { color: look.colour, width: 2.2 }, marker: { size: 6, opacity: 0 }, hoverinfo: "text", name: LINE_NAME, legendgroup: "line",
      hovertext: step.relief.map((one, index) => hover(`${(drawn.tensionsN[index] ?? 0).toFixed(0)} N in all`, step, one, order)),
    },
    {
      ...axis, mode: "markers", x: [rounded(drawn.ownTensionN, 1)], y: [rounded(own.value, 5)], marker: { size: 11, symbol: "diamond", color: PANEL, line: { color: INK, width: 2 } },
      error_y: { type: "data", symmetric: false, array: [rounded(own.high95 - own.value, 5)], arrayminus: [rounded(own.value - own.low95, 5)], color: INK, thickness: 1.4, width: 5 },
      hoverinfo: "text", hovertext: [hover(`your strings, ${drawn.ownTensionN.toFixed(0)} N in all`, step, own, order)], name: OWN_NAME, legendgroup: "own",
    },
  ];
}

function hover(where: string, { openingMm }: OpeningRelief, { value, low95, high95 }: Measured, order: UnitOrder): string {
  const end = (mm: number): string => `${lengthWords(Math.abs(mm), order)} of ${bowWords(mm)}`;
  return `<b>${where}</b>, opening ${openingWords(openingMm, order)}<br>about ${end(value)}<br>from ${end(low95)}<br>to ${end(high95)}`;
}

function wanted({ tensionsN, wantedMm }: DrawnOpenings): JsonObject {
  const [from = 0, to = 1] = [tensionsN[0], tensionsN.at(-1)];
  return {
    type: "scatter", mode: "lines", xaxis: "x", yaxis: "y", x: [from, to, to, from, from], y: [wantedMm.min, wantedMm.min, wantedMm.max, wantedMm.max, wantedMm.min], fill: "toself",
    line: { color: SOFT_INK, width: 1, dash: "4px,3px" }, fillpattern: { shape: ".", size: 6, solidity: 0.2, fgcolor: SOFT_INK, bgcolor: "rgba(0,0,0,0)", fillmode: "replace" }, hoverinfo: "skip", name: WANTED_NAME,
  };
}

/** An axis without anything on it is not drawn. */
function unseen(): JsonObject {
  return { type: "scatter", mode: "markers", x: [0], y: [0], xaxis: "x", yaxis: "y2", marker: { opacity: 0 }, hoverinfo: "skip", showlegend: false };
}

function laidOut(drawn: DrawnOpenings, order: UnitOrder, widthPx: number): NarrowerLayout {
  const sheet = panelSheet(textsOf(drawn), widthPx);
  const paper = panelPaper(sheet);
  const yMm = rangeMm(drawn);
  const [mmSide, thouSide] = order === "mm first" ? ["left", "right"] : ["right", "left"];
  const [from = 0, to = 1] = [drawn.tensionsN[0], drawn.tensionsN.at(-1)];
  const layout: JsonObject = {
    width: sheet.widthPx, height: sheet.heightPx, autosize: false, paper_bgcolor: PAPER, plot_bgcolor: "rgba(0,0,0,0)", margin: paper.margin, legend: paper.legend,
    font: { family: TEXT_FONT, size: SMALLEST_TEXT_PX, color: INK }, hovermode: "closest", dragmode: "zoom", hoverdistance: 24,
    hoverlabel: { bgcolor: PANEL, bordercolor: INK, align: "left", namelength: 0, font: { family: TEXT_FONT, size: HOVER_TEXT_PX, color: INK } },
    annotations: [...panelWriting(sheet), ...signs(sheet)], shapes: [...paper.shapes, straight()], sliders: [slider(drawn, sheet, order)],
    xaxis: { anchor: "y", range: [from, to], dtick: roundStep(to - from, 8), tick0: 0, ticksuffix: " N", showticksuffix: "last", showgrid: false, zeroline: false, showline: true, linecolor: PENCIL, ticks: "outside", ticklen: 4, tickcolor: PENCIL, tickfont: { size: SMALLEST_TEXT_PX, color: INK } },
    yaxis: { ...heightAxis(yMm, "mm", PANEL_PX), domain: [0, 1], anchor: "x", side: mmSide }, yaxis2: { ...heightAxis(yMm, "thou", PANEL_PX), overlaying: "y", anchor: "x", side: thouSide },
  };
  return { widthPx: sheet.widthPx, heightPx: sheet.heightPx, layout };
}

function textsOf(drawn: DrawnOpenings): PanelSheetTexts {
  return {
    title: `${drawn.neck.name}  ·  ${drawn.title}`, caption: "Move the slider under the drawing: how far the tangs open each slot, on average.",
    headings: [`Relief at the middle fret once the strings are on; your strings pull about ${drawn.ownTensionN.toFixed(0)} N in all`], panelPx: PANEL_PX,
    axis: "total tension of the strings", legend: [WANTED_NAME, BAND_NAME, LINE_NAME, OWN_NAME], sliderPx: SLIDER_PX,
    notes: ["Hatching and bar: 19 times in 20 the truth lies inside, if the model is right. Where the line leaves the dotted stretch, the rod has to do the rest.", ...drawn.notes],
  };
}

/** The slider shows one step's three traces and hides the others; the window's narrower layouts leave it alone. */
function slider(drawn: DrawnOpenings, sheet: PanelSheet, order: UnitOrder): JsonObject {
  const traces = drawn.steps.flatMap((_, step) => [0, 1, 2].map((at) => 1 + 3 * step + at));
  return {
    active: drawn.first, x: 0, xanchor: "left", len: 1, lenmode: "fraction", y: panelPaperY(sheet, sheet.sliderTopPx), yanchor: "top", pad: { l: 8, r: 8, t: 4, b: 0 },
    bgcolor: PANEL, activebgcolor: INK, bordercolor: PENCIL, tickcolor: PENCIL, font: { size: SMALLEST_TEXT_PX, color: INK },
    currentvalue: { prefix: "opening per slot: ", xanchor: "left", offset: 10, font: { size: 14, color: INK } }, transition: { duration: 0 }, minorticklen: 4,
    steps: drawn.steps.map(({ openingMm }, step) => ({
      label: openingWords(openingMm, order), value: String(step), method: "restyle", args: [{ visible: drawn.steps.flatMap((_, other) => [other === step, other === step, other === step]) }, traces],
    })),
  };
}

function signs(sheet: PanelSheet): readonly JsonObject[] {
  const sign = (text: string, px: number, yanchor: string): JsonObject => ({
    text, xref: "paper", x: 1, xanchor: "right", xshift: -6, yref: "paper", y: panelPaperY(sheet, px), yanchor, showarrow: false, font: { size: SMALLEST_TEXT_PX, color: SOFT_INK }, borderpad: 0,
  });
  const [panel] = sheet.panels;
  return panel === undefined ? [] : [sign(`up: ${bowWords(1)}`, panel.topPx + 4, "top"), sign(`down: ${bowWords(-1)}`, panel.bottomPx - 4, "bottom")];
}

function straight(): JsonObject {
  return { type: "line", xref: "paper", yref: "y", x0: 0, x1: 1, y0: 0, y1: 0, line: { color: INK, width: 1, dash: "12px,3px,2px,3px" }, layer: "below" };
}

/** One range for all steps, so that the drawing does not jump when the slider moves. */
function rangeMm({ steps, wantedMm }: DrawnOpenings): readonly [number, number] {
  const all = steps.flatMap(({ relief }) => relief.flatMap(({ low95, high95 }) => [low95, high95]));
  const [low, high] = [Math.min(...all, wantedMm.min, 0), Math.max(...all, wantedMm.max, 0)];
  return [low - 0.07 * (high - low), high + 0.07 * (high - low)];
}

/** Openings are a few hundredths of a mm, in steps of a quarter of one: two digits more than lengths are printed with. */
function openingWords(mm: number, order: UnitOrder): string {
  const [inMm, inThou] = [`${mm.toFixed(4)} mm`, `${(mm / 0.0254).toFixed(2)} thou`];
  return order === "mm first" ? `${inMm} (${inThou})` : `${inThou} (${inMm})`;
}
