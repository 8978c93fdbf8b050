import { unknownRangeWords } from "../bow/calibration/unknownWords.js";
import { rangeWords } from "../bow/effect.js";
import type { Neck } from "../neck/neck.js";
import { MM_PER_THOU } from "../units/length.js";
import { NORMAL_95 } from "../units/measured.js";
import { capital } from "../units/text.js";
import { bowWords, type UnitOrder } from "../units/words.js";
import { panelPaper, panelPaperY, panelSheet, panelWriting, type PanelSheet, type PanelSheetTexts } from "./bowSheet.js";
import { rounded } from "./drawing.js";
import type { Figure, JsonObject, NarrowerLayout } from "./figure.js";
import { HOVER_TEXT_PX, INK, lineLook, PANEL, PAPER, PENCIL, SMALLEST_TEXT_PX, SOFT_INK, TEXT_FONT } from "./look.js";
import { LEFT_PX, RIGHT_PX } from "./sheet.js";
import { escaped, textWidthPx } from "./text.js";
import { roundStep } from "./ticks.js";

/** A number as it is believed to be: its middle, and the interval that holds it 19 times in 20. */
export type Believed = { readonly middle: number; readonly low95: number; readonly high95: number };

/** What is believed at one point of what is known, as `before any reading`. */
export type DrawnBelief = { readonly known: string; readonly reliefMm: Believed; /** What the readings taught most. */ readonly taught: Believed };

/** Beliefs of one neck, the one with the fewest readings first. */
export type DrawnBeliefs = {
  readonly neck: Neck;
  /** What the relief is that of, as `strings at pitch`. */
  readonly title: string;
  readonly middleFret: number;
  readonly beliefs: readonly DrawnBelief[];
  /** What `taught` is, as `tang thicker than its slot by`, and its unit; none for a factor. */
  readonly taught: { readonly what: string; readonly unit: string };
  readonly wantedMm: { readonly min: number; readonly max: number };
};

/** One panel's. */
type Quantity = { readonly of: (belief: DrawnBelief) => Believed; readonly words: (belief: Believed, order: UnitOrder) => string; readonly axes: { readonly x: string; readonly y: string } };

const LEAST_WIDTH_PX = 480;
const NARROWER_PX = [780, 660, 560, LEAST_WIDTH_PX];
const PANEL_PX = 150;
/** Two lines of numbers, mm and thou. */
const BETWEEN_PX = 40;
const WANTED_NAME = "relief wanted";
const POINTS = 61;

const RELIEF: Quantity = { of: ({ reliefMm }) => reliefMm, words: (believed, order) => rangeWords(believed, order), axes: { x: "x", y: "y" } };

function taughtOf({ unit }: DrawnBeliefs["taught"]): Quantity {
  return { of: ({ taught }) => taught, words: (believed, order) => unknownRangeWords(believed, unit, order), axes: { x: "x2", y: "y2" } };
}

/**
 * What is believed of a neck before and after its readings: above the relief, below what they taught most, each as a hill that is the higher and
 * narrower the surer it is; the hatched part holds the truth 19 times in 20. Hills are told apart by dash and marker as well as by colour.
 * @throws {RangeError} a width outside 480 to 1600 px, or fewer than two beliefs
 */
export function beliefFigure(drawn: DrawnBeliefs, options: { readonly order?: UnitOrder; readonly widthPx?: number } = {}): Figure {
  const { order = "mm first", widthPx = 900 } = options;
  if (!(widthPx >= LEAST_WIDTH_PX && widthPx <= 1600)) throw new RangeError(`Cannot draw beliefs: expected a width of ${LEAST_WIDTH_PX} to 1600 px, got ${widthPx}`);
  if (drawn.beliefs.length < 2) throw new RangeError(`Cannot draw what readings taught: expected what was believed before and after, got ${drawn.beliefs.length}`);
  const taught = taughtOf(drawn.taught);
  const words = drawn.beliefs.map((belief) => `${belief.known}: relief ${RELIEF.words(belief.reliefMm, order)}, ${drawn.taught.what} ${taught.words(belief.taught, order)}`);
  return {
    data: [wanted(drawn), ...drawn.beliefs.flatMap((belief, index) => [...hill(belief, index, RELIEF, order), ...hill(belief, index, taught, order)])],
    ...laidOut(drawn, order, widthPx), config: { displaylogo: false, displayModeBar: "hover", responsive: false, scrollZoom: false, doubleClick: "reset", showTips: false },
    alt: `What is believed of ${drawn.neck.name}, ${drawn.title}, at fret ${drawn.middleFret}, 19 times in 20. ${words.join("; ")}.`,
    fileName: `beliefs ${drawn.neck.name} ${drawn.title}`.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60),
    narrower: NARROWER_PX.filter((px) => px < widthPx).map((px) => laidOut(drawn, order, px)),
  };
}

