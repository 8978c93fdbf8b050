import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import type { GapReading, Place, RockerReading } from "../readings/reading.js";
import type { Height, Survey } from "../survey/survey.js";
import { magnitude } from "../shape/drawn.js";
import { normalMm, NORMAL_95, type Measured } from "../units/measured.js";
import { bowWords, measuredWords, type UnitOrder } from "../units/words.js";
import { isChordEnd } from "./chords.js";
import { HOVER_TEXT_PX } from "./look.js";
import { escaped, wrapped } from "./text.js";

const SURFACE_WORDS: Readonly<Record<Height["surface"], string>> = {
  fretTops: "fret top", wood: "wood", underCrown: "gap under the crown", underside: "underside", glueFace: "glue face",
};

/** A hover box is kept this narrow, so that it fits the narrowest page. */
const BOX_PX = 390;

/** More readings than this behind one place are counted, not listed: a hover box has to fit the page. */
const MOST_LISTED = 6;

/** What is shown over a measured place: where, how far from the chord and from the neck line in both units, and the readings as typed. Escaped for plotly. */
export function heightHover(survey: Survey, height: Height, order: UnitOrder): string {
  const listed = height.readings.slice(0, MOST_LISTED).map((reading) => `read: ${readingWords(survey, reading)}`);
  const more = height.readings.length - listed.length;
  const misfits = survey.blunders.filter((blunder) => blunder.line === height.line && blunder.at === height.at);
  return joined([
    { bold: `${placeWords(height.place)}, ${height.line}`, text: `(${SURFACE_WORDS[height.surface]}, ${height.place.xMm.toFixed(1)} mm from the nut)` },
    isChordEnd(survey, height) ? "an end of the chord: its height is 0 by agreement, the others are counted from here" : sideWords(normalMm(height.heightMm, height.uMm), "the chord", order),
    overLineWords(survey, height, order),
    ...listed,
    more > 0 ? `and ${more} more` : "",
    ...misfits.map((blunder) => ({ bold: "does not fit:", text: blunder.sentence })),
  ]);
}

/** What is shown over the smooth neck line: where and how far from the chord. Escaped for plotly. */
export function smoothHover(neck: Neck, line: string, xMm: number, heightMm: number, uMm: number, order: UnitOrder): string {
  return joined([
    { bold: `neck line, ${line}`, text: `${nearWords(neck, xMm)} (${xMm.toFixed(1)} mm from the nut)` },
    sideWords(normalMm(heightMm, uMm), "the chord", order),
    Math.abs(heightMm) <= NORMAL_95 * uMm ? "" : `toward ${bowWords(-heightMm)}`,
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

/** Less rounds to nothing in thou as in mm. */
const LEVEL_MM = 0.00127;

/** Which side of a line, and by how much; where the interval leaves doubt of the side it is called level, and the side is that of the best estimate. */
export function sideWords(measured: Measured, line: string, order: UnitOrder): string {
  const { value, low95, high95 } = measured;
  const much = measuredWords(magnitude(measured), order);
  const side = value < 0 ? "below" : "above";
  if (low95 > 0 || high95 < 0) return `${side} ${line} by ${much}`;
  return `level with ${line} within the give or take: ${Math.abs(value) < LEVEL_MM ? much : `best estimate ${side} it by ${much}`}`;
}

/** How far a fret stands above or below the smooth neck line at its place: what makes it a high fret, wherever the chord runs. */
function overLineWords(survey: Survey, { surface, line, place }: Height, order: UnitOrder): string {
  if (surface !== "fretTops" || place.fret === undefined) return "";
  const over = survey.linear([{ of: "fretTop", line, fret: place.fret, weight: 1 }, { of: "neckLine", line, xMm: place.xMm, weight: -1 }]);
  return sideWords(over, "the neck line", order);
}

function readingWords(survey: Survey, reading: GapReading | RockerReading): string {
  const typed = `${reading.origin.source}, row ${reading.origin.row}, column ${reading.origin.column}`;
  if ("frets" in reading) return `${reading.written}, rocker on frets ${reading.frets.join(", ")} (${typed})`;
  const setting = survey.sheet.settings.find((candidate) => candidate.readings.includes(reading));
  return `${reading.written}, ${setting === undefined ? "" : `${setting.label} `}(${typed})`;
}

/** One thing that a hover box says, still unescaped; it may begin in bold. */
type Said = string | { readonly bold: string; readonly text: string };

function joined(all: readonly Said[]): string {
  return all.filter((said) => said !== "").flatMap(printed).join("<br>");
}

/** Broken so that the box fits the narrowest page, then escaped. */
function printed(said: Said): readonly string[] {
  const { bold, text } = typeof said === "string" ? { bold: "", text: said } : said;
  const [first = "", ...more] = wrapped(`${bold} ${text}`.trim(), BOX_PX, HOVER_TEXT_PX);
  const begun = bold !== "" && first.startsWith(bold) ? `<b>${escaped(bold)}</b>${escaped(first.slice(bold.length))}` : escaped(first);
  return [begun, ...more.map(escaped)];
}
