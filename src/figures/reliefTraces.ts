import type { LineProfile } from "../survey/survey.js";
import { rounded, type Drawing } from "./drawing.js";
import type { JsonObject } from "./figure.js";
import { INK } from "./look.js";

/** Room between a reading and the arrow beside it, as a share of the scale length. */
const BESIDE = 0.012;

/**
 * The relief as a dimension: its own chord where that is not the chord of the heights, and an arrow from chord to neck line,
 * a little beside its place so that it hides no reading.
 */
export function reliefTraces(drawing: Drawing, profile: LineProfile, axis: JsonObject): readonly JsonObject[] {
  const relief = drawing.reliefs.find((candidate) => candidate.line === profile.line);
  const datum = drawing.survey.datum.find((candidate) => candidate.line === profile.line);
  if (relief === undefined || relief.status !== "determined" || relief.relief.value === 0) return [];
  const ends = [relief.from, relief.to].map((place) => ({ x: place.xMm, y: heightAt(profile, place.xMm) }));
  const [from, to] = ends;
  if (from === undefined || to === undefined) return [];
  const isDatum = datum !== undefined && datum.from.label === relief.from.label && datum.to.label === relief.to.label;
  const top = from.y + ((to.y - from.y) * (relief.at.xMm - from.x)) / (to.x - from.x);
  const x = rounded(relief.at.xMm + BESIDE * drawing.survey.neck.scaleLengthMm, 3);
  const chord: JsonObject = {
    ...axis, type: "scatter", mode: "lines", x: ends.map((end) => rounded(end.x, 3)), y: ends.map((end) => rounded(end.y, 5)),
    line: { color: INK, width: 0.8 }, hoverinfo: "skip", showlegend: isFirst(drawing, profile.line), legendgroup: "relief", ...(drawing.chords.relief === undefined ? {} : { name: drawing.chords.relief }),
  };
  const arrow: JsonObject = {
    ...axis, type: "scatter", mode: "lines+markers", x: [x, x], y: [rounded(top, 5), rounded(top - relief.relief.value, 5)], line: { color: INK, width: 1 },
    marker: { size: 9, color: INK, symbol: relief.relief.value > 0 ? ["arrow-up", "arrow-down"] : ["arrow-down", "arrow-up"] }, hoverinfo: "skip", showlegend: false, legendgroup: "relief",
  };
  return isDatum ? [arrow] : [chord, arrow];
}

/** The legend names the chord once, at the first line that has one. */
function isFirst({ chords, reliefs, sheet }: Drawing, line: string): boolean {
  const drawn = sheet.panels.find((panel) => reliefs.some((relief) => relief.line === panel.line && relief.status === "determined" && relief.relief.value !== 0));
  return chords.relief !== undefined && drawn?.line === line;
}

/** The drawn neck line at a place on it. */
function heightAt(profile: LineProfile, xMm: number): number {
  const after = profile.xMm.findIndex((x) => x >= xMm);
  const at = after < 0 ? profile.xMm.length - 1 : Math.max(1, after);
  const [x0, x1] = [profile.xMm[at - 1] ?? 0, profile.xMm[at] ?? 0];
  const [y0, y1] = [profile.heightMm[at - 1] ?? 0, profile.heightMm[at] ?? 0];
  return x1 === x0 ? y1 : y0 + ((y1 - y0) * (xMm - x0)) / (x1 - x0);
}
