import type { Neck } from "../neck/neck.js";
import { quoted } from "../neck/shown.js";
import type { Outcome, Problem } from "../units/problem.js";
import { csvTable, type Column, type CsvRow, type CsvTable } from "./csvTable.js";
import { readDay } from "./day.js";
import { isSameNeck, surfaceOf, SURFACE_NAMES } from "./directives.js";
import type { Draft, Entry } from "./draft.js";
import { readGap, type GapContext, type WrittenReading } from "./gap.js";
import { feelProblems, gapContextOf, stateEntriesOf, type ReadOptions } from "./options.js";
import { neckLineName, noSuchLine } from "./passLine.js";
import { readPlace } from "./place.js";
import type { Origin, Place, SettingPath, Surface, SurveySheet } from "./reading.js";
import { sheetsOf } from "./sheet.js";
import { readStateValue, STATE_KEYS, type StateEntry, type StateKey } from "./state.js";
import { shownBy, toolByName, type ToolReading } from "./tools.js";

/**
 * Reads a tidy CSV, one reading a row, with the columns neck, stage, date, surface, line, path, tool, setting, at, gap, unit, note and, where
 * wanted, rod, strings, support, hoursSinceGlue, humidity, temperature, fretState (blank: as in the row above).
 * @param text the file's text: RFC 4180, with or without BOM; `;` with decimal comma is recognised
 * @param options what is known beside the file
 * @returns one sheet for each stage and date, in the order of the file; or every problem of the file at once
 * @example equal(readReadingsCsv(valueOrThrow(readNeck({ name: "a", scaleLength: "25 in", frets: 22 }), "neck"), "line,at,gap\ncentre,1,touch\ncentre,7,4").status, "read");
 */
export function readReadingsCsv(neck: Neck, text: string, options: ReadOptions = {}): Outcome<readonly SurveySheet[]> {
  const drafts = draftsOfCsv(neck, text, options);
  return "problems" in drafts ? { status: "refused", problems: drafts.problems } : sheetsOf(neck, drafts.drafts);
}

/** What a file says of each survey by itself, before it is joined with others. */
export function draftsOfCsv(neck: Neck, text: string, options: ReadOptions): { readonly drafts: readonly Draft[] } | { readonly problems: readonly [Problem, ...Problem[]] } {
  const source = options.source ?? "readings";
  const table = csvTable(text, source);
  const benchTable = benchTableProblem(table, neck, source);
  if (benchTable !== undefined) return { problems: [benchTable] };
  const rows = rowsRead(table, neck, options, source);
  const [first, ...others] = [...feelProblems(options), ...table.problems, ...otherNecks(table.rows, neck, source), ...rows.flatMap((row) => row.problems)];
  if (first !== undefined) return { problems: [first, ...others] };
  if (!rows.some((row) => row.entry !== undefined)) return { problems: [{ source, found: "no reading", expected: "a gap in at least one row below the headings", repair: "an empty gap is not measured" }] };
  return { drafts: draftsOf(rows, options) };
}

/** A table as it is written at the bench, a row a fret and a column a line, saved as a CSV: one mistake, not one a column. */
function benchTableProblem({ headings, headingsRow }: CsvTable, neck: Neck, source: string): Problem | undefined {
  const [first = "", ...others] = headings;
  const tool = toolByName(first, []);
  const isPlace = ["fret", "frets", "place", "at", ""].includes(first.toLowerCase()) || "tool" in tool;
  if (!isPlace || !others.some((heading) => neckLineName(heading, neck) !== undefined)) return undefined;
  return {
    source, row: headingsRow, found: `the headings ${quoted(headings.join(", "))}`,
    expected: "in a CSV one reading a row, under headings that have line, at and gap",
    repair: "this is a bench table, a row a fret and a column a line: save it as a text file whose name ends in .txt, the cells parted by tabs or blanks",
  };
}

type RowRead = {
  readonly stage: string;
  readonly date: string;
  readonly entry?: Entry;
  readonly state: readonly StateEntry[];
  readonly notes: readonly string[];
  readonly assumed: readonly string[];
  readonly problems: readonly Problem[];
};

