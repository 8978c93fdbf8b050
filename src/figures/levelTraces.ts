import type { LineOverBeam, OverBeam } from "../advice/levelPlan/overBeam.js";
import { lengthWords } from "../units/words.js";
import { rounded, mmAxis, thouAxis } from "./drawing.js";
import type { JsonObject } from "./figure.js";
import type { LevelDrawing } from "./levelDrawing.js";
import { INK, lineLook, SOFT_INK } from "./look.js";
import { escaped } from "./text.js";

const TOPS = "fret tops as the beam meets them";
const LINE = "line the beam will have cut";
const START = "beam as it first lies";
const TOLERANCE = "tolerance under it";
const TOUCHED = "touched first";
const SEATED = "to be seated if a leaf goes under, where it stands now";

/** Everything that is drawn in the panel of one line. */
export function beamTraces(drawing: LevelDrawing, line: LineOverBeam, index: number): readonly JsonObject[] {
  const { neck } = drawing.posed.survey;
  const look = lineLook(Math.max(0, neck.lines.findIndex(({ name }) => name === line.line)));
  const axis = { type: "scatter", xaxis: "x", yaxis: mmAxis(index) };
  const [places, wanted] = [line.tops.map(({ xMm }) => xMm), line.tops.map(({ wantedMm }) => wantedMm)];
  const { toleranceMm } = drawing.posed.problem;
  const touched = drawing.first.find((one) => one.line === line.line);
  const pair = (touched?.pair ?? []).flatMap((fret) => line.tops.filter((top) => top.fret === fret));
  const seats = line.tops.filter((top) => drawing.plan.reseat.includes(top.fret) && top.nowMm - top.seatedMm > 0.001);
  const named = (name: string): JsonObject => ({ name, legendgroup: name, showlegend: index === 0 });
  return [
    { ...axis, ...named(TOLERANCE), mode: "lines", x: xs([...places, ...[...places].reverse()]), y: ys([...wanted, ...[...wanted].reverse().map((mm) => mm - toleranceMm)]), fill: "toself", fillcolor: "rgba(86,96,106,0.14)", line: { width: 0 }, hoverinfo: "skip" },
    { ...axis, ...named(LINE), mode: "lines", x: xs(places), y: ys(wanted), line: { color: INK, width: 2 }, hoverinfo: "skip" },
    ...startTrace(line, pair, axis, named(START)),
    ...seats.map((top) => ({ ...axis, mode: "lines", x: xs([top.xMm, top.xMm]), y: ys([top.seatedMm, top.nowMm]), line: { color: SOFT_INK, width: 1, dash: "2px,2px" }, hoverinfo: "skip", showlegend: false })),
    { ...axis, ...named(SEATED), mode: "markers", x: seats.length === 0 ? xs(places.slice(0, 1)) : xs(seats.map((top) => top.xMm)), y: seats.length === 0 ? [null] : ys(seats.map((top) => top.nowMm)), marker: { size: 10, symbol: "diamond-open", color: INK, line: { color: INK, width: 1.6 } }, hoverinfo: "text", hovertext: seats.map((top) => hover(drawing, line.line, top)), showlegend: index === 0 && drawing.plan.reseat.length > 0 },
    { ...axis, ...named(TOPS), mode: "markers", x: xs(line.tops.map((top) => top.xMm)), y: ys(line.tops.map((top) => top.seatedMm)), marker: { size: 7.5, symbol: look.marker, color: drawing.look.panel, line: { color: look.colour, width: 1.8 } }, hoverinfo: "text", hovertext: line.tops.map((top) => hover(drawing, line.line, top)) },
    { ...axis, ...named(TOUCHED), mode: "markers", x: xs(pair.map((top) => top.xMm)), y: ys(pair.map((top) => top.seatedMm)), marker: { size: 17, symbol: "circle-open", color: INK, line: { color: INK, width: 1.8 } }, hoverinfo: "skip" },
    { type: "scatter", mode: "markers", x: [0], y: [0], xaxis: "x", yaxis: thouAxis(index), marker: { opacity: 0 }, hoverinfo: "skip", showlegend: false },
  ];
}

/** The beam through the two tops on which it first lies, over the whole line. */
function startTrace(line: LineOverBeam, pair: readonly OverBeam[], axis: JsonObject, named: JsonObject): readonly JsonObject[] {
  const [a, b] = pair;
  const ends = [line.tops[0], line.tops.at(-1)];
  if (a === undefined || b === undefined) return [];
  const at = (xMm: number): number => a.seatedMm + ((b.seatedMm - a.seatedMm) * (xMm - a.xMm)) / (b.xMm - a.xMm);
  return [{ ...axis, ...named, mode: "lines", x: xs(ends.map((top) => top?.xMm ?? 0)), y: ys(ends.map((top) => at(top?.xMm ?? 0))), line: { color: SOFT_INK, width: 1.4, dash: "8px,4px" }, hoverinfo: "skip" }];
}

function hover({ plan, order }: LevelDrawing, line: string, top: OverBeam): string {
  const seat = plan.reseat.includes(top.fret) ? "<br>slide a thin leaf under it; seat it first where it goes" : "";
  const off = top.removeMm > 0 ? `${lengthWords(top.removeMm, order)} comes off` : "nothing comes off";
  return `<b>fret ${top.fret}</b>, ${escaped(line)}${seat}<br>${off}`;
}

function xs(values: readonly number[]): readonly number[] {
  return values.map((value) => rounded(value, 3));
}

function ys(values: readonly number[]): readonly number[] {
  return values.map((value) => rounded(value, 5));
}
