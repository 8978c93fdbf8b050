import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import type { GapReading, Place, RockerReading } from "../readings/reading.js";
import type { Height, Survey } from "../survey/survey.js";
import { measuredWords, type UnitOrder } from "../units/words.js";
import { normalMm, NORMAL_95 } from "../units/measured.js";
import { escaped } from "./text.js";

const SURFACE_WORDS: Readonly<Record<Height["surface"], string>> = {
  fretTops: "fret top", wood: "wood", underCrown: "gap under the crown", underside: "underside", glueFace: "glue face",
};

/** More readings than this behind one place are counted, not listed: a hover box has to fit the page. */
const MOST_LISTED = 6;

/** What is shown over a measured place: where, height in both units, which way it departs, and the readings as typed. Escaped for plotly. */
export function heightHover(survey: Survey, height: Height, order: UnitOrder): string {
  const listed = height.readings.slice(0, MOST_LISTED).map((reading) => `read: ${readingWords(survey, reading)}`);
  const more = height.readings.length - listed.length;
  const misfits = survey.blunders.filter((blunder) => blunder.line === height.line && blunder.at === height.at);
  return joined([
    `<b>${escaped(`${placeWords(height.place)}, ${height.line}`)}</b> (${SURFACE_WORDS[height.surface]}, ${height.place.xMm.toFixed(1)} mm from the nut)`,
    `height ${measuredWords(normalMm(height.heightMm, height.uMm), order)}`,
    sideWords(height.heightMm, NORMAL_95 * height.uMm),
    ...listed.map(escaped),
    more > 0 ? `and ${more} more` : "",
    ...misfits.map((blunder) => `<b>does not fit:</b> ${escaped(blunder.sentence)}`),
  ]);
}

/** What is shown over the smooth neck line: where and how far from the chord. Escaped for plotly. */
export function smoothHover(neck: Neck, line: string, xMm: number, heightMm: number, uMm: number, order: UnitOrder): string {
  return joined([
    `<b>neck line, ${escaped(line)}</b>, ${nearWords(neck, xMm)} (${xMm.toFixed(1)} mm from the nut)`,
    `height ${measuredWords(normalMm(heightMm, uMm), order)}`,
    sideWords(heightMm, NORMAL_95 * uMm),
  ]);
}

/** `fret 7`, `the wood between frets 3 and 4`, `123.4 mm from the nut`. */
export function placeWords(place: Place): string {
  if (place.fret !== undefined) return `fret ${place.fret}`;
  return place.label.startsWith("@") ? `${place.label.slice(1)} from the nut` : `place ${place.label}`;
}

/** The fret at this place, or the frets it lies between. */
export function nearWords(neck: Neck, xMm: number): string {
  const tops = fretTops(neck);
  const at = tops.find((fret) => Math.abs(fretDistanceMm(neck.scaleLengthMm, fret) - xMm) < 0.5);
  if (at !== undefined) return `fret ${at}`;
  const next = tops.find((fret) => fretDistanceMm(neck.scaleLengthMm, fret) > xMm);
  if (next === undefined) return `past fret ${neck.frets}`;
  return next === tops[0] ? `before fret ${next}` : `between frets ${next - 1} and ${next}`;
}

function sideWords(heightMm: number, takeMm: number): string {
  if (heightMm === 0 && takeMm === 0) return "end of the chord: height 0 by agreement";
  if (Math.abs(heightMm) <= takeMm) return "no farther from the chord than the give or take";
  return heightMm < 0 ? "below the chord: toward forward bow (middle low)" : "above the chord: toward back bow (middle high)";
}

function readingWords(survey: Survey, reading: GapReading | RockerReading): string {
  const typed = `${reading.origin.source}, row ${reading.origin.row}, column ${reading.origin.column}`;
  if ("frets" in reading) return `${reading.written}, rocker on frets ${reading.frets.join(", ")} (${typed})`;
  const setting = survey.sheet.settings.find((candidate) => candidate.readings.includes(reading));
  return `${reading.written}, ${setting === undefined ? "" : `${setting.label} `}(${typed})`;
}

function joined(lines: readonly string[]): string {
  return lines.filter((line) => line !== "").join("<br>");
}
