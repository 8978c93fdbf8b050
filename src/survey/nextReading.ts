import type { Neck } from "../neck/neck.js";
import { usualTool } from "../readings/tools.js";
import { radiusDropMm, widthMm } from "../neck/surface.js";
import type { Place, SurveySheet } from "../readings/reading.js";
import { MM_PER_THOU } from "../units/length.js";
import { along } from "./estimation/expectationPropagation.js";
import { heaviestPoint } from "./explanation.js";
import type { Explanation } from "./explanation.js";
import { measuredForm, measuredSmooth, uncertaintyAfter } from "./functional.js";
import type { Form } from "./functional.js";
import { rowVariance, solveArrow } from "./linear/arrow.js";
import type { SparseRow } from "./linear/arrow.js";
import { gapRow, rockerRow } from "./model/equations.js";
import type { Layout } from "./model/layout.js";
import { mannerOf } from "./model/paths.js";
import { SIGHT_MM } from "../readings/tools.js";
import { edgeSpread } from "./model/sag.js";
import { fretPlace, stationAt } from "./model/stations.js";
import type { PlacedSetting, Usable } from "./model/stations.js";
import type { NextReading } from "./survey.js";
import { triedReadings } from "./triedReading.js";
import type { AskedForm } from "./triedReading.js";

/** A further reading is called worthwhile when it takes this share off the uncertainty. */
const WORTHWHILE = 0.08;
/** Thinnest leaf and step of a common set (common practice, no source): what a reading's interval will be. */
const THINNEST_MM = 1.5 * MM_PER_THOU;
const STEP_MM = MM_PER_THOU;

/** Of all gaps that could be read now under an edge already laid down, and all rockings, the one that sharpens the form most, under the likeliest explanation. */
export function bestNextReading(neck: Neck, usable: Usable, explanation: Explanation, form: Form, feelMm: number, survey = 0): NextReading {
  const { layout } = explanation;
  const asked = form(layout);
  const uNowMm = measuredSmooth([{ ...explanation, probability: 1 }], form).u;
  const candidates = [...gapCandidates(neck, usable, explanation, feelMm, survey), ...rockerCandidates(neck, usable, layout, feelMm, survey)];
  const after = uncertaintyAfter(explanation, asked, candidates);
  let best: { readonly candidate: Candidate; readonly uThenMm: number } | undefined;
  for (const [index, candidate] of candidates.entries()) {
    const uThenMm = after[index] ?? Infinity;
    if (best === undefined || uThenMm < best.uThenMm) best = { candidate, uThenMm };
  }
  if (best === undefined) return { status: "little to gain", uNowMm };
  const { candidate: { tool, line, at }, uThenMm } = best;
  return uThenMm > (1 - WORTHWHILE) * uNowMm ? { status: "little to gain", uNowMm, best: { tool, line, at, uThenMm } } : { status: "worthwhile", tool, line, at, uNowMm, uThenMm };
}

/** With more readings than this what one more tells is seen well enough by the normal approximation, and trying takes long. */
const MANY = 30;

/** As `bestNextReading`, each reading tried as it may come out, also where an edge reaches beyond what was read under it; with many readings by the normal approximation. */
export function bestTriedReading(neck: Neck, sheet: SurveySheet, usable: Usable, explanations: readonly [Explanation, ...Explanation[]], asked: AskedForm): NextReading {
  if (usable.settings.reduce((sum, { readings }) => sum + readings.length, usable.rockers.length) > MANY) return bestNextReading(neck, usable, explanations[0], asked.form, sheet.feelMm, asked.survey);
  const uNowMm = measuredForm(explanations, asked.form).u;
  const [best] = triedReadings(neck, sheet, usable, explanations[0], asked);
  const edge = edgePart(explanations[0], asked.form);
  if (best === undefined) return { status: "little to gain", uNowMm, ...edge };
  const { candidate: { tool, line, at, isBeyond }, left } = best;
  const reading = { tool, line, at, ...(isBeyond ? { beyond: true as const } : {}), uThenMm: left * uNowMm };
  return left > 1 - WORTHWHILE ? { status: "little to gain", uNowMm, ...edge, best: reading } : { status: "worthwhile", ...reading, uNowMm };
}

