import Papa from "papaparse";
import { nearestName } from "../neck/nearest.js";
import { quoted } from "../neck/shown.js";
import type { Problem } from "../units/problem.js";
import { STATE_KEYS, type StateKey } from "./state.js";

/** The columns that a table of readings may have. */
export type Column = "neck" | "stage" | "date" | "surface" | "line" | "path" | "tool" | "setting" | "at" | "gap" | "unit" | "note" | StateKey;

const READING_COLUMNS: readonly Column[] = ["neck", "stage", "date", "surface", "line", "path", "tool", "setting", "at", "gap", "unit", "note"];
const COLUMNS: readonly Column[] = [...READING_COLUMNS, ...STATE_KEYS];

const MOST_ROWS = 10_000;

const NEEDED: readonly Column[] = ["line", "at", "gap"];

/** One row below the headings: its cells by column, trimmed; a column that the table lacks is empty. */
export type CsvRow = { readonly row: number; readonly cell: (column: Column) => string };

/** A table as rows of named cells, or as far as it could be read, with everything that is wrong in its shape. */
export type CsvTable = { readonly rows: readonly CsvRow[]; readonly has: (column: Column) => boolean; /** The headings as written, and the row in which they stand. */ readonly headings: readonly string[]; readonly headingsRow: number; readonly problems: readonly Problem[] };

/**
 * Parts a CSV into named cells: RFC 4180, with or without BOM, cells parted by `,`, `;` or tab (whichever the headings use).
 * Rows are counted as a spreadsheet counts them, the headings being row 1.
 */
export function csvTable(text: string, source: string): CsvTable {
  const parsed = Papa.parse<string[]>(text.replace(/^\uFEFF/, ""), { delimiter: delimiterOf(text), dynamicTyping: false, skipEmptyLines: false });
  const quotes = parsed.errors.filter((error) => error.type === "Quotes").map((error) => quoteProblem(error, source));
  const records = parsed.data.map((cells, index) => ({ row: index + 1, cells: cells.map((cell) => cell.trim()) })).filter(({ cells }) => cells.some((cell) => cell !== ""));
  const [head, ...body] = records[0]?.cells[0]?.toLowerCase().startsWith("sep=") === true ? records.slice(1) : records;
  if (head === undefined) return { rows: [], has: () => false, headings: [], headingsRow: 1, problems: [{ source, found: "an empty file", expected: `headings (${READING_COLUMNS.join(",")}) and one row a reading` }] };
  const columns = head.cells.map(columnOf);
  const problems = [...quotes, ...headingProblems(head.cells, columns, head.row, source)];
  const has = (column: Column): boolean => columns.includes(column);
  const headed = { headings: head.cells, headingsRow: head.row };
  if (!NEEDED.some(has)) return { rows: [], has, ...headed, problems };
  if (body.length > MOST_ROWS) return { rows: [], has, ...headed, problems: [...problems, { source, row: head.row + MOST_ROWS + 1, found: `${body.length} rows of readings`, expected: `up to ${MOST_ROWS}: no neck has so many`, repair: "give each neck a file of its own" }] };
  const tooLong = body.flatMap(({ row, cells }) => lengthProblem(row, cells, columns.length, source));
  return { rows: body.map(({ row, cells }) => rowOf(row, cells, columns)), has, ...headed, problems: [...problems, ...tooLong] };
}

function rowOf(row: number, cells: readonly string[], columns: readonly (Column | undefined)[]): CsvRow {
  return { row, cell: (column) => cells[columns.indexOf(column)] ?? "" };
}

/** The separator that the first line with anything in it uses most, outside quotes. */
function delimiterOf(text: string): "," | ";" | "\t" {
  const lines = text.slice(0, 20_000).split(/\r\n|\n|\r/).filter((line) => line.trim() !== "" && !/^\uFEFF?sep=/i.test(line));
  const head = (lines[0] ?? "").replace(/"[^"]*"/g, "");
  const count = (separator: string): number => head.split(separator).length - 1;
  if (count(";") > count(",") && count(";") >= count("\t")) return ";";
  return count("\t") > count(",") ? "\t" : ",";
}

function columnOf(heading: string): Column | undefined {
  const plain = heading.toLowerCase().replace(/[\s_-]/g, "");
  return COLUMNS.find((column) => column.toLowerCase() === plain);
}

function quoteProblem(error: Papa.ParseError, source: string): Problem {
  return { source, row: (error.row ?? 0) + 1, found: "a quotation mark that is not closed, or text after the closing one", expected: "a cell between quotation marks, with marks inside it doubled", repair: 'write 12 in rather than 12"' };
}

function headingProblems(headings: readonly string[], columns: readonly (Column | undefined)[], row: number, source: string): readonly Problem[] {
  const filled = headings.filter((heading) => heading !== "").length;
  if (filled < headings.length && !NEEDED.some((column) => columns.includes(column))) {
    return [{ source, row, found: `${quoted(headings.find((heading) => heading !== "") ?? "")} with empty cells beside it`, expected: `the headings ${READING_COLUMNS.join(",")}`, repair: "a title or merged headings may stand above the table: take that row out" }];
  }
  const missing = NEEDED.filter((column) => !columns.includes(column)).map((column): Problem => missingColumn(column, headings, columns, row, source));
  const absent = COLUMNS.filter((column) => !columns.includes(column));
  return [...headings.flatMap((heading, index) => headingProblem(heading, index, columns, absent, { source, row, column: String(index + 1) })), ...missing];
}

function missingColumn(column: Column, headings: readonly string[], columns: readonly (Column | undefined)[], row: number, source: string): Problem {
  const strangers = headings.filter((_, index) => columns[index] === undefined);
  const near = nearestName(column, strangers);
  const all = headings.length === 1 ? `the headings ${READING_COLUMNS.join(",")}, parted by commas or semicolons` : `a column ${column}`;
  return { source, row, column, found: headings.length === 1 ? quoted(headings[0] ?? "") : "no such column", expected: all, ...(near === undefined ? {} : { repair: `the column ${quoted(near)} may be meant` }) };
}

function headingProblem(heading: string, index: number, columns: readonly (Column | undefined)[], absent: readonly Column[], where: { readonly source: string; readonly row: number; readonly column: string }): readonly Problem[] {
  const column = columns[index];
  if (column !== undefined) {
    return columns.indexOf(column) === index ? [] : [{ ...where, found: `a second column ${quoted(heading)}`, expected: "each column once" }];
  }
  if (heading === "") return [{ ...where, found: "an empty heading", expected: "a heading over every column", repair: "merged headings stand in the first of their columns only; take out columns without a heading" }];
  const near = nearestName(heading, absent);
  return [{ ...where, found: `the heading ${quoted(heading)}`, expected: `one of ${COLUMNS.join(", ")}`, repair: near === undefined ? "take the column out, or write its text in the column note" : `write ${near}` }];
}

function lengthProblem(row: number, cells: readonly string[], columns: number, source: string): readonly Problem[] {
  if (cells.slice(columns).every((cell) => cell === "")) return [];
  return [{ source, row, found: `${cells.length} cells`, expected: `${columns}, as many as there are headings`, repair: "a decimal comma parts a cell of a file parted by commas: write 0.10, or set the cell between quotation marks" }];
}
