import { radiusDropMm } from "../neck/surface.js";
import { middleShare } from "../readings/contact.js";
import type { EdgeSetting, GapReading, RockerReading, SurveySheet } from "../readings/reading.js";
import { usualTool } from "../readings/tools.js";
import { adjust } from "../survey/adjust.js";
import type { HeightTerm, NextReading, Survey } from "../survey/survey.js";
import { MM_PER_THOU } from "../units/length.js";
import { allTops, nearestTop, topOverChord } from "./span.js";
import type { TopPlace } from "./span.js";

/** With more readings than this what one more tells is seen well enough by the normal approximation. */
const FEW = 12;
/** Thinnest leaf of a common set, and what a leaf's own thickness adds (common practice, no source). */
const THINNEST_MM = 1.5 * MM_PER_THOU;
const LEAF_U_MM = 0.0023;

type Worthwhile = Extract<NextReading, { status: "worthwhile" }>;

/**
 * Of all gaps still to be read under an edge as it lies on a line, and all rockings still to be done on it, the one after which a combination is surest, each tried by adjusting the sheet with the
 * reading that is expected there. Few readings leave open whether an end fret stands high, and a neighbour that settles that tells far more than a
 * normal approximation sees.
 * @returns undefined with many readings, or where none can be tried
 */
export function bestReadingAhead(survey: Survey, line: string, terms: readonly HeightTerm[]): Worthwhile | undefined {
  const { sheet } = survey;
  if (sheet.settings.reduce((sum, setting) => sum + setting.readings.length, sheet.rockers.length) > FEW) return undefined;
  const uNowMm = survey.linear(terms).u;
  const settings = sheet.settings.filter((setting) => setting.path.kind === "along" && setting.path.line === line && setting.surface === "fretTops");
  const gaps = settings.flatMap((setting) => expectedReadings(survey, setting, line).map((reading) => ({ tool: "straightedge" as const, at: reading.place, sheet: withReading(sheet, setting, reading) })));
  const rockers = expectedRockings(survey, line).map((rocker) => ({ tool: "rocker" as const, at: topOf(survey, rocker.frets[1]), sheet: { ...sheet, rockers: [...sheet.rockers, rocker] } }));
  const judged = [...gaps, ...rockers].map(({ tool, at, sheet: read }) => ({ tool, at, uThenMm: adjust(survey.neck, read).linear(terms).u }));
  const [best] = judged.sort((one, other) => one.uThenMm - other.uThenMm);
  return best === undefined ? undefined : { status: "worthwhile", line, uNowMm, ...best };
}

/** The likeliest answer of a rocker over every fret between the outermost read that was not rocked yet. */
function expectedRockings(survey: Survey, line: string): readonly RockerReading[] {
  const read = survey.heights.flatMap((height) => (height.line === line && height.place.fret !== undefined ? [height.place.fret] : []));
  const middles = allTops(survey.neck).filter(({ fret }) => fret > Math.min(...read) && fret < Math.max(...read) && !survey.sheet.rockers.some((rocker) => rocker.line === line && rocker.frets[1] === fret));
  return middles.map(({ fret }): RockerReading => {
    const [near, middle, far] = [topOf(survey, fret - 1), topOf(survey, fret), topOf(survey, fret + 1)];
    const share = middleShare(near.xMm, middle.xMm, far.xMm);
    const deltaMm = survey.linear(topOverChord(line, near, far, middle)).value;
    const bounds = deltaMm < THINNEST_MM * share ? { low: -THINNEST_MM, high: THINNEST_MM * share } : { low: deltaMm - (MM_PER_THOU * share) / 2, high: deltaMm + (MM_PER_THOU * share) / 2 };
    return { line, frets: [fret - 1, fret, fret + 1], deltaMm: bounds, endsUMm: LEAF_U_MM, tool: usualTool("rocker"), written: "expected", origin: { source: "expected", row: 0, column: line } };
  });
}

function topOf({ neck }: Survey, fret: number): TopPlace {
  return allTops(neck).find((top) => top.fret === fret) ?? nearestTop(neck, 0);
}

/** The sheet with one more reading under a setting, in order along the neck. */
export function withReading(sheet: SurveySheet, setting: EdgeSetting, reading: GapReading): SurveySheet {
  const readings = [...setting.readings, reading].sort((a, b) => a.place.xMm - b.place.xMm);
  return { ...sheet, settings: sheet.settings.map((one) => (one === setting ? { ...one, readings } : one)) };
}

/** The likeliest reading at every fret under the edge that was not read in this setting. */
export function expectedReadings(survey: Survey, setting: EdgeSetting, line: string): readonly GapReading[] {
  const tops = allTops(survey.neck);
  const read = setting.readings.flatMap((reading) => tops.filter(({ fret }) => fret === reading.place.fret).map((top) => ({ top, gapMm: middleOf(reading) })));
  const [first, last] = [read[0], read.at(-1)];
  if (first === undefined || last === undefined || first === last) return [];
  const unread = tops.filter(({ fret }) => fret > first.top.fret && fret < last.top.fret && !read.some(({ top }) => top.fret === fret));
  return unread.map((top): GapReading => {
    const t = (top.xMm - first.top.xMm) / (last.top.xMm - first.top.xMm);
    const overMm = survey.linear(topOverChord(line, first.top, last.top, top)).value + (dropMm(survey, line, top) - (1 - t) * dropMm(survey, line, first.top) - t * dropMm(survey, line, last.top));
    const gapMm = Math.max(0, (1 - t) * first.gapMm + t * last.gapMm - overMm);
    const lowMm = gapMm < THINNEST_MM ? 0 : Math.floor(gapMm / MM_PER_THOU) * MM_PER_THOU;
    const highMm = gapMm < THINNEST_MM ? THINNEST_MM : lowMm + MM_PER_THOU;
    return { line, place: top, gap: { kind: "interval", lowMm, highMm, endsUMm: LEAF_U_MM }, written: "expected", origin: { source: "expected", row: 0, column: line } };
  });
}

function middleOf({ gap }: GapReading): number {
  if (gap.kind === "exact") return gap.gapMm;
  return Number.isFinite(gap.highMm) ? (gap.lowMm + gap.highMm) / 2 : gap.lowMm;
}

function dropMm({ neck }: Survey, line: string, { xMm }: TopPlace): number {
  const found = neck.lines.find(({ name }) => name === line);
  return found === undefined ? 0 : radiusDropMm(neck, found, xMm);
}
