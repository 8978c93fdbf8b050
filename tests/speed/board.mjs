import { inventedStream } from "../../dist/invented/stream.js";
import { gapRow } from "../../dist/survey/model/equations.js";
import { combined, fretTopRow, layoutOf, woodRow } from "../../dist/survey/model/layout.js";

/**
 * An invented board of equally spaced frets, read on three lines and two surfaces under edges, with a rocker over each three frets: no real board.
 * Bow 0.2 mm a 460 mm, seating normal with sd 0.008 mm, one fret in twelve 0.04 to 0.14 mm high, wood normal with sd 0.01 mm about the line;
 * leaves by the thou from 1.5, feel 5 um. Wood is read beside each fret and taken at its place.
 */
const LINES = ["bass", "centre", "treble"];
const STEP_MM = 20;
const THOU_MM = 0.0254;
const FEEL_MM = 0.005;
const CONTACT_MM = 0.003;

/** @param edgeMm length of the edge; as long as the board if absent, else set down again and again, half its length on */
export function longBoard(places, edgeMm) {
  const stream = inventedStream(1, "speed/board", places);
  const stations = Array.from({ length: places }, (_, index) => ({ xMm: 30 + STEP_MM * index, fret: index + 1 }));
  const lengthMm = STEP_MM * (places - 1);
  const tool = (name, kind, ofMm) => ({ name, kind, lengthMm: ofMm, straightnessToleranceMm: 0.02 });
  const settings = LINES.flatMap((line) => [["fretTops", "straightedge"], ["wood", "notched"]].flatMap(([surface, kind]) =>
    spans(places, edgeMm).map(([from, to]) => ({ label: "", tool: tool(kind, kind, edgeMm ?? lengthMm + 20), surface, path: { kind: "along", line }, span: [from, to], middleMm: (stations[from].xMm + stations[to].xMm) / 2, readings: [] }))));
  const triples = Array.from({ length: places - 2 }, (_, index) => [index, index + 1, index + 2]);
  const rocker = tool("rocker", "rocker", 75);
  const usable = { lines: LINES.map((name) => ({ name })), ends: [0, 2], settings, rockers: triples.slice(0, 1).map(([a, b, c]) => ({ tool: rocker, frets: [a + 1, b + 1, c + 1] })), stations, leftAside: [] };
  const layout = layoutOf(usable);
  const truth = trueHeights(stream, stations);
  const equations = [...settings.flatMap((setting, index) => gaps(layout, truth, setting, index, stream)), ...LINES.flatMap((line) => triples.map((triple) => rocked(layout, truth, line, triple)))];
  return { layout, equations, settings: settings.length, rows: heightRows(layout) };
}

function spans(places, edgeMm) {
  if (edgeMm === undefined) return [[0, places - 1]];
  const under = Math.floor(edgeMm / STEP_MM);
  const starts = Array.from({ length: Math.ceil((places - under) / (under / 2)) + 1 }, (_, k) => Math.min(places - under, Math.round((k * under) / 2)));
  return starts.map((start) => [start, start + under - 1]);
}

function trueHeights(stream, stations) {
  const frets = stations.map(() => stream.normal(0, 0.008) + (stream.chance(1 / 12) ? stream.uniform(0.04, 0.14) : 0));
  const bow = (xMm) => -0.1 * Math.cos((2 * Math.PI * (xMm - 30)) / 920);
  return new Map(LINES.flatMap((line) => [
    [`fretTops ${line}`, stations.map(({ xMm }, index) => bow(xMm) + frets[index] + stream.normal(0, 0.003))],
    [`wood ${line}`, stations.map(({ xMm }) => bow(xMm) + stream.normal(0, 0.01))],
  ]));
}

/** The edge lies on the two crowns, one each side of its middle, that leave no gap negative; those are written as touching. */
function gaps(layout, truth, setting, index, stream) {
  const [from, to] = setting.span;
  const heights = truth.get(`${setting.surface} ${setting.path.line}`);
  const edge = restingLine(heights, from, to);
  return Array.from({ length: to - from + 1 }, (_, k) => {
    const gap = edge(from + k) - heights[from + k];
    const row = gapRow(layout, setting, index, from + k);
    return gap < 1e-9 ? equation(row, 0, 0, CONTACT_MM) : equation(row, ...leaves(gap + stream.normal(0, FEEL_MM)), FEEL_MM);
  });
}

function restingLine(heights, from, to) {
  const middle = (from + to) / 2;
  let best;
  for (let a = from; a < middle; a++) {
    for (let b = Math.ceil(middle + 0.01); b <= to; b++) {
      const at = heights[a] + ((middle - a) / (b - a)) * (heights[b] - heights[a]);
      if (best === undefined || at > best.at) best = { at, a, b };
    }
    if (to - from > 100) break;
  }
  const { a, b } = best;
  const lift = Math.max(0, ...heights.slice(from, to + 1).map((height, k) => height - heights[a] - ((from + k - a) / (b - a)) * (heights[b] - heights[a])));
  return (at) => heights[a] + ((at - a) / (b - a)) * (heights[b] - heights[a]) + lift;
}

function rocked(layout, truth, line, [near, middle, far]) {
  const heights = truth.get(`fretTops ${line}`);
  const delta = heights[middle] - (heights[near] + heights[far]) / 2;
  const row = combined([[1, fretTopRow(layout, line, middle)], [-0.5, fretTopRow(layout, line, near)], [-0.5, fretTopRow(layout, line, far)]]);
  if (2 * delta < 1.5 * THOU_MM) return equation(row, -Infinity, 0.75 * THOU_MM, FEEL_MM);
  const [low, high] = leaves(2 * delta);
  return equation(row, low / 2, high / 2, FEEL_MM);
}

function leaves(gap) {
  if (gap < 1.5 * THOU_MM) return [0, 1.5 * THOU_MM];
  const goes = gap < 2 * THOU_MM ? 1.5 : Math.floor(gap / THOU_MM);
  return [goes * THOU_MM, (goes < 2 ? 2 : goes + 1) * THOU_MM];
}

function equation(row, lowMm, highMm, sMm) {
  return { row, lowMm, highMm, sMm, knownMm: 0, from: { kind: "contact", setting: 0 } };
}

/** Every height, of crowns and of wood, over the chord of the first and last of its line and surface. */
function heightRows(layout) {
  const last = layout.stations.length - 1;
  return LINES.flatMap((line) => [fretTopRow, woodRow].flatMap((rowOf) => layout.stations.map((_, station) => {
    const t = station / last;
    return combined([[1, rowOf(layout, line, station)], [t - 1, rowOf(layout, line, 0)], [-t, rowOf(layout, line, last)]]);
  })));
}
