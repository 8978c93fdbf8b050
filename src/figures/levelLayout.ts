import { bearsFirstWords } from "../advice/levelPlan/firstTouched.js";
import { fretDistanceMm } from "../neck/frets.js";
import { MM_PER_THOU } from "../units/length.js";
import { mmAxis, rounded, thouAxis } from "./drawing.js";
import type { JsonObject } from "./figure.js";
import type { LevelDrawing } from "./levelDrawing.js";
import { FAINT_PENCIL, HOVER_TEXT_PX, INK, lineLook, PANEL, PENCIL, SMALLEST_TEXT_PX, SOFT_INK, TEXT_FONT, TITLE_FONT } from "./look.js";
import { captionText, LEFT_PX, MARGIN_PX, RIGHT_PX, TOP_PX } from "./sheet.js";
import { escaped, wrapped } from "./text.js";
import { labelledFrets, roundStep } from "./ticks.js";

/** Where everything on the drawing of a levelling stands, px from its top left corner. */
export type LevelSheet = {
  readonly widthPx: number; readonly heightPx: number; readonly title: readonly string[]; readonly caption: readonly string[];
  readonly panels: readonly { readonly headingTopPx: number; readonly topPx: number; readonly bottomPx: number }[];
  readonly legendTopPx: number; readonly xRangeMm: readonly [number, number]; readonly yRangeMm: readonly [number, number];
  /** How many times too tall heights are drawn. */
  readonly times: number;
};

/** The caption with the height scale is the second of the writings. */
export const HEIGHT_SCALE_AT = 1;
const TITLE_LEADING_PX = 26;
const CAPTION_LEADING_PX = 18;
const HEADING_PX = 22;
const FRET_ROW_PX = 40;
const CARD_FRET_ROW_PX = 24;
const LEGEND_ROW_PX = 20;
/** A levelling of less than this is drawn flat, mm. */
const LEAST_RANGE_MM = 0.06;

/** Lays a levelling out for a width. */
export function levelSheet(drawing: LevelDrawing, widthPx: number, panelPx: number, xRangeMm: readonly [number, number]): LevelSheet {
  const values = drawing.lines.flatMap(({ tops }) => tops.flatMap(({ nowMm, seatedMm, wantedMm }) => [nowMm, seatedMm, wantedMm]));
  const low = Math.min(-drawing.posed.problem.toleranceMm, ...values);
  const high = Math.max(low + LEAST_RANGE_MM, ...values);
  const room = (drawing.look.isCard ? 0.2 : 0.12) * (high - low);
  const yRangeMm = [low - room, high + room] as const;
  const writeWidthPx = widthPx - 2 * MARGIN_PX;
  const { isCard } = drawing.look;
  const title = isCard ? [] : wrapped(`${drawing.posed.survey.neck.name}  ·  levelling`, writeWidthPx - 140, 20);
  const times = Number(((panelPx / (yRangeMm[1] - yRangeMm[0])) / ((widthPx - LEFT_PX - RIGHT_PX) / (xRangeMm[1] - xRangeMm[0]))).toPrecision(2));
  const caption = isCard ? [] : wrapped(captionText(times), writeWidthPx, 13);
  let at = isCard ? 0 : TOP_PX + title.length * TITLE_LEADING_PX + caption.length * CAPTION_LEADING_PX + 4;
  const panels = drawing.lines.map(() => {
    const panel = { headingTopPx: at, topPx: at + HEADING_PX, bottomPx: at + HEADING_PX + panelPx };
    at = panel.bottomPx + (isCard ? 4 : 8);
    return panel;
  });
  const bottomPx = panels.at(-1)?.bottomPx ?? 0;
  if (isCard) return { widthPx, heightPx: bottomPx + CARD_FRET_ROW_PX, title, caption, panels, legendTopPx: bottomPx, xRangeMm, yRangeMm, times };
  const legendTopPx = at + FRET_ROW_PX - 8 + 16 * (axisWords(drawing, widthPx).length - 1);
  const rows = Math.ceil(1320 / (widthPx - LEFT_PX - RIGHT_PX));
  return { widthPx, heightPx: legendTopPx + rows * LEGEND_ROW_PX + 12, title, caption, panels, legendTopPx, xRangeMm, yRangeMm, times };
}

