import { fretDistanceMm } from "../neck/frets.js";
import type { Survey, SurveyZone } from "../survey/survey.js";
import { measuredWords, type UnitOrder } from "../units/words.js";
import { paperY, rounded, type Drawing } from "./drawing.js";
import type { JsonObject } from "./figure.js";
import { INK, SMALLEST_TEXT_PX } from "./look.js";
import type { Panel } from "./sheet.js";
import { escaped } from "./text.js";

/** Room over a panel for the bracket of one zone and its words. */
export const ZONE_ROW_PX = 25;
const TEXT_PX = 18;
/** Zones less probable than this are drawn with a "perhaps". */
const NEARLY_SURE = 0.95;

/** Brackets over the frets that stand up (or down) together, one row a zone, above each panel. */
export function zoneShapes({ survey, sheet }: Drawing): readonly JsonObject[] {
  return sheet.panels.flatMap((panel) => survey.zones.map((zone, row): JsonObject => {
    const [from, to] = zoneEndsMm(survey, zone);
    const [high, low] = [bracketTopPx(survey, panel, row), bracketTopPx(survey, panel, row) + 5].map((px) => paperY(sheet, px));
    return {
      type: "path", xref: "x", yref: "paper", path: `M${from},${low}L${from},${high}L${to},${high}L${to},${low}`, line: { color: INK, width: 1.2, dash: isSure(zone) ? "solid" : "3px,3px" }, layer: "above",
    };
  }));
}

/** What stands over each bracket. */
export function zoneMarks({ survey, sheet }: Drawing): readonly JsonObject[] {
  const middle = (sheet.xRangeMm[0] + sheet.xRangeMm[1]) / 2;
  return sheet.panels.flatMap((panel) => survey.zones.map((zone, row): JsonObject => {
    const [from, to] = zoneEndsMm(survey, zone);
    const isLeft = (from + to) / 2 < middle;
    return {
      text: escaped(`${isSure(zone) ? "" : "perhaps "}${togetherWords(zone)}`), x: isLeft ? from : to, xref: "x", xanchor: isLeft ? "left" : "right", xshift: 0, yref: "paper",
      y: paperY(sheet, bracketTopPx(survey, panel, row) - TEXT_PX), yanchor: "top", showarrow: false, font: { size: SMALLEST_TEXT_PX, color: INK }, borderpad: 0,
    };
  }));
}

/** What the brackets mean, for the notes. */
export function zoneNotes(survey: Survey, order: UnitOrder): readonly string[] {
  if (survey.zones.length === 0) return [];
  const each = survey.zones.map((zone) => `${togetherWords(zone)} by ${measuredWords(zone.up.value < 0 ? { ...zone.up, value: -zone.up.value, low95: -zone.up.high95, high95: -zone.up.low95 } : zone.up, order)}`);
  return [`Bracket: ${each.join("; or ")}. Fret tops cannot tell whether it is the board there or the seating of these frets; the hatching allows for both.`];
}

function togetherWords(zone: SurveyZone): string {
  return `frets ${zone.fromFret} to ${zone.toFret} ${zone.up.value < 0 ? "low" : "up"} together`;
}

function isSure(zone: SurveyZone): boolean {
  return zone.probability > NEARLY_SURE;
}

function zoneEndsMm({ neck }: Survey, zone: SurveyZone): readonly [number, number] {
  return [rounded(fretDistanceMm(neck.scaleLengthMm, zone.fromFret), 3), rounded(fretDistanceMm(neck.scaleLengthMm, zone.toFret), 3)];
}

function bracketTopPx(survey: Survey, panel: Panel, row: number): number {
  return panel.topPx - ZONE_ROW_PX * (survey.zones.length - row) + TEXT_PX;
}
