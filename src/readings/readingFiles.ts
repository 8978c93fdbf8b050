import type { Neck } from "../neck/neck.js";
import type { Outcome, Problem } from "../units/problem.js";
import { draftOfText } from "./benchText.js";
import type { Draft } from "./draft.js";
import type { ReadOptions } from "./options.js";
import type { SurveySheet } from "./reading.js";
import { draftsOfCsv } from "./readingsCsv.js";
import { sheetsOf } from "./sheet.js";

/** A file's name, for messages, and its text. */
export type ReadingFile = { readonly source: string; readonly text: string };

/**
 * Reads several files of one neck, CSV or bench text; a file whose stage and date were there before continues that survey.
 * @param files in the order in which they were given
 * @returns one sheet a survey, in order of appearance; or every problem of all the files at once
 * @example equal(readReadingFiles(valueOrThrow(readNeck({ name: "a", scaleLength: "25 in", frets: 22 }), "neck"), []).status, "refused");
 */
export function readReadingFiles(neck: Neck, files: readonly ReadingFile[], options: ReadOptions = {}): Outcome<readonly SurveySheet[]> {
  if (files.length === 0) return { status: "refused", problems: [{ source: "readings", found: "no file", expected: "one file of readings or more" }] };
  const read = files.map((file) => draftsOfFile(neck, file, options));
  const [first, ...others] = read.flatMap((each) => each.problems);
  return first === undefined ? sheetsOf(neck, read.flatMap((each) => each.drafts)) : { status: "refused", problems: [first, ...others] };
}

function draftsOfFile(neck: Neck, file: ReadingFile, options: ReadOptions): { readonly drafts: readonly Draft[]; readonly problems: readonly Problem[] } {
  const own = { ...options, source: file.source };
  if (isCsv(file)) {
    const read = draftsOfCsv(neck, file.text, own);
    return "problems" in read ? { drafts: [], problems: read.problems } : { drafts: read.drafts, problems: [] };
  }
  const read = draftOfText(neck, file.text, own);
  return "problems" in read ? { drafts: [], problems: read.problems } : { drafts: [read.draft], problems: [] };
}

/** By its name; else by its headings, which no bench text has. */
function isCsv(file: ReadingFile): boolean {
  if (/\.(csv|tsv)$/i.test(file.source)) return true;
  if (/\.(txt|md)$/i.test(file.source)) return false;
  const head = file.text.replace(/^\uFEFF/, "").split(/\r\n|\n|\r/).find((line) => line.trim() !== "") ?? "";
  const cells = head.toLowerCase().split(/[,;\t]/).map((cell) => cell.trim().replace(/^"|"$/g, ""));
  return cells.includes("gap") && cells.includes("at");
}