/** Cells that are blank mean what the row above says: where one survey ends and the next begins, and in what state. */
type Above = { readonly [K in "stage" | "date" | StateKey]?: { readonly written: string; readonly row: number } };

function rowsRead(table: CsvTable, neck: Neck, options: ReadOptions, source: string): readonly RowRead[] {
  let above: Above = {};
  return table.rows.map((row) => {
    above = carried(row, above);
    return rowRead(row, above, table, neck, options, source);
  });
}

/** A new stage or day begins a new survey, whose state is what its own rows say. */
function carried(row: CsvRow, above: Above): Above {
  const isNew = (["stage", "date"] as const).some((column) => row.cell(column) !== "" && above[column] !== undefined && row.cell(column) !== above[column]?.written);
  const kept: Above = isNew ? { ...(above.stage && { stage: above.stage }), ...(above.date && { date: above.date }) } : above;
  const own = (["stage", "date", ...STATE_KEYS] as const).filter((column) => row.cell(column) !== "").map((column) => [column, { written: row.cell(column), row: row.row }]);
  return { ...kept, ...Object.fromEntries(own) };
}

function rowRead(row: CsvRow, above: Above, table: CsvTable, neck: Neck, options: ReadOptions, source: string): RowRead {
  const at = (column: Column): Origin => ({ source, row: row.row, column });
  const problems: Problem[] = [];
  const refuse = (column: Column, expected: string, repair?: string): undefined => {
    problems.push({ ...at(column), found: row.cell(column) === "" ? "nothing" : quoted(row.cell(column)), expected, ...(repair === undefined ? {} : { repair }) });
    return undefined;
  };
  const day = readDay(above.date?.written ?? options.date ?? "");
  if ("expected" in day && (row.cell("date") !== "" || !table.has("date"))) refuse("date", day.expected, day.repair);
  const surface = row.cell("surface") === "" ? (options.surface ?? usualSurface(row.cell("tool"), options)) : (surfaceOf(row.cell("surface")) ?? refuse("surface", `a surface: ${SURFACE_NAMES}, or nothing for fret tops`));
  const reading = gapOfRow(row, options, refuse);
  const tool = toolOfRow(row, reading, options, refuse);
  const lies = tool !== undefined && "tool" in tool && tool.tool.kind === "sightingBars";
  const where = whereOfRow(row, neck, surface ?? "fretTops", refuse, lies);
  const state = statesOfRow(row, at, refuse);
  if (tool !== undefined && "tool" in tool && tool.tool.kind === "rocker") refuseOddRocker(surface, where, refuse);
  const isBlankReading = reading === undefined || reading.kind === "notMeasured" || reading.kind === "refused";
  const isWhole = problems.length === 0 && surface !== undefined && tool !== undefined && "tool" in tool && where !== undefined;
  const entry: Entry | undefined = isWhole && !isBlankReading
    ? { tool: tool.tool, toolStated: tool.stated, surface, path: where.path, setting: row.cell("setting"), ...(TURNED.test(row.cell("setting")) ? { turned: true } : {}), line: where.line, place: where.place, reading, note: row.cell("note"), origin: at("gap") }
    : undefined;
  return {
    stage: above.stage?.written ?? options.stage?.trim() ?? "",
    date: "day" in day ? day.day : "",
    ...(entry === undefined ? {} : { entry }),
    state,
    notes: row.cell("note") === "" ? [] : [`${source}, row ${row.row}: ${row.cell("note")}`],
    assumed: assumedOfRow(row, above, entry, neck),
    problems,
  };
}

/** The name of a setting says so where the edge lay end for end: `2 turned`. */
const TURNED = /\bturned\b/i;

/** A board on a bench plate lies on its glue face unless it is said to lie on its frets. */
function usualSurface(written: string, options: ReadOptions): Surface {
  const tool = toolByName(written === "" ? "straightedge" : written, options.tools ?? []);
  return "tool" in tool && tool.tool.kind === "benchPlate" ? "glueFace" : "fretTops";
}

