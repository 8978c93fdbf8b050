import type { DataFrame } from "danfojs";
import type { Height, Survey } from "../survey/survey.js";
import { SURFACE_WORDS } from "../shape/faceBow.js";
import { MM_PER_THOU } from "../units/length.js";
import { NORMAL_95 } from "../units/measured.js";
import type { UnitOrder } from "../units/words.js";
import { isChordEnd } from "../figures/chords.js";
import { placeWords } from "../figures/hover.js";
import { dataFrame } from "./dataFrame.js";
import { plainly } from "./plainly.js";

/**
 * All measured heights of a survey as a table to sort, filter and save (a danfo.js DataFrame); `show` draws it well.
 * Heights are over the chord of their line, positive away from the back of the neck; give or take is half the 95 % interval.
 * What was read beside the fret tops (bare wood, underside, glue face) follows, each over a chord of its own; a column then names the surface.
 * The ends of a chord have height 0 by agreement and no give or take (NaN, shown as a dash).
 * @param survey what `surveyNeck` gave
 * @param order which unit stands first; mm unless said
 */
export function heightsTable(survey: Survey, order: UnitOrder = "mm first"): DataFrame {
  return plainly(() => dataFrame(heightColumns(survey, order)));
}

function heightColumns(survey: Survey, order: UnitOrder): Record<string, readonly (string | number)[]> {
  const heights = [...survey.heights, ...survey.faces.flatMap((face) => face.heights)];
  const ends = new Set([...survey.heights.filter((height) => isChordEnd(survey, height)), ...survey.faces.flatMap((face) => [face.heights[0], face.heights.at(-1)])]);
  const takeMm = heights.map((height) => (ends.has(height) ? Number.NaN : NORMAL_95 * height.uMm));
  const surface = survey.faces.length === 0 ? {} : { surface: heights.map((height) => SURFACE_WORDS[height.surface]) };
  const mm = { "height mm": heights.map((height) => rounded(height.heightMm, 4)), "give or take mm": takeMm.map((take) => rounded(take, 4)) };
  const thou = {
    "height thou": heights.map((height) => rounded(height.heightMm / MM_PER_THOU, 2)), "give or take thou": takeMm.map((take) => rounded(take / MM_PER_THOU, 2)),
  };
  return {
    place: heights.map((height) => placeWords(height.place)), line: heights.map((height) => height.line), ...surface,
    ...(order === "mm first" ? { ...mm, ...thou } : { ...thou, ...mm }), read: heights.map((height) => `${ends.has(height) ? "end of the chord; " : ""}${readAs(height)}`),
  };
}

function readAs(height: Height): string {
  const written = height.readings.map((reading) => reading.written);
  const times = (text: string): number => written.filter((other) => other === text).length;
  return [...new Set(written)].map((text) => (times(text) > 1 ? `${text} (${times(text)} times)` : text)).join("; ");
}

function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}
