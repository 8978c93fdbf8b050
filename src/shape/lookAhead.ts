import { radiusDropMm } from "../neck/surface.js";
import type { EdgeSetting, GapReading, SurveySheet } from "../readings/reading.js";
import type { Survey } from "../survey/survey.js";
import { MM_PER_THOU } from "../units/length.js";
import { allTops, topOverChord } from "./span.js";
import type { TopPlace } from "./span.js";

/** Thinnest leaf of a common set, and what a leaf's own thickness adds (common practice, no source). */
const THINNEST_MM = 1.5 * MM_PER_THOU;
const LEAF_U_MM = 0.0023;

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