/** How much of a form's standard uncertainty the bows of the edges make, mm, where it is more than half of the variance. */
function edgePart(explanation: Explanation, form: Form): { readonly edgeMm?: number } {
  const { layout } = explanation;
  const { mean, factor } = heaviestPoint(explanation).posterior;
  const asked = form(layout);
  const right = new Float64Array(mean.length);
  for (const [position, at] of asked.index.entries()) right[at] = asked.coefficient[position] ?? 0;
  const covariance = solveArrow(factor, right);
  const bows = layout.tools.flatMap((tool) => (tool.kind === "rocker" ? [] : [layout.edgeError(tool)?.even ?? []])).flat();
  const edge = bows.reduce((sum, at) => sum + (covariance[at] ?? 0) ** 2 / rowVariance(factor, { index: [at], coefficient: [1] }), 0);
  return edge > 0.5 * rowVariance(factor, asked) ? { edgeMm: Math.sqrt(edge) } : {};
}

/** What to read where level and tilt of the lines are not determined: sighting bars, whose uncertainty is what an eye tells over the width at the last fret. */
export function sightTwist(neck: Neck): NextReading {
  const bars = usualTool("sightingBars");
  const at = fretPlace(neck, neck.frets);
  const uThenMm = (Math.hypot(SIGHT_MM, SIGHT_MM, edgeSpread(bars).evenMm) * widthMm(neck, at.xMm)) / bars.lengthMm;
  return { status: "worthwhile", tool: "sightingBars", line: neck.lines.at(-1)?.name ?? "", at, uNowMm: Infinity, uThenMm };
}

type Candidate = { readonly tool: "straightedge" | "rocker" | "sightingBars"; readonly line: string; readonly at: Place; readonly row: SparseRow; readonly noiseMm: number };

function gapCandidates(neck: Neck, usable: Usable, explanation: Explanation, feelMm: number, survey: number): readonly Candidate[] {
  const { layout } = explanation;
  return usable.settings.flatMap((setting, settingIndex) => unreadFrets(neck, layout, setting, survey).map((at): Candidate => {
    const station = stationAt(layout.stations, at);
    const row = gapRow(layout, setting, settingIndex, station);
    const line = usable.lines.find((known) => setting.path.kind === "along" && known.name === setting.path.line);
    const radius = line === undefined ? 0 : radiusDropMm(neck, line, at.xMm);
    const expected = along(row, heaviestPoint(explanation).posterior.mean) - radius;
    const width = expected < THINNEST_MM ? THINNEST_MM : STEP_MM;
    return { tool: "straightedge", line: line?.name ?? "", at, row, noiseMm: Math.hypot(feelMm, width / Math.sqrt(12)) };
  }));
}

/** Fret tops under the edge, between its outermost readings, that were not read in this setting. */
function unreadFrets(neck: Neck, layout: Layout, setting: PlacedSetting, survey: number): readonly Place[] {
  if (setting.surface !== "fretTops" || setting.path.kind !== "along" || mannerOf(setting) !== "edge" || (setting.survey ?? 0) !== survey) return [];
  const xs = setting.readings.map((reading) => reading.place.xMm);
  const read = new Set(setting.readings.map((reading) => stationAt(layout.stations, reading.place)));
  return layout.stations.flatMap((station, index) =>
    station.fret === undefined || read.has(index) || station.xMm < Math.min(...xs) || station.xMm > Math.max(...xs) ? [] : [fretPlace(neck, station.fret)]);
}

function rockerCandidates(neck: Neck, usable: Usable, layout: Layout, feelMm: number, survey: number): readonly Candidate[] {
  const frets = layout.stations.flatMap((station) => (station.fret === undefined ? [] : [station.fret]));
  const noiseMm = Math.hypot(feelMm, (1.5 * THINNEST_MM) / Math.sqrt(12));
  const read = usable.linesBySurvey?.[survey];
  return usable.lines.filter(({ name }) => read === undefined || read.includes(name)).flatMap((line) => frets.slice(1, -1).flatMap((middle, index): Candidate[] => {
    const triple = [frets[index] ?? middle - 1, middle, frets[index + 2] ?? middle + 1] as const;
    const done = usable.rockers.some((rocker) => (rocker.survey ?? 0) === survey && rocker.line === line.name && rocker.frets[1] === middle);
    return done ? [] : [{ tool: "rocker", line: line.name, at: fretPlace(neck, middle), row: rockerRow(neck, layout, line.name, triple, undefined, survey), noiseMm }];
  }));
}
