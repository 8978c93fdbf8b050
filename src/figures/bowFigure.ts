import { rangeWords } from "../bow/effect.js";
import type { Neck } from "../neck/neck.js";
import { NORMAL_95 } from "../units/measured.js";
import type { UnitOrder } from "../units/words.js";
import { bowAxes, fretMarks, jointMarks } from "./bowAxes.js";
import type { DrawnBow } from "./bowDrawing.js";
import { panelPaper, panelSheet, panelWriting, type PanelSheet, type PanelSheetTexts } from "./bowSheet.js";
import { causeTraces, causeWords, RANGE_NAME, sumTraces, SUM_NAME } from "./bowTraces.js";
import type { Figure, JsonObject, NarrowerLayout } from "./figure.js";
import { HOVER_TEXT_PX, INK, PANEL, PAPER, SMALLEST_TEXT_PX, TEXT_FONT } from "./look.js";
import { CAPTION_AFTER, CAPTION_BEFORE, captionText, LEFT_PX, RIGHT_PX, xRangeMm } from "./sheet.js";

/** How a predicted bow is drawn; everything may be left out. */
export type BowFigureOptions = { /** Which unit stands first and on the left; mm unless said. */ readonly order?: UnitOrder; /** 480 to 1600; 900 unless said. */ readonly widthPx?: number };

const LEAST_WIDTH_PX = 480;
const NARROWER_PX = [780, 660, 560, LEAST_WIDTH_PX];
const PANEL_PX = 200;

/**
 * A predicted bow as a drawing: above, what each cause does by itself; below, all of them together, with the band that holds the
 * truth 19 times in 20. Side view, nut at the left, heights over the chord of the span; causes are told apart by marker and dash as well as colour.
 * @throws {RangeError} a width outside 480 to 1600 px, or no cause
 */
export function bowFigure(bow: DrawnBow, options: BowFigureOptions = {}): Figure {
  const widthPx = options.widthPx ?? 900;
  const order = options.order ?? "mm first";
  if (!(widthPx >= LEAST_WIDTH_PX && widthPx <= 1600)) throw new RangeError(`Cannot draw the bow: expected a width of ${LEAST_WIDTH_PX} to 1600 px, got ${widthPx}`);
  if (bow.causes.length === 0) throw new RangeError("Cannot draw the bow: expected one cause or more, got none");
  const drawn = (px: number): NarrowerLayout => laidOut(bow, order, px);
  const own = drawn(widthPx);
  const name = `bow by cause ${bow.neck.name} ${bow.title}`.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "");
  return {
    data: [...bow.causes.flatMap((cause, index) => causeTraces(bow, cause, index, order)), ...sumTraces(bow, order)],
    ...own, config: { displaylogo: false, displayModeBar: "hover", responsive: false, scrollZoom: false, doubleClick: "reset", showTips: false },
    alt: `Side view of the predicted bow of ${bow.neck.name}, ${bow.title}, over ${bow.span.words}. ${bow.causes.map((cause) => causeWords(cause, order)).join("; ")}. All together: ${rangeWords(bow.relief, order)}.`,
    fileName: name.slice(0, 60), heightScale: { annotation: 1, before: CAPTION_BEFORE, after: CAPTION_AFTER },
    narrower: NARROWER_PX.filter((px) => px < widthPx).map(drawn),
  };
}

function laidOut(bow: DrawnBow, order: UnitOrder, widthPx: number): NarrowerLayout {
  const y = heightRangeMm(bow);
  const first = panelSheet(textsOf(bow, order, 10_000), widthPx);
  const sheet = panelSheet(textsOf(bow, order, timesTooTall(first, bow.neck, y)), widthPx);
  const paper = panelPaper(sheet);
  const layout: JsonObject = {
    width: sheet.widthPx, height: sheet.heightPx, autosize: false, paper_bgcolor: PAPER, plot_bgcolor: "rgba(0,0,0,0)", margin: paper.margin, legend: paper.legend,
    font: { family: TEXT_FONT, size: SMALLEST_TEXT_PX, color: INK }, hovermode: "closest", dragmode: "zoom", hoverdistance: 24,
    hoverlabel: { bgcolor: PANEL, bordercolor: INK, align: "left", namelength: 0, font: { family: TEXT_FONT, size: HOVER_TEXT_PX, color: INK } },
    annotations: [...panelWriting(sheet), ...jointMarks(sheet, bow)], shapes: [...paper.shapes, ...fretMarks(sheet, bow)], ...bowAxes(sheet, bow.neck, y, order),
  };
  return { widthPx: sheet.widthPx, heightPx: sheet.heightPx, layout };
}

function textsOf(bow: DrawnBow, order: UnitOrder, times: number): PanelSheetTexts {
  const joint = bow.neck.bodyJoint === undefined ? "" : `J: body joint, fret ${bow.neck.bodyJoint}. `;
  return {
    title: `${bow.neck.name}  ·  ${bow.title}`, caption: captionText(times),
    headings: ["Each cause by itself, at the middle of what is believed", `All together: ${rangeWords(bow.relief, order)}, at fret ${bow.span.middleFret}`],
    panelPx: PANEL_PX, axis: "fret, at its true place", legend: [...bow.causes.map(({ cause }) => cause), SUM_NAME, RANGE_NAME], sliderPx: 0,
    notes: [`At fret ${bow.span.middleFret}, by themselves: ${bow.causes.map((cause) => causeWords(cause, order)).join("; ")}.`, `${joint}Heights are counted from the chord over ${bow.span.words}. Hatching: 19 times in 20 the truth lies inside, if the model is right. Below the chord is forward bow (middle low), above it back bow (middle high).`, ...bow.notes],
  };
}

/** Everything that is drawn, the band as far as it is of the order of the rest; never so little that nothing looks like something. */
function heightRangeMm({ causes, sum }: DrawnBow): readonly [number, number] {
  const lines = [...causes.map(({ profile }) => profile.vMm), sum.vMm].flat();
  const band = sum.vMm.flatMap((v, index) => [v - NORMAL_95 * (sum.uMm?.[index] ?? 0), v + NORMAL_95 * (sum.uMm?.[index] ?? 0)]);
  const [low, high] = [Math.min(-0.04, ...lines, ...band), Math.max(0.04, ...lines, ...band)];
  return [low - 0.07 * (high - low), high + 0.07 * (high - low)];
}

function timesTooTall(sheet: PanelSheet, neck: Neck, y: readonly [number, number]): number {
  const x = xRangeMm(neck);
  const along = (sheet.widthPx - LEFT_PX - RIGHT_PX) / (x[1] - x[0]);
  return Number((PANEL_PX / (y[1] - y[0]) / along).toPrecision(2));
}
