import { readNeck } from "../neck/neckFile.js";
import type { Neck } from "../neck/neck.js";
import { readBenchText } from "../readings/benchText.js";
import type { ReadOptions } from "../readings/options.js";
import type { SurveySheet } from "../readings/reading.js";
import { adjust } from "../survey/adjust.js";
import type { Survey } from "../survey/survey.js";
import { valueOrThrow } from "../units/problem.js";
import type { NeckDescription } from "./neckDescription.js";
import { whileSaying } from "./outlet.js";
import { prepareDrawing } from "./drawing.js";
import { plainly } from "./plainly.js";

/**
 * Describe your neck: its name, scale length and number of frets; more if you know it.
 *
 *     const neck = describeNeck({ name: "Number 12", scaleLength: "25 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in" });
 *
 * Lengths are numbers in mm, or text with a unit. What you leave out is assumed and listed with every result.
 * @throws {Error} in one sentence for each key that does not fit: what stood there, what was expected
 */
export function describeNeck(description: NeckDescription): Neck {
  prepareDrawing();
  return plainly(() => valueOrThrow(readNeck(description, "your neck"), "the neck"));
}

/**
 * Take down your readings as a text table: one row a fret, one column a line.
 *
 *     const readings = takeReadings(neck, `
 *       fret  bass   treble
 *       1     touch  touch
 *       7     6      4
 *       16    touch  touch
 *     `);
 *
 * `6`: leaf 6 goes, the next does not. `touch`: the edge is seen touching. `0`: the thinnest leaf does not go.
 * `4..5`, `0.10mm`, `10+6` and more are in docs/at-the-bench.md. Plain numbers are thou unless you say `unit: mm`.
 * @param about what you know beside the table: stage, date, unit, feel of the hand
 * @throws {Error} listing everything in the table that cannot be read, with row and column; nothing is dropped silently
 */
export function takeReadings(neck: Neck, table: string, about: ReadOptions = {}): SurveySheet {
  return plainly(() => valueOrThrow(readBenchText(neck, table, { source: "your table", ...about }), "the readings"));
}

/**
 * Work out the shape of the neck from the readings: every height with its give or take, and what the readings leave open.
 * @param readings from `takeReadings`, or the table itself
 * @param about what you know beside the table: stage, date, unit, feel of the hand
 * @returns the survey: hand it to `show`, `tell`, `heightsTable` or `saveCard`
 * @throws {Error} listing everything in the table that cannot be read
 */
export function surveyNeck(neck: Neck, readings: string | SurveySheet, about: ReadOptions = {}): Survey {
  return plainly(() => {
    const sheet = typeof readings === "string" ? takeReadings(neck, readings, about) : readings;
    return whileSaying("Working out the neck", () => adjust(neck, sheet));
  });
}
