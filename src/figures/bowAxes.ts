import { fretDistanceMm } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { MM_PER_THOU } from "../units/length.js";
import type { UnitOrder } from "../units/words.js";
import type { DrawnBow } from "./bowDrawing.js";
import { panelPaperY, type PanelSheet } from "./bowSheet.js";
import { rounded } from "./drawing.js";
import type { JsonObject } from "./figure.js";
import { FAINT_PENCIL, INK, PENCIL, SMALLEST_TEXT_PX, SOFT_INK } from "./look.js";
import { LEFT_PX, RIGHT_PX, xRangeMm } from "./sheet.js";
import { labelledFrets, roundStep } from "./ticks.js";

/** Plotly's name of the mm axis of a panel, and of its thou axis. */
export function panelAxes(index: number): { readonly mm: string; readonly thou: string } {
  return { mm: index === 0 ? "y" : `y${2 * index + 1}`, thou: `y${2 * index + 2}` };
}

/** Axes of the panels: frets along, heights in mm and thou, one scale in all panels. */
export function bowAxes(sheet: PanelSheet, neck: Neck, yMm: readonly [number, number], order: UnitOrder): JsonObject {
  const x = xRangeMm(neck);
  const frets = labelledFrets(neck, (sheet.widthPx - LEFT_PX - RIGHT_PX) / (x[1] - x[0]), SMALLEST_TEXT_PX);
  const last = panelAxes(sheet.panels.length - 1).mm;
  return {
    xaxis: {
      anchor: last, side: "bottom", range: x.map((mm) => rounded(mm, 3)), tickmode: "array", tickvals: frets.map((fret) => rounded(fretDistanceMm(neck.scaleLengthMm, fret), 3)),
      ticktext: frets.map(String), tickangle: 0, ticklabeloverflow: "allow", ticks: "", showgrid: false, zeroline: false, showline: false, tickfont: { size: SMALLEST_TEXT_PX, color: INK },
    },
    ...Object.fromEntries(sheet.panels.flatMap((panel, index) => {
      const { mm, thou } = panelAxes(index);
      const domain = [panelPaperY(sheet, panel.bottomPx), panelPaperY(sheet, panel.topPx)];
      const [mmSide, thouSide] = order === "mm first" ? ["left", "right"] : ["right", "left"];
      const matches = (axis: string): JsonObject => (index === 0 ? {} : { matches: axis });
      return [
        [mm.replace("y", "yaxis"), { ...heightAxis(yMm, "mm", panel.bottomPx - panel.topPx), domain, anchor: "x", side: mmSide, ...matches("y") }],
        [thou.replace("y", "yaxis"), { ...heightAxis(yMm, "thou", panel.bottomPx - panel.topPx), overlaying: mm, anchor: "x", side: thouSide, ...matches("y2") }],
      ];
    })),
  };
}

/** An axis of heights or reliefs in one unit. */
export function heightAxis(yMm: readonly [number, number], unit: "mm" | "thou", panelPx: number): JsonObject {
  const mmPerUnit = unit === "mm" ? 1 : MM_PER_THOU;
  const step = roundStep((yMm[1] - yMm[0]) / mmPerUnit, Math.max(2, Math.floor(panelPx / 30)));
  return {
    range: yMm.map((mm) => rounded(mm / mmPerUnit, 5)), tick0: 0, ticklabeloverflow: "allow", dtick: step, tickformat: `.${Math.max(0, -Math.floor(Math.log10(step) + 1e-9))}f`,
    showgrid: false, zeroline: false, showline: true, linecolor: PENCIL, linewidth: 1, ticks: "outside", ticklen: 4, tickcolor: PENCIL,
    tickfont: { size: SMALLEST_TEXT_PX, color: INK }, ticksuffix: ` ${unit}`, showticksuffix: "last",
  };
}

/** Thin lines at the frets, the body joint, and the chord in every panel. */
export function fretMarks(sheet: PanelSheet, { neck, span }: Pick<DrawnBow, "neck" | "span">): readonly JsonObject[] {
  const places = Array.from({ length: neck.frets }, (_, index) => rounded(fretDistanceMm(neck.scaleLengthMm, index + 1), 3));
  const joint = neck.bodyJoint === undefined ? [] : [rounded(fretDistanceMm(neck.scaleLengthMm, neck.bodyJoint), 3)];
  return sheet.panels.flatMap((panel, index) => {
    const [low, high] = [panelPaperY(sheet, panel.bottomPx), panelPaperY(sheet, panel.topPx)];
    return [
      { type: "path", xref: "x", yref: "paper", path: places.map((x) => `M${x},${low}L${x},${high}`).join(""), line: { color: FAINT_PENCIL, width: 1 }, layer: "below" },
      ...joint.map((x) => ({ type: "line", xref: "x", yref: "paper", x0: x, x1: x, y0: low, y1: high, line: { color: SOFT_INK, width: 1.2, dash: "5px,3px" }, layer: "below" })),
      { type: "line", xref: "x", yref: panelAxes(index).mm, x0: rounded(span.fromMm, 3), x1: rounded(span.toMm, 3), y0: 0, y1: 0, line: { color: INK, width: 1, dash: "12px,3px,2px,3px" }, layer: "below" },
    ];
  });
}

/** The letter beside the body joint in every panel. */
export function jointMarks(sheet: PanelSheet, { neck }: Pick<DrawnBow, "neck">): readonly JsonObject[] {
  if (neck.bodyJoint === undefined) return [];
  const x = rounded(fretDistanceMm(neck.scaleLengthMm, neck.bodyJoint), 3);
  return sheet.panels.map((panel) => ({
    text: "J", x, xref: "x", xanchor: "left", xshift: 3, yref: "paper", y: panelPaperY(sheet, panel.topPx + 3), yanchor: "top", showarrow: false, font: { size: SMALLEST_TEXT_PX, color: SOFT_INK }, borderpad: 0,
  }));
}