/** Axes, page and rulings, as plotly names them. */
export function levelLayout(drawing: LevelDrawing, sheet: LevelSheet): JsonObject {
  const top = sheet.panels[0]?.topPx ?? 0;
  const bottom = sheet.panels.at(-1)?.bottomPx ?? 0;
  const y = (px: number): number => rounded((bottom - px) / (bottom - top), 6);
  const { look, posed: { survey: { neck } } } = drawing;
  const pxPerMm = (sheet.widthPx - LEFT_PX - RIGHT_PX) / (sheet.xRangeMm[1] - sheet.xRangeMm[0]);
  const frets = labelledFrets(neck, pxPerMm, look.namePx, look.isCard ? toFind(drawing) : []);
  return {
    width: sheet.widthPx, height: sheet.heightPx, autosize: false, showlegend: !look.isCard, paper_bgcolor: look.paper, plot_bgcolor: "rgba(0,0,0,0)",
    margin: { l: LEFT_PX, r: RIGHT_PX, t: rounded(top, 3), b: rounded(sheet.heightPx - bottom, 3), pad: 0, autoexpand: false },
    font: { family: TEXT_FONT, size: SMALLEST_TEXT_PX, color: INK }, hovermode: "closest", dragmode: "zoom", hoverdistance: 24,
    hoverlabel: { bgcolor: PANEL, bordercolor: INK, align: "left", namelength: 0, font: { family: TEXT_FONT, size: HOVER_TEXT_PX, color: INK } },
    legend: { orientation: "h", x: 0, xanchor: "left", y: y(sheet.legendTopPx), yanchor: "top", yref: "paper", bgcolor: "rgba(0,0,0,0)", font: { size: SMALLEST_TEXT_PX, color: INK }, itemsizing: "trace", tracegroupgap: 0, itemclick: "toggle", itemdoubleclick: false },
    annotations: writing(drawing, sheet, y), shapes: shapes(drawing, sheet, y),
    xaxis: {
      anchor: mmAxis(sheet.panels.length - 1), side: "bottom", range: sheet.xRangeMm.map((mm) => rounded(mm, 3)), tickmode: "array", tickvals: frets.map((fret) => rounded(fretDistanceMm(neck.scaleLengthMm, fret), 3)),
      ticktext: frets.map(String), tickangle: 0, ticklabeloverflow: "allow", ticks: "", showgrid: false, zeroline: false, showline: false, tickfont: { size: look.namePx, color: INK },
    },
    ...Object.fromEntries(sheet.panels.flatMap((panel, index) => heightAxes(drawing, sheet, index, [y(panel.bottomPx), y(panel.topPx)]))),
  };
}

function heightAxes(drawing: LevelDrawing, sheet: LevelSheet, index: number, domain: readonly [number, number]): readonly (readonly [string, JsonObject])[] {
  const [mmSide, thouSide] = drawing.order === "mm first" ? ["left", "right"] : ["right", "left"];
  const panelPx = (sheet.panels[index]?.bottomPx ?? 0) - (sheet.panels[index]?.topPx ?? 0);
  const axis = (unit: string, mmPerUnit: number): JsonObject => {
    const step = roundStep((sheet.yRangeMm[1] - sheet.yRangeMm[0]) / mmPerUnit, Math.max(3, Math.floor(panelPx / (drawing.look.heightPx + 10))));
    return {
      range: sheet.yRangeMm.map((mm) => rounded(mm / mmPerUnit, 5)), domain, anchor: "x", tick0: 0, dtick: step, tickformat: `.${Math.max(0, -Math.floor(Math.log10(step) + 1e-9))}f`, ticklabeloverflow: "allow",
      showgrid: false, zeroline: false, showline: true, linecolor: PENCIL, linewidth: 1, ticks: "outside", ticklen: 4, tickcolor: PENCIL, tickfont: { size: drawing.look.heightPx, color: INK }, ticksuffix: ` ${unit}`, showticksuffix: "last",
    };
  };
  const matches = (name: string): JsonObject => (index === 0 ? {} : { matches: name });
  return [
    [mmAxis(index).replace("y", "yaxis"), { ...axis("mm", 1), side: mmSide, ...matches("y") }],
    [thouAxis(index).replace("y", "yaxis"), { ...axis("thou", MM_PER_THOU), side: thouSide, overlaying: mmAxis(index), ...matches("y2") }],
  ];
}

