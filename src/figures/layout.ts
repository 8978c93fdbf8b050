import { fretDistanceMm } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { MM_PER_THOU } from "../units/length.js";
import { mmAxis, paperY, thouAxis, rounded, stripAxis, type Drawing } from "./drawing.js";
import type { JsonObject } from "./figure.js";
import { FAINT_PENCIL, HOVER_TEXT_PX, INK, PANEL, PAPER, PENCIL, SMALLEST_TEXT_PX, SOFT_INK, TEXT_FONT } from "./look.js";
import { stripWidthMm, type Panel, type Sheet } from "./sheet.js";
import { labelledFrets, roundStep } from "./ticks.js";
import { zoneShapes } from "./zones.js";

/** Axes, page and rulings, as plotly names them. */
export function layout(drawing: Drawing, annotations: readonly JsonObject[]): JsonObject {
  const { sheet, survey } = drawing;
  const top = sheet.panels[0]?.topPx ?? 0;
  return {
    width: sheet.widthPx, height: sheet.heightPx, autosize: false, ...(drawing.isCard === true ? { showlegend: false, paper_bgcolor: "#ffffff" } : { paper_bgcolor: PAPER }), plot_bgcolor: "rgba(0,0,0,0)",
    margin: { l: sheet.leftPx, r: sheet.rightPx, t: rounded(top, 3), b: rounded(sheet.heightPx - sheet.strip.bottomPx, 3), pad: 0, autoexpand: false },
    font: { family: TEXT_FONT, size: SMALLEST_TEXT_PX, color: INK }, hovermode: "closest", dragmode: "zoom", hoverdistance: 24,
    hoverlabel: { bgcolor: PANEL, bordercolor: INK, align: "left", namelength: 0, font: { family: TEXT_FONT, size: HOVER_TEXT_PX, color: INK } },
    legend: legend(sheet), annotations, shapes: [...shapes(drawing), ...zoneShapes(drawing)], xaxis: fretAxis(sheet, survey.neck, stripAxis(sheet)),
    ...Object.fromEntries(sheet.panels.flatMap((_, index) => heightAxes(drawing, index))), [axisKey(stripAxis(drawing.sheet))]: boardAxis(sheet, survey.neck),
  };
}

function legend(sheet: Sheet): JsonObject {
  return {
    orientation: "h", x: 0, xanchor: "left", y: paperY(sheet, sheet.legendTopPx), yanchor: "top", yref: "paper", bgcolor: "rgba(0,0,0,0)",
    font: { size: SMALLEST_TEXT_PX, color: INK }, itemsizing: "trace", tracegroupgap: 0, itemclick: "toggle", itemdoubleclick: false,
  };
}

function fretAxis(sheet: Sheet, neck: Neck, anchor: string): JsonObject {
  const pxPerMm = (sheet.widthPx - sheet.leftPx - sheet.rightPx) / (sheet.xRangeMm[1] - sheet.xRangeMm[0]);
  const frets = labelledFrets(neck, pxPerMm, SMALLEST_TEXT_PX);
  return {
    anchor, side: "bottom", range: sheet.xRangeMm.map((mm) => rounded(mm, 3)), tickmode: "array", tickvals: frets.map((fret) => rounded(fretDistanceMm(neck.scaleLengthMm, fret), 3)),
    ticktext: frets.map(String), tickangle: 0, ticklabeloverflow: "allow", ticks: "", showgrid: false, zeroline: false, showline: false, tickfont: { size: SMALLEST_TEXT_PX, color: INK },
  };
}

function heightAxes(drawing: Drawing, index: number): readonly (readonly [string, JsonObject])[] {
  const { sheet, order } = drawing;
  const panel = sheet.panels[index];
  if (panel === undefined) return [];
  const domain = [paperY(sheet, panel.bottomPx), paperY(sheet, panel.topPx)];
  const matches = (axis: string): JsonObject => (index === 0 ? {} : { matches: axis });
  const [mmSide, thouSide] = order === "mm first" ? ["left", "right"] : ["right", "left"];
  return [
    [axisKey(mmAxis(index)), { ...heightAxis(sheet, "mm", panel), domain, anchor: "x", side: mmSide, ...matches("y") }],
    [axisKey(thouAxis(index)), { ...heightAxis(sheet, "thou", panel), overlaying: mmAxis(index), anchor: "x", side: thouSide, ...matches("y2") }],
  ];
}

/** Ticks of the height stand no nearer to each other. */
const TICK_PX = 24;

function heightAxis(sheet: Sheet, unit: "mm" | "thou", panel: Panel): JsonObject {
  const mmPerUnit = unit === "mm" ? 1 : MM_PER_THOU;
  const range = sheet.yRangeMm.map((mm) => rounded(mm / mmPerUnit, 5));
  const step = roundStep((sheet.yRangeMm[1] - sheet.yRangeMm[0]) / mmPerUnit, Math.max(2, Math.floor((panel.bottomPx - panel.topPx) / TICK_PX)));
  return {
    range, tick0: 0, ticklabeloverflow: "allow", dtick: step, tickformat: `.${Math.max(0, -Math.floor(Math.log10(step) + 1e-9))}f`, showgrid: false, zeroline: false, showline: true, linecolor: PENCIL, linewidth: 1,
    ticks: "outside", ticklen: 4, tickcolor: PENCIL, tickfont: { size: SMALLEST_TEXT_PX, color: INK }, ticksuffix: ` ${unit}`, showticksuffix: "last",
  };
}

function boardAxis(sheet: Sheet, neck: Neck): JsonObject {
  const half = rounded(stripWidthMm(neck) / 2, 3);
  return { domain: [0, paperY(sheet, sheet.strip.topPx)], anchor: "x", range: [-half, half], visible: false, fixedrange: true };
}

function shapes(drawing: Drawing): readonly JsonObject[] {
  const { sheet, survey } = drawing;
  const ends = sheet.panels.map((panel) => ({ low: paperY(sheet, panel.bottomPx), high: paperY(sheet, panel.topPx) }));
  const wires = survey.neck.zeroFret ? 0 : 1;
  const places = Array.from({ length: survey.neck.frets + 1 - wires }, (_, index) => rounded(fretDistanceMm(survey.neck.scaleLengthMm, index + wires), 3));
  const joint = survey.neck.bodyJoint === undefined ? [] : [rounded(fretDistanceMm(survey.neck.scaleLengthMm, survey.neck.bodyJoint), 3)];
  return ends.flatMap(({ low, high }) => [
    { type: "rect", xref: "paper", yref: "paper", x0: 0, x1: 1, y0: low, y1: high, fillcolor: PANEL, line: { width: 0 }, layer: "below" },
    { type: "path", xref: "x", yref: "paper", path: places.map((x) => `M${x},${low}L${x},${high}`).join(""), line: { color: FAINT_PENCIL, width: 1 }, layer: "below" },
    ...joint.map((x) => ({ type: "line", xref: "x", yref: "paper", x0: x, x1: x, y0: low, y1: high, line: { color: SOFT_INK, width: 1.2, dash: "5px,3px" }, layer: "below" })),
  ]);
}

function axisKey(axis: string): string {
  return axis.replace("y", "yaxis");
}
