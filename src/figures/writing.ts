import { fretDistanceMm } from "../neck/frets.js";
import { lineIndex, paperY, rounded, type Drawing } from "./drawing.js";
import type { HeightScale, JsonObject } from "./figure.js";
import { fretLetters } from "./fretMarks.js";
import { INK, lineLook, SMALLEST_TEXT_PX, SOFT_INK, TITLE_FONT } from "./look.js";
import { captionText, CAPTION_AFTER, CAPTION_BEFORE, FRET_NUMBERS_PX, MARGIN_PX, timesTooTall, TOP_PX, type Print, type Sheet } from "./sheet.js";
import { escaped, wrapped } from "./text.js";
import { zoneMarks } from "./zones.js";

/** Everything that is written on the sheet beside the axes. */
export function writing(drawing: Drawing): readonly JsonObject[] {
  const { sheet } = drawing;
  return [
    print(sheet, sheet.title, TOP_PX, { family: TITLE_FONT, color: INK }),
    { ...print(sheet, { ...sheet.caption, lines: wrapped(captionText(timesTooTall(sheet)), sheet.widthPx - 2 * MARGIN_PX, 13) }, sheet.captionTopPx, { color: SOFT_INK }), name: "heightScale" },
    ...sheet.panels.map((panel) => print(sheet, panel.heading, panel.headingTopPx, { color: lineLook(lineIndex(drawing.survey, panel.line)).colour })),
    print(sheet, sheet.notes, sheet.notesTopPx, { color: SOFT_INK }),
    ...jointMark(drawing),
    ...zoneMarks(drawing),
    ...fretLetters(drawing),
    { ...print(sheet, sheet.axis, sheet.strip.bottomPx + FRET_NUMBERS_PX, { color: SOFT_INK }), x: 0, xshift: 0 },
  ].filter(({ name, text }) => text !== "" && !(drawing.isCard === true && name === "heightScale"));
}

function print(sheet: Sheet, text: Print, topPx: number, font: JsonObject): JsonObject {
  return {
    text: text.lines.map(escaped).join("<br>"), font: { size: text.sizePx, ...font }, showarrow: false, align: "left",
    xref: "paper", x: 0, xanchor: "left", xshift: MARGIN_PX - sheet.leftPx, yref: "paper", y: paperY(sheet, topPx), yanchor: "top", borderpad: 0,
  };
}

/** Which of the writings states the height scale. */
export function heightScale(annotations: readonly JsonObject[]): HeightScale {
  const annotation = annotations.findIndex((candidate) => candidate["name"] === "heightScale");
  return { annotation, before: CAPTION_BEFORE, after: CAPTION_AFTER };
}

function jointMark(drawing: Drawing): readonly JsonObject[] {
  const { neck } = drawing.survey;
  if (neck.bodyJoint === undefined) return [];
  const x = rounded(fretDistanceMm(neck.scaleLengthMm, neck.bodyJoint), 3);
  return drawing.sheet.panels.map((panel) => ({
    text: "J", x, xref: "x", xanchor: "left", xshift: 3, yref: "paper", y: paperY(drawing.sheet, panel.topPx + 3), yanchor: "top",
    showarrow: false, font: { size: SMALLEST_TEXT_PX, color: SOFT_INK }, borderpad: 0,
  }));
}