function writing(drawing: LevelDrawing, sheet: LevelSheet, y: (px: number) => number): readonly JsonObject[] {
  const { lines: known } = drawing.posed.survey.neck;
  const print = (lines: readonly string[], topPx: number, size: number, font: JsonObject): JsonObject => ({
    text: lines.map(escaped).join("<br>"), font: { size, ...font }, showarrow: false, align: "left", xref: "paper", x: 0, xanchor: "left", xshift: MARGIN_PX - LEFT_PX, yref: "paper", y: y(topPx), yanchor: "top", borderpad: 0,
  });
  return [
    ...(drawing.look.isCard ? [] : [
      print(sheet.title, TOP_PX, 20, { family: TITLE_FONT, color: INK }),
      print(sheet.caption, TOP_PX + sheet.title.length * TITLE_LEADING_PX, 13, { color: SOFT_INK }),
    ]),
    ...jointLetters(drawing, sheet, y),
    ...drawing.lines.map(({ line }, index) => {
      const look = lineLook(Math.max(0, known.findIndex(({ name }) => name === line)));
      const first = drawing.look.isCard ? bearsFirst(drawing, line) : "";
      return print([`${look.sign} ${line}${first}`], sheet.panels[index]?.headingTopPx ?? 0, Math.max(14, drawing.look.namePx), { color: look.colour });
    }),
    ...(drawing.look.isCard ? [] : [{ ...print(axisWords(drawing, sheet.widthPx), (sheet.panels.at(-1)?.bottomPx ?? 0) + 20, SMALLEST_TEXT_PX, { color: SOFT_INK }), xshift: 0 }]),
  ];
}

/** Frets that the card names: those to seat, those touched first, those gauged. */
function toFind({ plan, first }: LevelDrawing): readonly number[] {
  return [...new Set([...plan.reseat, ...first.flatMap(({ pair }) => pair)])];
}

/** `: the beam bears first on frets 2 and 9`. */
function bearsFirst({ first }: LevelDrawing, line: string): string {
  const found = first.find((one) => one.line === line);
  return found === undefined ? "" : `: ${bearsFirstWords(found)}`;
}

/** What is written under the frets, in lines that the width takes. */
function axisWords({ posed }: LevelDrawing, widthPx: number): readonly string[] {
  const joint = posed.survey.neck.bodyJoint === undefined ? "" : " (J: body joint)";
  return wrapped(`fret, at its true place${joint}; heights with the rod set, over the straight line that the beam will have cut`, widthPx - LEFT_PX - MARGIN_PX, SMALLEST_TEXT_PX);
}

/** The letter at the body joint's rule, once a panel. */
function jointLetters({ posed }: LevelDrawing, sheet: LevelSheet, y: (px: number) => number): readonly JsonObject[] {
  const { neck } = posed.survey;
  if (neck.bodyJoint === undefined) return [];
  const x = rounded(fretDistanceMm(neck.scaleLengthMm, neck.bodyJoint), 3);
  return sheet.panels.map(({ topPx }) => ({ text: "J", xref: "x", x, xanchor: "left", xshift: 3, yref: "paper", y: y(topPx + 4), yanchor: "top", showarrow: false, font: { size: SMALLEST_TEXT_PX, color: SOFT_INK }, borderpad: 0 }));
}

function shapes(drawing: LevelDrawing, sheet: LevelSheet, y: (px: number) => number): readonly JsonObject[] {
  const { look } = drawing;
  const { neck } = drawing.posed.survey;
  const places = drawing.lines[0]?.tops.map(({ xMm }) => rounded(xMm, 3)) ?? [];
  const joint = neck.bodyJoint === undefined ? [] : [rounded(fretDistanceMm(neck.scaleLengthMm, neck.bodyJoint), 3)];
  return sheet.panels.flatMap(({ topPx, bottomPx }) => {
    const [low, high] = [y(bottomPx), y(topPx)];
    return [
      { type: "rect", xref: "paper", yref: "paper", x0: 0, x1: 1, y0: low, y1: high, fillcolor: look.panel, line: { width: look.isCard ? 1 : 0, color: PENCIL }, layer: "below" },
      { type: "path", xref: "x", yref: "paper", path: places.map((x) => `M${x},${low}L${x},${high}`).join(""), line: { color: FAINT_PENCIL, width: 1 }, layer: "below" },
      ...joint.map((x) => ({ type: "line", xref: "x", yref: "paper", x0: x, x1: x, y0: low, y1: high, line: { color: SOFT_INK, width: 1.2, dash: "5px,3px" }, layer: "below" })),
    ];
  });
}
