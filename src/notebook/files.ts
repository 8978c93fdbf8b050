import { readFileSync } from "node:fs";
import { basename } from "node:path";
import { readNeck } from "../neck/neckFile.js";
import type { Neck } from "../neck/neck.js";
import { readReadingFiles } from "../readings/readingFiles.js";
import type { SurveySheet } from "../readings/reading.js";
import { valueOrThrow } from "../units/problem.js";
import { prepareDrawing } from "./drawing.js";
import { plainly, toldPlainly } from "./plainly.js";

/**
 * Open a neck file: what `describeNeck` takes, saved as JSON.
 *
 *     const neck = openNeck("../data-demo/QUILLFEN-07/neck.json");
 *
 * @param file name of the file, beside the notebook unless it has a folder in it
 * @throws {Error} in one sentence for each thing that does not fit, with the place in the file
 */
export function openNeck(file: string): Neck {
  prepareDrawing();
  return plainly(() => valueOrThrow(readNeck(textOf(file), basename(file)), "the neck file"));
}

/**
 * Open one or more files of readings of this neck: CSV from a spreadsheet, or bench tables saved as text.
 * A file that names the same stage and date as one before it continues that survey.
 *
 *     const sheets = openReadings(neck, "monday.csv", "tuesday.csv");
 *
 * @returns one sheet of readings for each survey, in order of appearance: hand one to `surveyNeck`
 * @throws {Error} listing everything that cannot be read in all the files, with file, row and column
 */
export function openReadings(neck: Neck, ...files: readonly string[]): readonly [SurveySheet, ...SurveySheet[]] {
  return plainly(() => {
    const [first, ...others] = valueOrThrow(readReadingFiles(neck, files.map((file) => ({ source: basename(file), text: textOf(file) }))), "the readings");
    if (first === undefined) throw new RangeError(`Cannot open readings: expected at least one reading in ${files.join(", ")}, found none`);
    return [first, ...others];
  });
}

function textOf(file: string): string {
  try {
    return readFileSync(file, "utf8");
  } catch (error) {
    const missing = error instanceof Error && "code" in error && error.code === "ENOENT";
    throw toldPlainly(`Cannot open ${file}: ${missing ? "there is no file of that name here" : "it cannot be read"} (names count from the notebook's folder; .. is the folder above)`);
  }
}
