import type { Height, LineProfile, Survey } from "../survey/survey.js";
import { NORMAL_95 } from "../units/measured.js";
import { mmAxis, lineIndex, thouAxis, rounded, type Drawing } from "./drawing.js";
import type { JsonObject } from "./figure.js";
import { fretTraces } from "./fretMarks.js";
import { heightHover, smoothHover } from "./hover.js";
import { BAND_NAME, POINTS_NAME, SMOOTH_NAME } from "./legend.js";
import { INK, lineLook, PANEL, type LineLook } from "./look.js";
import { reliefTraces } from "./reliefTraces.js";
import type { Panel } from "./sheet.js";

/** Nearer than this to a measured place the pointer means the place. */
const CLOSE_MM = 4;

/** Everything that is drawn in one panel. */
export function panelTraces(drawing: Drawing, panel: Panel, index: number): readonly JsonObject[] {
  const { survey } = drawing;
  const look = lineLook(lineIndex(survey, panel.line));
  const profile = survey.lines.find((candidate) => candidate.line === panel.line);
  const heights = survey.heights.filter((height) => height.line === panel.line);
  const axis = { yaxis: mmAxis(index), xaxis: "x" };
  return [
    ...(profile === undefined ? [] : [bandTrace(profile, look, index, axis)]),
    ...chordTraces(drawing, panel.line, index, axis),
    ...(profile === undefined ? [] : [smoothTrace(profile, look, index, axis), smoothHoverTrace(drawing, profile, heights, axis)]),
    ...(heights.length === 0 ? [] : [pointTrace(drawing, heights, look, index, axis)]),
    ...(profile === undefined ? [] : reliefTraces(drawing, profile, axis)),
    ...ringTraces(survey, heights, axis),
    ...fretTraces(drawing, panel.line, axis),
    { type: "scatter", mode: "markers", x: [0], y: [0], xaxis: "x", yaxis: thouAxis(index), marker: { opacity: 0 }, hoverinfo: "skip", showlegend: false },
  ];
}

function bandTrace(profile: LineProfile, look: LineLook, index: number, axis: JsonObject): JsonObject {
  const upper = profile.heightMm.map((heightMm, at) => rounded(heightMm + NORMAL_95 * (profile.uMm[at] ?? 0), 5));
  const lower = profile.heightMm.map((heightMm, at) => rounded(heightMm - NORMAL_95 * (profile.uMm[at] ?? 0), 5));
  const x = profile.xMm.map((xMm) => rounded(xMm, 3));
  return {
    ...axis, type: "scatter", mode: "lines", x: [...x, ...[...x].reverse()], y: [...upper, ...[...lower].reverse()], fill: "toself",
    line: { color: look.colour, width: 0.6 }, fillpattern: { shape: look.hatch, size: 5, solidity: 0.16, fgcolor: look.colour, bgcolor: "rgba(0,0,0,0)", fillmode: "replace" },
    hoverinfo: "skip", name: BAND_NAME, legendgroup: "band", showlegend: index === 0, opacity: 0.75,
  };
}

function chordTraces({ survey, chords }: Drawing, line: string, index: number, axis: JsonObject): readonly JsonObject[] {
  return survey.datum.filter((datum) => datum.line === line).map((datum) => ({
    ...axis, type: "scatter", mode: "lines", x: [rounded(datum.from.xMm, 3), rounded(datum.to.xMm, 3)], y: [0, 0],
    line: { color: INK, width: 1, dash: "12px,3px,2px,3px" }, hoverinfo: "skip", name: chords.datum, legendgroup: "chord", showlegend: index === 0,
  }));
}

function smoothTrace(profile: LineProfile, look: LineLook, index: number, axis: JsonObject): JsonObject {
  return {
    ...axis, type: "scatter", mode: "lines", x: profile.xMm.map((xMm) => rounded(xMm, 3)), y: profile.heightMm.map((mm) => rounded(mm, 5)),
    line: { color: look.colour, width: 2, dash: look.dash }, hoverinfo: "skip", name: SMOOTH_NAME, legendgroup: "smooth", showlegend: index === 0,
  };
}

/** The neck line answers the pointer only beside the measured places, where a reading would otherwise be hidden behind it. */
function smoothHoverTrace(drawing: Drawing, profile: LineProfile, heights: readonly Height[], axis: JsonObject): JsonObject {
  const beside = profile.xMm.map((xMm, at) => ({ xMm, heightMm: profile.heightMm[at] ?? 0, uMm: profile.uMm[at] ?? 0 }))
    .filter(({ xMm }) => heights.every((height) => Math.abs(height.place.xMm - xMm) > CLOSE_MM));
  return {
    ...axis, type: "scatter", mode: "markers", x: beside.map(({ xMm }) => rounded(xMm, 3)), y: beside.map(({ heightMm }) => rounded(heightMm, 5)), marker: { size: 6, opacity: 0 },
    hoverinfo: "text", hovertext: beside.map(({ xMm, heightMm, uMm }) => smoothHover(drawing.survey.neck, profile.line, xMm, heightMm, uMm, drawing.order)),
    hoverlabel: { bordercolor: INK }, legendgroup: "smooth", showlegend: false,
  };
}

function pointTrace(drawing: Drawing, heights: readonly Height[], look: LineLook, index: number, axis: JsonObject): JsonObject {
  const shown = [...heights].sort((a, b) => a.place.xMm - b.place.xMm);
  return {
    ...axis, type: "scatter", mode: "markers", x: shown.map((height) => rounded(height.place.xMm, 3)), y: shown.map((height) => rounded(height.heightMm, 5)),
    error_y: { type: "data", array: shown.map((height) => rounded(NORMAL_95 * height.uMm, 5)), color: look.colour, thickness: 1.3, width: 4 },
    marker: { size: 7.5, color: PANEL, symbol: shown.map((height) => (height.surface === "fretTops" ? look.marker : `${look.marker}-open-dot`)), line: { color: look.colour, width: 1.8 } },
    hoverinfo: "text", hovertext: shown.map((height) => heightHover(drawing.survey, height, drawing.order)), name: POINTS_NAME, legendgroup: "points", showlegend: index === 0,
  };
}

function ringTraces(survey: Survey, heights: readonly Height[], axis: JsonObject): readonly JsonObject[] {
  const odd = heights.filter((height) => survey.blunders.some((blunder) => blunder.line === height.line && blunder.at === height.at));
  if (odd.length === 0) return [];
  return [{
    ...axis, type: "scatter", mode: "markers", x: odd.map((height) => rounded(height.place.xMm, 3)), y: odd.map((height) => rounded(height.heightMm, 5)),
    marker: { size: 19, symbol: "circle-open", color: INK, line: { color: INK, width: 1.6 } }, hoverinfo: "skip", showlegend: false,
  }];
}