/** A rocker stands on three neighbouring fret tops of one line. */
function refuseOddRocker(surface: Surface | undefined, where: Where | undefined, refuse: Refuse): void {
  if (surface !== undefined && surface !== "fretTops") refuse("surface", "fretTops, or nothing: a rocker stands on fret tops");
  if (where !== undefined && where.path.kind !== "along") refuse("path", "nothing: a rocker stands along the line of its row");
}

type Refuse = (column: Column, expected: string, repair?: string) => undefined;

function gapOfRow(row: CsvRow, options: ReadOptions, refuse: Refuse): WrittenReading | undefined {
  const unit = row.cell("unit").toLowerCase();
  const context = contextOfRow(unit, options);
  if (context === undefined) return refuse("unit", "thou or mm, or nothing for thou", unit === "in" || unit === '"' ? "write the gap as 0.004in and leave the unit empty" : undefined);
  const tool = row.cell("tool") === "" ? undefined : toolByName(row.cell("tool"), options.tools ?? []);
  const reading = readGap(row.cell("gap"), { ...context, ...(tool !== undefined && "tool" in tool ? shownBy(tool.tool) : {}) });
  if (reading.kind === "refused") refuse("gap", reading.expected, reading.repair);
  return reading;
}

function contextOfRow(unit: string, options: ReadOptions): GapContext | undefined {
  const context = gapContextOf(options);
  if (unit === "") return context;
  return unit === "mm" || unit === "thou" ? { ...context, unit } : undefined;
}

function toolOfRow(row: CsvRow, reading: WrittenReading | undefined, options: ReadOptions, refuse: Refuse): ToolReading | undefined {
  const implied = reading?.kind === "mark" ? "rocker" : "straightedge";
  const tool = toolByName(row.cell("tool") === "" ? implied : row.cell("tool"), options.tools ?? []);
  return "expected" in tool ? refuse("tool", `${tool.expected}, or nothing for the straightedge`, tool.repair) : tool;
}

type Where = { readonly path: SettingPath; readonly line: string; readonly place: Place };

/** @param barsLie bars lie across wherever they are read, so that readings at several places are one setting */
function whereOfRow(row: CsvRow, neck: Neck, surface: Surface, refuse: Refuse, barsLie: boolean): Where | undefined {
  const swapped = neckLineName(row.cell("at"), neck) !== undefined && /^[@\d]/.test(row.cell("line"));
  if (swapped) return refuse("at", "a fret", "line and at are swapped in this row");
  const place = readPlace(row.cell("at"), neck, surface);
  const diagonal = diagonalOf(row, neck, surface, refuse);
  const line = row.cell("line") === "" && diagonal !== undefined ? "" : neckLineName(row.cell("line"), neck);
  if ("expected" in place) refuse("at", place.expected, place.repair);
  if (line === undefined) {
    const refused = noSuchLine(row.cell("line"), neck);
    return refuse("line", refused.expected, row.cell("line") === "" ? "name the line of this row" : refused.repair);
  }
  if ("expected" in place) return undefined;
  if (diagonal !== undefined) return diagonal === "refused" ? undefined : { path: diagonal, line, place: place.place };
  return { path: row.cell("path") === "" || barsLie ? { kind: "along", line } : { kind: "across", at: place.place }, line, place: place.place };
}

/** Longer text is no path; what is cut off cannot make it one. */
const LONGEST_PATH = 120;

function diagonalOf(row: CsvRow, neck: Neck, surface: Surface, refuse: Refuse): SettingPath | "refused" | undefined {
  const text = row.cell("path").toLowerCase().slice(0, LONGEST_PATH);
  if (text === "" || text === "across") return undefined;
  const ends = /^diagonal\s+([^\s@]+)@(\S+)\s+([^\s@]+)@(\S+)$/i.exec(row.cell("path").slice(0, LONGEST_PATH));
  const expected = 'nothing (along the line), across, or "diagonal bass@1 treble@16"';
  if (ends === null) {
    refuse("path", expected);
    return "refused";
  }
  const [, fromLine = "", fromAt = "", toLine = "", toAt = ""] = ends;
  const from = endOf(fromLine, fromAt, neck, surface);
  const to = endOf(toLine, toAt, neck, surface);
  if (from === undefined || to === undefined || from.line === to.line || from.at.xMm === to.at.xMm) {
    refuse("path", `${expected}, from one line and place of the neck to another line and another place`);
    return "refused";
  }
  return { kind: "diagonal", from, to };
}

