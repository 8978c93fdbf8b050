import type { JsonObject } from "./figure.js";
import { INK, PANEL, SMALLEST_TEXT_PX, SOFT_INK, TITLE_FONT } from "./look.js";
import { LEFT_PX, LEGEND_ROW_PX, MARGIN_PX, printHeightPx, RIGHT_PX, TOP_PX, type Print } from "./sheet.js";
import { escaped, textWidthPx, wrapped } from "./text.js";

/** What stands on a sheet of panels, from the top down. */
export type PanelSheetTexts = {
  readonly title: string;
  readonly caption: string;
  /** One panel each, with its heading. */
  readonly headings: readonly string[];
  readonly panelPx: number;
  /** Room under every panel but the lowest, for an axis of its own; none unless said. */
  readonly betweenPx?: number;
  /** Under the numbers along the lowest panel. */
  readonly axis: string;
  readonly legend: readonly string[];
  /** Room under the axis words, for a slider. */
  readonly sliderPx: number;
  readonly notes: readonly string[];
};

/** Where it all stands, px from the top. */
export type PanelSheet = {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly title: Print;
  readonly caption: Print;
  readonly captionTopPx: number;
  readonly panels: readonly { readonly heading: Print; readonly headingTopPx: number; readonly topPx: number; readonly bottomPx: number }[];
  readonly axis: Print;
  readonly axisTopPx: number;
  readonly sliderTopPx: number;
  readonly legendTopPx: number;
  readonly notes: Print;
  readonly notesTopPx: number;
};

const BUTTONS_PX = 140;
const TICK_NUMBERS_PX = 22;

/** Places the texts and panels on a sheet of this width; what is long is wrapped and takes the room it needs. */
export function panelSheet(texts: PanelSheetTexts, widthPx: number): PanelSheet {
  const textPx = widthPx - 2 * MARGIN_PX;
  const print = (text: string, sizePx: number, leadingPx: number, roomPx = textPx): Print => ({ lines: text === "" ? [] : wrapped(text, roomPx, sizePx, 6), sizePx, leadingPx });
  const title = { ...print(texts.title, 20, 26, textPx - BUTTONS_PX) };
  const caption = print(texts.caption, 13, 18);
  const captionTopPx = TOP_PX + printHeightPx(title) + 2;
  const panels = texts.headings.reduce<PanelSheet["panels"]>((placed, text) => {
    const heading = print(text, 14, 19);
    const above = placed.at(-1);
    const headingTopPx = (above === undefined ? captionTopPx + printHeightPx(caption) : above.bottomPx + (texts.betweenPx ?? 0)) + 10;
    const topPx = headingTopPx + printHeightPx(heading) + 5;
    return [...placed, { heading, headingTopPx, topPx, bottomPx: topPx + texts.panelPx }];
  }, []);
  const axis = print(texts.axis, SMALLEST_TEXT_PX, 17, widthPx - LEFT_PX - MARGIN_PX);
  const axisTopPx = (panels.at(-1)?.bottomPx ?? 0) + TICK_NUMBERS_PX;
  const sliderTopPx = axisTopPx + printHeightPx(axis) + 6;
  const legendTopPx = sliderTopPx + texts.sliderPx;
  const notes: Print = { lines: texts.notes.flatMap((note) => wrapped(note, textPx, SMALLEST_TEXT_PX, 5)), sizePx: SMALLEST_TEXT_PX, leadingPx: 17 };
  const notesTopPx = legendTopPx + LEGEND_ROW_PX * legendRows(texts.legend, widthPx - LEFT_PX - RIGHT_PX) + 10;
  return { widthPx, heightPx: Math.ceil(notesTopPx + printHeightPx(notes) + 14), title, caption, captionTopPx, panels, axis, axisTopPx, sliderTopPx, legendTopPx, notes, notesTopPx };
}

const SAMPLE_PX = 42;
/** Estimated text widths are some per cent off. */
const SAFETY = 1.08;

/** Rows of a legend: one where its entries fit side by side, else plotly sets them in columns as wide as the widest. */
function legendRows(names: readonly string[], roomPx: number): number {
  const entriesPx = names.map((name) => SAMPLE_PX + SAFETY * textWidthPx(name, SMALLEST_TEXT_PX));
  if (entriesPx.reduce((sum, px) => sum + px, 0) <= roomPx) return 1;
  return Math.ceil(names.length / Math.max(1, Math.floor(roomPx / Math.max(...entriesPx))));
}

/** Plotly's paper coordinate of a height on the sheet: 1 at the top of the first panel, 0 at the bottom of the last. */
export function panelPaperY({ panels }: PanelSheet, px: number): number {
  const [top, bottom] = [panels[0]?.topPx ?? 0, panels.at(-1)?.bottomPx ?? 1];
  return Number(((bottom - px) / (bottom - top)).toFixed(6)) + 0;
}

/** Title, caption, headings, axis words and notes as plotly's annotations; the caption is the second. */
export function panelWriting(sheet: PanelSheet): readonly JsonObject[] {
  const print = (text: Print, topPx: number, font: JsonObject, leftPx = MARGIN_PX): JsonObject => ({
    text: text.lines.map(escaped).join("<br>"), font: { size: text.sizePx, ...font }, showarrow: false, align: "left",
    xref: "paper", x: 0, xanchor: "left", xshift: leftPx - LEFT_PX, yref: "paper", y: panelPaperY(sheet, topPx), yanchor: "top", borderpad: 0,
  });
  return [
    print(sheet.title, TOP_PX, { family: TITLE_FONT, color: INK }), print(sheet.caption, sheet.captionTopPx, { color: SOFT_INK }),
    ...sheet.panels.map((panel) => print(panel.heading, panel.headingTopPx, { color: INK })),
    print(sheet.axis, sheet.axisTopPx, { color: SOFT_INK }, LEFT_PX), print(sheet.notes, sheet.notesTopPx, { color: SOFT_INK }),
  ];
}

/** The paper of the panels and the margins around them, as parts of a plotly layout. */
export function panelPaper(sheet: PanelSheet): { readonly margin: JsonObject; readonly shapes: readonly JsonObject[]; readonly legend: JsonObject } {
  const [top, bottom] = [sheet.panels[0]?.topPx ?? 0, sheet.panels.at(-1)?.bottomPx ?? 1];
  return {
    margin: { l: LEFT_PX, r: RIGHT_PX, t: top, b: sheet.heightPx - bottom, pad: 0, autoexpand: false },
    shapes: sheet.panels.map((panel) => ({ type: "rect", xref: "paper", yref: "paper", x0: 0, x1: 1, y0: panelPaperY(sheet, panel.bottomPx), y1: panelPaperY(sheet, panel.topPx), fillcolor: PANEL, line: { width: 0 }, layer: "below" })),
    legend: {
      orientation: "h", x: 0, xanchor: "left", y: panelPaperY(sheet, sheet.legendTopPx), yanchor: "top", yref: "paper", bgcolor: "rgba(0,0,0,0)",
      font: { size: SMALLEST_TEXT_PX, color: INK }, itemsizing: "trace", tracegroupgap: 0, itemclick: "toggle", itemdoubleclick: false,
    },
  };
}