/** Height of the hill: a normal curve on each side of the middle, of one area whatever its width. */
function density({ middle, low95, high95 }: Believed, at: number): number {
  const [left, right] = [Math.max(1e-9, (middle - low95) / NORMAL_95), Math.max(1e-9, (high95 - middle) / NORMAL_95)];
  return (2 / (left + right)) * Math.exp(-0.5 * ((at - middle) / (at < middle ? left : right)) ** 2);
}

function points({ middle, low95, high95 }: Believed, reach: number): readonly number[] {
  const [from, to] = [middle - reach * (middle - low95), middle + reach * (high95 - middle)];
  return Array.from({ length: POINTS }, (_, index) => from + ((to - from) * index) / (POINTS - 1));
}

/** The hatched part, the curve, and the mark over its middle. */
function hill(belief: DrawnBelief, index: number, quantity: Quantity, order: UnitOrder): readonly JsonObject[] {
  const believed = quantity.of(belief);
  const look = lineLook(index);
  const [inside, all] = [points(believed, 1), points(believed, 1.7)];
  const axis = { type: "scatter", xaxis: quantity.axes.x, yaxis: quantity.axes.y, legendgroup: belief.known };
  const y = (at: number): number => rounded(density(believed, at), 5);
  const said = `<b>${escaped(belief.known)}</b><br>${quantity.words(believed, order)}<br>19 times in 20`;
  return [
    {
      ...axis, mode: "lines", x: [...inside, inside.at(-1) ?? 0, inside[0] ?? 0].map((at) => rounded(at, 5)), y: [...inside.map(y), 0, 0], fill: "toself", line: { color: look.colour, width: 0.6 }, hoverinfo: "skip", showlegend: false,
      fillpattern: { shape: look.hatch, size: 7, solidity: 0.14, fgcolor: look.colour, bgcolor: "rgba(0,0,0,0)", fillmode: "replace" }, opacity: 0.75,
    },
    { ...axis, mode: "lines", x: all.map((at) => rounded(at, 5)), y: all.map(y), line: { color: look.colour, width: 2.2, dash: look.dash }, hoverinfo: "text", hovertext: all.map(() => said), showlegend: false },
    {
      ...axis, mode: "lines+markers", x: [rounded(believed.middle, 5)], y: [y(believed.middle)], marker: { symbol: look.marker, size: 9, color: look.colour }, line: { color: look.colour, width: 2.2, dash: look.dash }, hoverinfo: "text", hovertext: [said],
      name: escaped(belief.known), showlegend: quantity === RELIEF,
    },
  ];
}

function wanted({ wantedMm, beliefs }: DrawnBeliefs): JsonObject {
  const top = topOf(beliefs, RELIEF);
  return {
    type: "scatter", mode: "lines", xaxis: "x", yaxis: "y", x: [wantedMm.min, wantedMm.min, wantedMm.max, wantedMm.max, wantedMm.min], y: [0, top, top, 0, 0], fill: "toself",
    fillcolor: "rgba(138,117,80,0.2)", line: { color: SOFT_INK, width: 1, dash: "dot" }, hoverinfo: "skip", name: WANTED_NAME,
  };
}

function topOf(beliefs: readonly DrawnBelief[], { of }: Quantity): number {
  return rounded(1.12 * Math.max(...beliefs.map((belief) => density(of(belief), of(belief).middle))), 5);
}

function rangeOf(beliefs: readonly DrawnBelief[], { of }: Quantity, also: readonly number[]): readonly [number, number] {
  const ends = [...beliefs.flatMap((belief) => [points(of(belief), 1.7)[0] ?? 0, points(of(belief), 1.7).at(-1) ?? 1]), ...also];
  const [low, high] = [Math.min(...ends), Math.max(...ends)];
  return [low - 0.02 * (high - low), high + 0.02 * (high - low)];
}