function endOf(line: string, at: string, neck: Neck, surface: Surface): { readonly line: string; readonly at: Place } | undefined {
  const name = neckLineName(line, neck);
  const bare = /^[\d.,]+mm$/i.test(at) ? `@${at}` : at;
  const place = readPlace(bare, neck, surface);
  return name === undefined || "expected" in place ? undefined : { line: name, at: place.place };
}

function statesOfRow(row: CsvRow, at: (column: Column) => Origin, refuse: Refuse): readonly StateEntry[] {
  return STATE_KEYS.flatMap((key) => {
    const written = row.cell(key);
    if (written === "") return [];
    const read = readStateValue(key, written);
    if ("value" in read) return [{ key, value: read.value, written, origin: at(key) }];
    refuse(key, read.expected);
    return [];
  });
}

function assumedOfRow(row: CsvRow, above: Above, entry: Entry | undefined, neck: Neck): readonly string[] {
  if (entry === undefined) return [];
  const blankAbove = (["stage", "date"] as const).filter((column) => row.cell(column) === "" && above[column] !== undefined);
  return [
    ...(row.cell("neck") === "" ? [`neck: where not named, taken as ${neck.name}`] : []),
    ...(row.cell("surface") === "" && entry.surface === "glueFace" ? ["surface of the bench plate: not stated, taken as the glue face, the board lying face up"] : []),
    ...(row.cell("surface") === "" && entry.surface === "fretTops" ? ["surface: not stated, taken as fret tops"] : []),
    ...(row.cell("tool") === "" && entry.tool.kind === "straightedge" ? ["tool: not stated, taken as the straightedge"] : []),
    ...(row.cell("unit") === "" && entry.reading.used.plainNumber ? ["numbers without a unit"] : []),
    ...blankAbove.map((column) => `${column}: where blank, taken as in the row above`),
  ];
}

/** One problem for each other neck that is named, since a table of another neck is one mistake and not two hundred. */
function otherNecks(rows: readonly CsvRow[], neck: Neck, source: string): readonly Problem[] {
  const others = rows.filter((row) => row.cell("neck") !== "" && !isSameNeck(row.cell("neck"), neck));
  const names = [...new Set(others.map((row) => row.cell("neck")))];
  return names.map((name) => {
    const named = others.filter((row) => row.cell("neck") === name);
    const more = named.length > 1 ? ` (and in ${named.length - 1} more row${named.length === 2 ? "" : "s"})` : "";
    return { source, row: named[0]?.row ?? 1, column: "neck", found: `${quoted(name)}${more}`, expected: `readings of the neck ${quoted(neck.name)}`, repair: "these may be the readings of another neck, or its name is misspelt" };
  });
}

function draftsOf(rows: readonly RowRead[], options: ReadOptions): readonly Draft[] {
  const keyOf = (row: RowRead): string => `${row.stage.toLowerCase()}\n${row.date}`;
  const groups = new Map<string, RowRead[]>();
  for (const row of rows) {
    const group = groups.get(keyOf(row));
    if (group === undefined) groups.set(keyOf(row), [row]);
    else group.push(row);
  }
  return [...groups.values()].map((group) => draftOf(group, options));
}

function draftOf(rows: readonly RowRead[], options: ReadOptions): Draft {
  const unit = gapContextOf(options).unit;
  const assumed = [...new Set(rows.flatMap((row) => row.assumed))].flatMap((text) => {
    if (text !== "numbers without a unit") return [text];
    return options.unit === undefined ? [`numbers without a unit: taken in ${unit} (common practice, no source)`] : [];
  });
  return {
    stage: rows[0]?.stage ?? "",
    date: rows[0]?.date ?? "",
    state: [...stateEntriesOf(options.state), ...rows.flatMap((row) => row.state)],
    entries: rows.flatMap((row) => (row.entry === undefined ? [] : [row.entry])),
    seating: [],
    notes: rows.flatMap((row) => row.notes),
    assumed,
    ...(options.feelMm === undefined ? {} : { feelMm: options.feelMm }),
  };
}
