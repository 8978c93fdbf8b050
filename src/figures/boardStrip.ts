import { fretDistanceMm } from "../neck/frets.js";
import { acrossMm, widthMm } from "../neck/surface.js";
import type { Survey } from "../survey/survey.js";
import type { JsonObject } from "./figure.js";
import { BOARD, BOARD_EDGE, lineLook, PANEL, SOFT_INK } from "./look.js";

/**
 * The board from above, true to scale, treble side up: its outline, its fret wires, the lines that were read and the places read on them.
 * @param yAxis plotly's name of the axis across the board, mm, positive toward the treble side
 */
export function boardStrip(survey: Survey, lines: readonly string[], yAxis: string): readonly JsonObject[] {
  const axis = { xaxis: "x", yaxis: yAxis, type: "scatter", hoverinfo: "skip", showlegend: false };
  return [outline(survey, axis), wires(survey, axis), ...joint(survey, axis), ...lines.flatMap((line) => readLine(survey, line, axis))];
}

function outline(survey: Survey, axis: JsonObject): JsonObject {
  const { neck } = survey;
  const end = boardEndMm(survey);
  const corners = [[0, 1], [end, 1], [end, -1], [0, -1], [0, 1]] as const;
  return {
    ...axis, mode: "lines", fill: "toself", fillcolor: BOARD, line: { color: BOARD_EDGE, width: 1.2 },
    x: corners.map(([x]) => rounded(x)), y: corners.map(([x, side]) => rounded((side * widthMm(neck, x)) / 2)),
  };
}

function wires(survey: Survey, axis: JsonObject): JsonObject {
  const places = Array.from({ length: survey.neck.frets + 1 }, (_, fret) => fretDistanceMm(survey.neck.scaleLengthMm, fret));
  return {
    ...axis, mode: "lines", line: { color: BOARD_EDGE, width: 1.6 },
    x: places.flatMap((x) => [rounded(x), rounded(x), null]), y: places.flatMap((x) => [rounded(-widthMm(survey.neck, x) / 2), rounded(widthMm(survey.neck, x) / 2), null]),
  };
}

function joint(survey: Survey, axis: JsonObject): readonly JsonObject[] {
  const { neck } = survey;
  if (neck.bodyJoint === undefined) return [];
  const x = fretDistanceMm(neck.scaleLengthMm, neck.bodyJoint);
  const reach = 1.1 * (widthMm(neck, x) / 2);
  return [{ ...axis, mode: "lines", x: [rounded(x), rounded(x)], y: [rounded(-reach), rounded(reach)], line: { color: SOFT_INK, width: 1.2, dash: "5px,3px" } }];
}

function readLine(survey: Survey, name: string, axis: JsonObject): readonly JsonObject[] {
  const index = survey.neck.lines.findIndex((line) => line.name === name);
  const line = survey.neck.lines[index];
  if (line === undefined) return [];
  const look = lineLook(index);
  const ends = [0, boardEndMm(survey)];
  const places = survey.heights.filter((height) => height.line === name).map((height) => height.place.xMm);
  return [
    { ...axis, mode: "lines", x: ends.map(rounded), y: ends.map((x) => rounded(acrossMm(survey.neck, line, x))), line: { color: look.colour, width: 1.2, dash: look.dash } },
    {
      ...axis, mode: "markers", x: places.map(rounded), y: places.map((x) => rounded(acrossMm(survey.neck, line, x))),
      marker: { size: 6, color: PANEL, symbol: look.marker, line: { color: look.colour, width: 1.4 } },
    },
  ];
}

function boardEndMm(survey: Survey): number {
  return 1.012 * fretDistanceMm(survey.neck.scaleLengthMm, survey.neck.frets);
}

function rounded(mm: number): number {
  return Number(mm.toFixed(3)) + 0; // no minus before zero
}