function laidOut(drawn: DrawnBeliefs, order: UnitOrder, widthPx: number): NarrowerLayout {
  const sheet = panelSheet(textsOf(drawn, order), widthPx);
  const taught = taughtOf(drawn.taught);
  const paper = panelPaper(sheet);
  const plotPx = widthPx - LEFT_PX - RIGHT_PX;
  const layout: JsonObject = {
    width: sheet.widthPx, height: sheet.heightPx, autosize: false, paper_bgcolor: PAPER, plot_bgcolor: "rgba(0,0,0,0)", margin: paper.margin, legend: paper.legend,
    font: { family: TEXT_FONT, size: SMALLEST_TEXT_PX, color: INK }, hovermode: "closest", dragmode: "zoom", hoverdistance: 24,
    hoverlabel: { bgcolor: PANEL, bordercolor: INK, align: "left", namelength: 0, font: { family: TEXT_FONT, size: HOVER_TEXT_PX, color: INK } },
    annotations: panelWriting(sheet), shapes: [...paper.shapes, straight(sheet)],
    xaxis: { ...axisOf(rangeOf(drawn.beliefs, RELIEF, [0, drawn.wantedMm.min, drawn.wantedMm.max]), plotPx, (mm) => lengthTick(mm, order)), anchor: "y" },
    xaxis2: { ...axisOf(rangeOf(drawn.beliefs, taught, []), plotPx, (value) => (drawn.taught.unit === "mm" ? lengthTick(value, order) : Number(value.toPrecision(3)).toString().replace("-", "−"))), anchor: "y2" },
    ...Object.fromEntries(sheet.panels.map((panel, index) => [index === 0 ? "yaxis" : "yaxis2", {
      domain: [panelPaperY(sheet, panel.bottomPx), panelPaperY(sheet, panel.topPx)], anchor: index === 0 ? "x" : "x2", range: [0, topOf(drawn.beliefs, index === 0 ? RELIEF : taught)], showticklabels: false, showgrid: false, zeroline: false, ticks: "", fixedrange: true,
    }])),
  };
  return { widthPx: sheet.widthPx, heightPx: sheet.heightPx, layout };
}

/** Where there is neither bow. */
function straight(sheet: PanelSheet): JsonObject {
  const panel = sheet.panels[0];
  return { type: "line", xref: "x", yref: "paper", x0: 0, x1: 0, y0: panelPaperY(sheet, panel?.bottomPx ?? 0), y1: panelPaperY(sheet, panel?.topPx ?? 0), line: { color: INK, width: 1, dash: "12px,3px,2px,3px" }, layer: "below" };
}

function axisOf(range: readonly [number, number], plotPx: number, words: (value: number) => string): JsonObject {
  const widestPx = textWidthPx("−0.25 mm", SMALLEST_TEXT_PX) + 14;
  const step = roundStep(range[1] - range[0], Math.max(2, Math.floor(plotPx / widestPx)));
  const first = Math.ceil(range[0] / step - 1e-9);
  const ticks = Array.from({ length: Math.floor(range[1] / step + 1e-9) - first + 1 }, (_, index) => (first + index) * step);
  return {
    range: range.map((value) => rounded(value, 5)), tickmode: "array", tickvals: ticks.map((value) => rounded(value, 5)), ticktext: ticks.map(words), tickangle: 0, ticklabeloverflow: "allow", showgrid: false, zeroline: false, showline: true, linecolor: PENCIL,
    ticks: "outside", ticklen: 4, tickcolor: PENCIL, tickfont: { size: SMALLEST_TEXT_PX, color: INK },
  };
}

function lengthTick(mm: number, order: UnitOrder): string {
  const minus = (text: string): string => (Number(text) === 0 ? "0" : text.replace("-", "−"));
  const [inMm, inThou] = [`${minus(Number(mm.toFixed(4)).toString())} mm`, `${minus(Number((mm / MM_PER_THOU).toFixed(2)).toString())} thou`];
  return order === "mm first" ? `${inMm}<br>${inThou}` : `${inThou}<br>${inMm}`;
}

function textsOf({ neck, title, middleFret, beliefs, taught, wantedMm }: DrawnBeliefs, order: UnitOrder): PanelSheetTexts {
  const known = (quantity: Quantity): string => beliefs.map((belief) => `${belief.known}: ${quantity.words(quantity.of(belief), order)}`).join("; ");
  return {
    title: `${neck.name}  ·  what the readings taught`, caption: "The higher and narrower a hill, the surer. All have one area; the hatched part holds the truth 19 times in 20, if the model is right.",
    headings: [`Relief at fret ${middleFret}, ${title}: right of the line at 0 ${bowWords(1)}, left of it ${bowWords(-1)}`, `What they taught most: ${taught.what}${taught.unit === "mm" ? "" : ` (${taught.unit === "" ? "no unit" : taught.unit})`}`],
    panelPx: PANEL_PX, betweenPx: BETWEEN_PX, axis: "", legend: [WANTED_NAME, ...beliefs.map((belief) => belief.known)], sliderPx: BETWEEN_PX - 16,
    notes: [`Relief, ${known(RELIEF)}. Wanted: ${rangeWords({ low95: wantedMm.min, high95: wantedMm.max }, order)}.`, `${capital(taught.what)}, ${known(taughtOf(taught))}.`],
  };
}
