import type { Neck } from "../neck/neck.js";
import { quoted } from "../neck/shown.js";
import type { Outcome, Problem } from "../units/problem.js";
import { directivesOf, isSurfaceLine, isTurnedLine, keyLineOf, surfaceOf, SURFACE_NAMES, turnedOf, type Directives, type KeyLine } from "./directives.js";
import type { Draft, Entry } from "./draft.js";
import { readGap } from "./gap.js";
import { stateEntriesOf, type ReadOptions } from "./options.js";
import { looksLikeSeating, neckLineName, noSuchLine, readPass, readSeating } from "./passLine.js";
import { readPlace } from "./place.js";
import type { Origin, Place, SeatingEntry, Surface, SurveySheet, Tool } from "./reading.js";
import { sheetsOf } from "./sheet.js";
import { shownBy, toolByName } from "./tools.js";

/**
 * Reads what a builder writes at the bench: tables of one row a fret and one column a line, passes of the rocker, the seating log, and
 * `key: value` lines for stage, date, state, unit, leaves, tools and feel. A blank line or a new heading begins a second setting of the tool.
 * @param text cells parted by blanks, tabs or `|`; a comma in a cell is a decimal comma
 * @param options what is known beside the text
 * @returns the survey's sheet, or every problem of the text at once
 * @example equal(readBenchText(valueOrThrow(readNeck({ name: "a", scaleLength: "25 in", frets: 22 }), "neck"), "fret centre\n1 touch\n7 4\n14 touch").status, "read");
 */
export function readBenchText(neck: Neck, text: string, options: ReadOptions = {}): Outcome<SurveySheet> {
  const draft = draftOfText(neck, text, options);
  if ("problems" in draft) return { status: "refused", problems: draft.problems };
  const sheets = sheetsOf(neck, [draft.draft]);
  if (sheets.status === "refused") return sheets;
  const [sheet] = sheets.value;
  return sheet === undefined ? { status: "refused", problems: [emptyText(options.source ?? "table")] } : { status: "read", value: sheet };
}

/** What a text says by itself, before it is joined with others of the same survey. */
export function draftOfText(neck: Neck, text: string, options: ReadOptions): { readonly draft: Draft } | { readonly problems: readonly [Problem, ...Problem[]] } {
  const source = options.source ?? "table";
  const rows = text.split("\n").length;
  if (rows > MOST_ROWS) return { problems: [{ source, row: MOST_ROWS + 1, found: `${rows} lines`, expected: `up to ${MOST_ROWS}: no neck has so many`, repair: "give each survey a text of its own" }] };
  const lines = text.replace(/^\uFEFF/, "").split(/\r\n|\n|\r/).map((line, index): TextLine => lineOf(line, { source, row: index + 1, column: "" }));
  const directives = directivesOf(lines.flatMap((line) => (line.kind === "key" ? [line.line] : [])), neck, options);
  const body = bodyOf(lines, neck, directives, options);
  const isEmpty = body.entries.length === 0 && body.seating.length === 0;
  const [first, ...others] = [...directives.problems, ...body.problems];
  if (first !== undefined) return { problems: [first, ...others] };
  if (isEmpty) return { problems: [emptyText(source)] };
  return {
    draft: {
      stage: directives.stage,
      date: directives.date,
      state: [...stateEntriesOf(options.state), ...directives.state],
      entries: body.entries,
      seating: body.seating,
      notes: [...directives.notes, ...body.notes],
      assumed: [...directives.assumed, ...assumedUnit(body.entries, directives), ...body.assumed],
      ...(directives.feelMm === undefined ? {} : { feelMm: directives.feelMm }),
    },
  };
}

function emptyText(source: string): Problem {
  return { source, found: "no reading", expected: 'a table as "fret bass centre treble" with a row for each fret, or a pass of the rocker' };
}

function assumedUnit(entries: readonly Entry[], directives: Directives): readonly string[] {
  const said = directives.unitStated || directives.assumed.some((text) => text.startsWith("numbers without a unit"));
  return !said && entries.some((entry) => entry.reading.used.plainNumber) ? [`numbers without a unit: taken in ${directives.context.unit} (common practice, no source)`] : [];
}

const MOST_ROWS = 10_000;

