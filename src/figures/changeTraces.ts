import type { LineChange } from "../shape/lineChange.js";
import { normalMm, NORMAL_95 } from "../units/measured.js";
import { measuredWords } from "../units/words.js";
import { lineIndex, mmAxis, rounded, thouAxis, type Drawing } from "./drawing.js";
import type { JsonObject } from "./figure.js";
import { nearWords } from "./hover.js";
import { BAND_NAME } from "./legend.js";
import { INK, lineLook } from "./look.js";
import { escaped } from "./text.js";

/** What the legend calls the marks of a comparison. */
const CHANGE_NAME = "change of the neck line";
const NONE_NAME = "no change";
export const SURE_NAME = "thick: surely changed";

/** Everything that is drawn in one panel of a comparison. */
export function changeTraces(drawing: Drawing, change: Extract<LineChange, { status: "compared" }>, index: number): readonly JsonObject[] {
  const look = lineLook(lineIndex(drawing.survey, change.line));
  const axis = { xaxis: "x", yaxis: mmAxis(index), type: "scatter", hoverinfo: "skip" };
  const x = change.xMm.map((xMm) => rounded(xMm, 3));
  const y = change.changeMm.map((mm) => rounded(mm, 5));
  const edge = (side: number): readonly number[] => change.changeMm.map((mm, at) => rounded(mm + side * NORMAL_95 * (change.uMm[at] ?? 0), 5));
  const sure = change.changeMm.map((mm, at) => (Math.abs(mm) > NORMAL_95 * (change.uMm[at] ?? 0) ? rounded(mm, 5) : null));
  const first = index === 0;
  return [
    {
      ...axis, mode: "lines", x: [...x, ...[...x].reverse()], y: [...edge(1), ...[...edge(-1)].reverse()], fill: "toself", line: { color: look.colour, width: 0.6 },
      fillpattern: { shape: look.hatch, size: 5, solidity: 0.16, fgcolor: look.colour, bgcolor: "rgba(0,0,0,0)", fillmode: "replace" }, name: BAND_NAME, legendgroup: "band", showlegend: first, opacity: 0.75,
    },
    { ...axis, mode: "lines", x: [x[0] ?? 0, x.at(-1) ?? 0], y: [0, 0], line: { color: INK, width: 1, dash: "12px,3px,2px,3px" }, name: NONE_NAME, legendgroup: "none", showlegend: first },
    { ...axis, mode: "lines", x, y, line: { color: look.colour, width: 1.6, dash: look.dash }, name: CHANGE_NAME, legendgroup: "change", showlegend: first },
    { ...axis, mode: "lines", x, y: sure, line: { color: look.colour, width: 4 }, connectgaps: false, name: SURE_NAME, legendgroup: "sure", showlegend: first },
    {
      ...axis, mode: "markers", x, y, marker: { size: 8, opacity: 0 }, hoverinfo: "text", hovertext: change.xMm.map((_, at) => hover(drawing, change, at)),
      hoverlabel: { bordercolor: INK }, legendgroup: "change", showlegend: false,
    },
    { type: "scatter", mode: "markers", x: [0], y: [0], xaxis: "x", yaxis: thouAxis(index), marker: { opacity: 0 }, hoverinfo: "skip", showlegend: false },
  ];
}

function hover({ survey, order }: Drawing, change: Extract<LineChange, { status: "compared" }>, at: number): string {
  const [xMm = 0, mm = 0, uMm = 0] = [change.xMm[at], change.changeMm[at], change.uMm[at]];
  const where = `<b>${escaped(`${change.line}, ${nearWords(survey.neck, xMm)}`)}</b> (${xMm.toFixed(1)} mm from the nut)`;
  if (at === 0 || at === change.xMm.length - 1) return `${where}<br>an end of the chord: what changed is counted from here`;
  const isOpen = Math.abs(mm) <= NORMAL_95 * uMm;
  const much = measuredWords(normalMm(Math.abs(mm), uMm), order);
  return `${where}<br>${escaped(isOpen ? `no sure change, best estimate ${mm < 0 ? "down" : "up"} by ${much}` : `went ${mm < 0 ? "down" : "up"} by ${much}`)}`;
}
