import { fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { readNeck } from "../neck/neckFile.js";
import { problemSentence } from "../units/problem.js";
import { benchSheet } from "./benchSheet.js";
import { newNotebook } from "./newNotebook.js";

/** What a builder says of a new neck; all of it can be changed in the neck file afterwards. */
export type NewNeckRequest = { readonly name: string; readonly scaleLength: string; readonly frets: number; readonly zeroFret?: boolean; readonly bodyJoint?: number; readonly fingerboardRadius?: string };

/** The files of a new neck's folder, or every problem of what was said. */
export type NewNeck =
  | { readonly status: "made"; /** Name of the folder. */ readonly folder: string; readonly files: readonly { readonly name: string; readonly text: string }[]; readonly notebook: string; readonly assumed: readonly string[] }
  | { readonly status: "refused"; readonly message: string };

/** Columns of a readings sheet, in the order in which the readers know them. */
const COLUMNS = "neck,stage,date,surface,line,path,tool,setting,at,gap,unit,note,rod,strings,support,hoursSinceGlue,humidity,temperature,fretState";

/**
 * What lies in the folder of a new neck: neck file, readings sheet, notebook, bench sheet. Writes nothing.
 * @param date ISO 8601 day that the readings sheet starts with
 */
export function newNeck(request: NewNeckRequest, date: string): NewNeck {
  const read = readNeck(request, "the new neck");
  if (read.status === "refused") return { status: "refused", message: read.problems.map(problemSentence).join("\n") };
  if (/^\s*[=+@-]/.test(request.name)) return { status: "refused", message: `Cannot use "${request.name}": a spreadsheet takes a text that begins so for a formula (begin the neck's name with a letter or a digit)` };
  const folder = folderName(request.name);
  if (folder === "") return { status: "refused", message: `Cannot name a folder after "${request.name}": expected at least one letter or digit in the neck's name` };
  const notebook = `${folder}.ipynb`;
  return {
    status: "made", folder, notebook, assumed: read.value.assumed,
    files: [
      { name: "neck.json", text: `${JSON.stringify(request, null, 2)}\n` },
      { name: "readings.csv", text: readingsSheet(read.value, date) },
      { name: notebook, text: newNotebook(read.value, date) },
      { name: "bench-sheet.html", text: benchSheet(read.value).html },
    ],
  };
}

/** Names that some systems keep for devices. */
const RESERVED = /^(con|prn|aux|nul|com\d|lpt\d)$/i;

/** A folder's name that every system takes, as near to the neck's name as that allows. */
function folderName(name: string): string {
  const plain = name.normalize("NFC").replace(/[^\p{L}\p{M}\p{N}._ -]+/gu, "-").replace(/^[\s.-]+|[\s.-]+$/gu, "").slice(0, 80).trimEnd();
  if (!/[\p{L}\p{N}]/u.test(plain)) return "";
  return RESERVED.test(plain) ? `neck ${plain}` : plain;
}

/** A sheet for a spreadsheet: the gaps line by line in the order in which one walks the neck, then the rocker; an empty gap is not measured. */
function readingsSheet(neck: Neck, date: string): string {
  const tops = fretTops(neck);
  const row = (line: string, tool: string, setting: string, fret: number): string => [quoted(neck.name), "first readings", date, "fretTops", quoted(line), "", tool, setting, fret, "", "thou", ""].join(",") + ",".repeat(7);
  const gaps = neck.lines.flatMap(({ name }) => tops.map((fret) => row(name, "straightedge", "1", fret)));
  const rockers = neck.lines.flatMap(({ name }) => tops.slice(1, -1).map((fret) => row(name, "rocker", "", fret)));
  return [COLUMNS, ...gaps, ...rockers].map((line) => `${line}\r\n`).join("");
}

/** RFC 4180. */
function quoted(text: string): string {
  return /[",\r\n;]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