/** Longer lines are no readings, and patterns would take long over them. */
const LONGEST_LINE = 1000;

type TextLine =
  | { readonly kind: "blank" | "rule" }
  | { readonly kind: "comment" | "pass" | "seating" | "table" | "tooLong"; readonly text: string; readonly origin: Origin }
  | { readonly kind: "key"; readonly line: KeyLine };

function lineOf(raw: string, origin: Origin): TextLine {
  const text = raw.trim();
  if (text === "") return { kind: "blank" };
  if (text.length > LONGEST_LINE) return { kind: "tooLong", origin, text };
  if (text.includes("--") && /^[|\s:+-]+$/.test(text)) return { kind: "rule" };
  if (text.startsWith("#")) return { kind: "comment", text: text.replace(/^#+\s*/, ""), origin };
  if (/^rocked\b/i.test(text)) return { kind: "pass", text, origin: { ...origin, column: "rocked" } };
  if (looksLikeSeating(text)) return { kind: "seating", text, origin: { ...origin, column: "seating" } };
  if (WORDED_ROW.test(text)) return { kind: "table", text: raw, origin };
  const key = keyLineOf(text, origin);
  return key === undefined ? { kind: "table", text: raw, origin } : { kind: "key", line: key };
}

/** A row that a builder begins with the word before the number: `fret 3 4 5 4`. */
const WORDED_ROW = /^(?:frets?|place|at)\s*(?=@?\d)/i;

type Body = { readonly entries: readonly Entry[]; readonly seating: readonly SeatingEntry[]; readonly notes: readonly string[]; readonly assumed: readonly string[]; readonly problems: readonly Problem[] };

/** What the columns of the table at hand are; a column whose heading was refused is checked and not kept. */
type Heading = { readonly tool: Tool; readonly toolStated: boolean; readonly columns: readonly { readonly heading: string; readonly line?: string }[]; /** No heading was written. */ readonly implied: boolean };

/** What was gathered up to a line, and what the next line means in its light. */
type Gathered = {
  readonly neck: Neck;
  readonly directives: Directives;
  readonly entries: Entry[];
  readonly seating: SeatingEntry[];
  readonly notes: string[];
  readonly problems: Problem[];
  surface: Surface;
  surfaceStated: boolean;
  turned: boolean;
  /** A bench plate stood without its surface. */
  plateAssumed: boolean;
  heading: Heading | undefined;
  /** Tables are counted, since each is a setting-down of its tool. */
  block: number;
  inTable: boolean;
  usedImplied: boolean;
  /** One missing heading is one mistake, not one a row. */
  headingMissed: boolean;
};

function bodyOf(lines: readonly TextLine[], neck: Neck, directives: Directives, options: ReadOptions): Body {
  const gathered: Gathered = {
    neck, directives, entries: [], seating: [], notes: [], problems: [],
    surface: options.surface ?? "fretTops", surfaceStated: options.surface !== undefined, turned: false, plateAssumed: false, heading: undefined, block: 0, inTable: false, usedImplied: false, headingMissed: false,
  };
  for (const line of lines) gather(line, gathered);
  const assumed = [
    ...(gathered.usedImplied ? [`columns of the table: not named, taken as ${neck.lines.map((line) => line.name).join(", ")} (${addHeading(neck)})`] : []),
    ...(gathered.surfaceStated || gathered.entries.every(({ surface }) => surface === "glueFace") ? [] : ["surface: not stated, taken as fret tops"]),
    ...(gathered.plateAssumed ? ["surface of the bench plate: not stated, taken as the glue face, the board lying face up"] : []),
  ];
  return { entries: gathered.entries, seating: gathered.seating, notes: gathered.notes, problems: gathered.problems, assumed };
}

function gather(line: TextLine, gathered: Gathered): void {
  if (line.kind === "blank") endTable(gathered);
  else if (line.kind === "tooLong") gathered.problems.push(tooLong(line));
  else if (line.kind === "comment") gathered.notes.push(`${line.origin.source}, row ${line.origin.row}: ${line.text}`);
  else if (line.kind === "pass") gatherPass(line, gathered);
  else if (line.kind === "seating") gatherSeating(line, gathered);
  else if (line.kind === "key" && isSurfaceLine(line.line)) gatherSurface(line.line, gathered);
  else if (line.kind === "key" && isTurnedLine(line.line)) gatherTurned(line.line, gathered);
  else if (line.kind === "table") gatherTableLine(line, gathered);
}

type WordedLine = Extract<TextLine, { readonly text: string }>;

function endTable(gathered: Gathered): void {
  if (gathered.inTable) gathered.block += 1;
  gathered.inTable = false;
}

function tooLong(line: WordedLine): Problem {
  return { source: line.origin.source, row: line.origin.row, found: quoted(line.text), expected: `a line of up to ${LONGEST_LINE} letters`, repair: "one row a fret, one line a pass" };
}

function gatherPass(line: WordedLine, gathered: Gathered): void {
  const pass = readPass(line.text, gathered.neck, gathered.directives.context, line.origin);
  gathered.problems.push(...pass.problems);
  gathered.entries.push(...pass.values.flatMap((mark) => passEntry(mark, gathered.neck, gathered.directives, line.origin)));
}

function gatherSeating(line: WordedLine, gathered: Gathered): void {
  const log = readSeating(line.text, gathered.neck, line.origin);
  gathered.problems.push(...log.problems);
  gathered.seating.push(...log.values);
}

function gatherSurface(line: KeyLine, gathered: Gathered): void {
  const named = surfaceOf(line.value);
  if (named === undefined) gathered.problems.push({ ...line.origin, found: quoted(line.value), expected: `a surface: ${SURFACE_NAMES}` });
  gathered.surface = named ?? gathered.surface;
  gathered.surfaceStated = true;
  endTable(gathered);
}

function gatherTurned(line: KeyLine, gathered: Gathered): void {
  const turned = turnedOf(line);
  if (turned === undefined) gathered.problems.push({ ...line.origin, found: quoted(line.value), expected: "end for end, or no" });
  gathered.turned = turned ?? gathered.turned;
  endTable(gathered);
}

function gatherTableLine(line: WordedLine, gathered: Gathered): void {
  const { neck, directives } = gathered;
  const written = cellsOf(line.text);
  if (isHeading(written.cells, neck)) {
    const read = headingOf(written.cells.map(withoutComma), neck, directives, line.origin);
    gathered.problems.push(...read.problems);
    if (read.isRemark) return;
    gathered.heading = read.heading;
    endTable(gathered);
    return;
  }
  const cells = { ...written, cells: withoutWord(written.cells) };
  if (gathered.heading === undefined) gathered.usedImplied = true;
  gathered.heading ??= impliedHeading(neck, directives);
  gathered.inTable = true;
  if (gathered.heading.implied && countProblem(cells, gathered.heading, line.origin, neck) !== undefined) {
    if (gathered.headingMissed) return;
    gathered.headingMissed = true;
  }
  const onPlate = !gathered.surfaceStated && gathered.heading.tool.kind === "benchPlate";
  gathered.plateAssumed ||= onPlate;
  const surface = onPlate ? "glueFace" : gathered.surface;
  const row = rowOf(cells, gathered.heading, { neck, directives, surface, turned: gathered.turned, setting: `${line.origin.source} block ${gathered.block}`, origin: line.origin });
  gathered.entries.push(...row.entries);
  gathered.problems.push(...row.problems);
}

function passEntry(mark: { readonly fret: number; readonly line: string; readonly reading: Entry["reading"] }, neck: Neck, directives: Directives, origin: Origin): readonly Entry[] {
  const tool = toolByName("rocker", directives.tools);
  const place = readPlace(String(mark.fret), neck, "fretTops");
  if ("expected" in tool || "expected" in place) return [];
  return [{
    tool: tool.tool, toolStated: tool.stated, surface: "fretTops", path: { kind: "along", line: mark.line }, setting: "",
    line: mark.line, place: place.place, reading: mark.reading, note: "", origin,
  }];
}

/** Cells and whether an empty cell can be seen (between tabs or bars) or not (between blanks). */
type Cells = { readonly cells: readonly string[]; readonly emptySeen: boolean };

function cellsOf(line: string): Cells {
  if (line.includes("|")) {
    const inner = line.trim().replace(/^\|/, "").replace(/\|$/, "");
    return { cells: inner.split("|").map((cell) => cell.trim()), emptySeen: true };
  }
  if (line.trim().includes("\t")) return { cells: line.trimStart().replace(/\s+$/, "").split("\t").map((cell) => cell.trim()), emptySeen: true };
  return { cells: line.trim().split(/\s+/), emptySeen: false };
}

function isHeading(cells: readonly string[], neck: Neck): boolean {
  const [first = "", second = ""] = cells;
  if (/^[@\d.,+-]/.test(first) || /^nut$/i.test(first) || WORDED_ROW.test(first)) return false;
  const isWorded = PLACE_WORDS.has(first.toLowerCase()) && /^(?:@?\d|nut$)/i.test(second);
  return !isWorded || neckLineName(second, neck) !== undefined;
}

/** The cells of a row from its place on. */
function withoutWord(cells: readonly string[]): readonly string[] {
  const [first = "", ...rest] = cells;
  return PLACE_WORDS.has(first.toLowerCase()) ? rest : [first.replace(WORDED_ROW, ""), ...rest];
}

/** Headings parted by blanks are often parted by commas too. */
function withoutComma(heading: string): string {
  return heading.replace(/[,;]+$/, "");
}

const PLACE_WORDS: ReadonlySet<string> = new Set(["fret", "frets", "at", "place"]);

const PLACE_HEADINGS: ReadonlySet<string> = new Set([...PLACE_WORDS, ""]);

function addHeading(neck: Neck): string {
  return `add a heading line, for example: fret ${neck.lines.map((line) => line.name).join(" ")}`;
}

type HeadingRead = { readonly heading: Heading; readonly problems: readonly Problem[]; /** Nothing in it is of a heading: the one before it holds on. */ readonly isRemark: boolean };

function headingOf(cells: readonly string[], neck: Neck, directives: Directives, origin: Origin): HeadingRead {
  const [first = "", ...rest] = cells;
  const named = PLACE_HEADINGS.has(first.toLowerCase()) ? undefined : first;
  const tool = toolByName(named ?? "straightedge", directives.tools);
  const names = named !== undefined && PLACE_HEADINGS.has((rest[0] ?? "-").toLowerCase()) ? rest.slice(1) : rest;
  const columns = names.map((name) => {
    const line = neckLineName(name, neck);
    return { heading: name, ...(line === undefined ? {} : { line }) };
  });
  const problems = "expected" in tool ? [notAHeading(first, tool.repair, neck, cells, origin)] : headingProblems(names, neck, origin);
  const usual = toolByName("straightedge", []);
  const known = "tool" in tool ? tool : usual;
  if ("expected" in known) throw new Error("the straightedge is a known tool");
  const isRemark = "expected" in tool && columns.every((column) => column.line === undefined);
  return { heading: { tool: known.tool, toolStated: known.stated, columns, implied: false }, problems, isRemark };
}

function notAHeading(first: string, repair: string | undefined, neck: Neck, cells: readonly string[], origin: Origin): Problem {
  const commas = cells.length === 1 && /[,;]/.test(first);
  return {
    ...origin,
    column: "1",
    found: quoted(first),
    expected: `a heading as "fret ${neck.lines.map((line) => line.name).join(" ")}" (or with a tool in place of fret), a row that begins with a fret, or a line as "rod: neutral"`,
    repair: commas ? "part the cells by blanks, tabs or |: a comma here is a decimal comma" : repair ?? "begin a remark with #",
  };
}

function headingProblems(names: readonly string[], neck: Neck, origin: Origin): readonly Problem[] {
  if (names.length === 0) return [{ ...origin, column: "1", found: "a heading without lines", expected: `lines of the neck after it: ${neck.lines.map((line) => line.name).join(", ")}` }];
  return names.flatMap((name, index) => {
    const where = { ...origin, column: String(index + 2) };
    if (name === "") return [{ ...where, found: "an empty heading", expected: `a line of the neck: ${neck.lines.map((line) => line.name).join(", ")}`, repair: "headings that were merged across columns stand in the first of them only: name each column" }];
    const line = neckLineName(name, neck);
    const refused = noSuchLine(name, neck);
    if (line === undefined) return [{ ...where, found: quoted(name), ...refused }];
    return names.findIndex((other) => neckLineName(other, neck) === line) < index ? [{ ...where, found: quoted(name), expected: "each line in one column", repair: "write the second setting as a table of its own below" }] : [];
  });
}

function impliedHeading(neck: Neck, directives: Directives): Heading {
  const tool = toolByName("straightedge", directives.tools);
  if ("expected" in tool) throw new Error("the straightedge is a known tool");
  return { tool: tool.tool, toolStated: tool.stated, columns: neck.lines.map((line) => ({ heading: line.name, line: line.name })), implied: true };
}

type RowContext = { readonly neck: Neck; readonly directives: Directives; readonly surface: Surface; readonly turned: boolean; readonly setting: string; readonly origin: Origin };

type RowReading = { readonly entries: readonly Entry[]; readonly problems: readonly Problem[] };

function rowOf(cells: Cells, heading: Heading, context: RowContext): RowReading {
  const [at = "", ...written] = cells.cells;
  const place = readPlace(at, context.neck, context.surface);
  const misplaced: Problem[] = "expected" in place ? [{ ...rowOnly(context.origin), found: `the place ${quoted(at)}`, ...place }] : [];
  const count = countProblem(cells, heading, context.origin, context.neck);
  if (count !== undefined) return { entries: [], problems: [...misplaced, count] };
  const read = heading.columns.map((column, index) => cellOf(written[index] ?? "", column, "place" in place ? place.place : undefined, heading, context));
  return { entries: read.flatMap((cell) => cell.entries), problems: [...misplaced, ...read.flatMap((cell) => cell.problems)] };
}

function cellOf(cell: string, column: Heading["columns"][number], place: Place | undefined, heading: Heading, context: RowContext): RowReading {
  const origin = { ...context.origin, column: column.heading };
  const reading = readGap(cell, { ...context.directives.context, ...shownBy(heading.tool) });
  if (reading.kind === "notMeasured") return { entries: [], problems: [] };
  if (reading.kind === "refused") return { entries: [], problems: [{ ...origin, found: quoted(cell), expected: reading.expected, ...(reading.repair === undefined ? {} : { repair: reading.repair }) }] };
  const isRocker = heading.tool.kind === "rocker";
  if (isRocker && reading.kind === "gap") {
    const repair = reading.gap.kind === "interval" && reading.gap.lowMm <= 0 ? "write still" : `write rocks=${cell}`;
    return { entries: [], problems: [{ ...origin, found: quoted(cell), expected: "a mark of the rocker at the middle fret: still, rocks or rocks=2", repair }] };
  }
  if (place === undefined || column.line === undefined) return { entries: [], problems: [] };
  const path = { kind: "along", line: column.line } as const;
  const setting = isRocker ? "" : context.setting;
  return { entries: [{ tool: heading.tool, toolStated: heading.toolStated, surface: context.surface, path, setting, ...(context.turned && !isRocker ? { turned: true } : {}), line: column.line, place, reading, note: "", origin }], problems: [] };
}

/** A row is found by its number alone: a place and a row have no column. */
function rowOnly(origin: Origin): { readonly source: string; readonly row: number } {
  return { source: origin.source, row: origin.row };
}

function countProblem(cells: Cells, heading: Heading, origin: Origin, neck: Neck): Problem | undefined {
  const written = cells.cells.slice(1);
  const wanted = heading.columns.length;
  const tooMany = written.length > wanted && written.slice(wanted).some((cell) => cell !== "");
  const tooFew = written.length < wanted && !cells.emptySeen;
  if (!tooMany && !tooFew) return undefined;
  const found = written.length === 0 ? "no cell after the place" : `${cellCount(written.length)} after the place (${quoted(written.join(" "))})`;
  const expected = `${cellCount(wanted)} (${heading.columns.map((column) => column.heading).join(", ")})`;
  const usual = tooMany ? "no blank inside a cell: write 4thou, rocks=2; name every column in the heading" : "write - for a place not measured";
  return { ...rowOnly(origin), found, expected, repair: heading.implied ? addHeading(neck) : usual };
}

function cellCount(count: number): string {
  return `${count} cell${count === 1 ? "" : "s"}`;
}
