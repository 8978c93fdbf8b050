import { nearestName } from "../neck/nearest.js";
import { quoted } from "../neck/shown.js";
import type { Neck } from "../neck/neck.js";
import { lengthMm } from "../units/length.js";
import type { Problem } from "../units/problem.js";
import { readDay } from "./day.js";
import type { GapContext } from "./gap.js";
import { readLeafSet } from "./leafSet.js";
import { PASS_EXAMPLE } from "./passLine.js";
import { FEEL_EXPECTED, feelProblems, isFeel, type ReadOptions } from "./options.js";
import type { Origin, Surface, Tool } from "./reading.js";
import { readStateValue, type StateEntry, type StateKey } from "./state.js";
import { readTool, TOOL_KINDS } from "./tools.js";

/** One `key: value` line. */
export type KeyLine = { readonly key: string; readonly value: string; readonly origin: Origin };

/** What the `key: value` lines of a text say, for the whole of it. */
export type Directives = {
  readonly stage: string;
  readonly date: string;
  readonly state: readonly StateEntry[];
  readonly context: GapContext;
  readonly unitStated: boolean;
  readonly tools: readonly Tool[];
  readonly feelMm?: number;
  readonly notes: readonly string[];
  readonly assumed: readonly string[];
  readonly problems: readonly Problem[];
};

const STATE_WORDS: Readonly<Record<string, StateKey>> = {
  rod: "rod", strings: "strings", support: "support", "hours since glue": "hoursSinceGlue", humidity: "humidity", temperature: "temperature", frets: "fretState",
};

const KEYS: readonly string[] = ["neck", "stage", "date", ...Object.keys(STATE_WORDS), "unit", "leaves", "edge", ...TOOL_KINDS, "feel", "surface", "turned", "note", "tool NAME"];

/** A line `key: value`, where it is one. */
export function keyLineOf(text: string, origin: Origin): KeyLine | undefined {
  const match = /^\s*([a-zA-Z][^:|\t]{0,60}?)\s*:\s*(.*)$/.exec(text);
  return match === null ? undefined : { key: (match[1] ?? "").trim().replace(/\s+/g, " "), value: (match[2] ?? "").trim(), origin: { ...origin, column: (match[1] ?? "").trim() } };
}

/** Whether the line sets the surface of the tables after it; its place in the text counts. */
export function isSurfaceLine(line: KeyLine): boolean {
  return line.key.toLowerCase() === "surface";
}

function problem(line: KeyLine, expected: string, repair?: string): Problem {
  return { ...line.origin, found: line.value === "" ? "nothing" : quoted(line.value), expected, ...(repair === undefined ? {} : { repair }) };
}

const SURFACES: Readonly<Record<string, Surface>> = {
  frettops: "fretTops", frets: "fretTops", fret: "fretTops", wood: "wood", board: "wood", undercrown: "underCrown", underside: "underside", glueface: "glueFace",
};

/** A surface by its name (`fret tops`, `wood`, `under crown`, `underside`, `glue face`), or `undefined`. */
export function surfaceOf(written: string): Surface | undefined {
  return SURFACES[written.toLowerCase().replace(/[\s_-]/g, "").replace(/^crowns?$/, "undercrown").replace(/^undercrowns$/, "undercrown")];
}

/** Names of the surfaces, for messages. */
export const SURFACE_NAMES = "fretTops, wood, underCrown, underside or glueFace";

/** Whether the line says that the edge lies turned end for end in the tables after it; its place in the text counts too. */
export function isTurnedLine(line: KeyLine): boolean {
  return line.key.toLowerCase() === "turned";
}

/** Whether it lies so: `yes`, `end for end`, `no`; undefined where it says neither. */
export function turnedOf(line: KeyLine): boolean | undefined {
  if (/^(yes|end[ -]for[ -]end)$/i.test(line.value)) return true;
  return /^(no|back|as usual)$/i.test(line.value) ? false : undefined;
}

/** Reads all `key: value` lines of a text together, since a unit below a table holds for the table too. */
export function directivesOf(lines: readonly KeyLine[], neck: Neck, options: ReadOptions): Directives {
  const own = new Map<string, KeyLine>();
  const problems: Problem[] = [];
  const state: StateEntry[] = [];
  const notes: string[] = [];
  const tools: Tool[] = [];
  for (const line of lines) {
    const key = line.key.toLowerCase();
    const stateKey = Object.hasOwn(STATE_WORDS, key) ? STATE_WORDS[key] : undefined;
    if (line.value === "" && key !== "note") problems.push(problem(line, `a value after "${line.key}:"`, "take the line out if there is nothing to say"));
    else if (stateKey !== undefined) readState(line, stateKey, state, problems);
    else if (key === "note") notes.push(`${line.origin.source}, row ${line.origin.row}: ${line.value}`);
    else if (key === "neck") problems.push(...otherNeck(line, neck));
    else if (["stage", "date", "unit", "leaves", "feel"].includes(key)) keepOnce(line, key, own, problems);
    else if (isToolKey(key)) readToolLine(line, tools, problems);
    else if (!isSurfaceLine(line) && !isTurnedLine(line)) problems.push(unknownKey(line));
  }
  const units = unitOf(own.get("unit"), own.get("leaves"), options);
  const day = readDay(own.get("date")?.value ?? options.date ?? "");
  if ("expected" in day) problems.push(own.has("date") ? problem(own.get("date") ?? noLine, day.expected, day.repair) : { source: "options", column: "date", found: quoted(options.date ?? ""), expected: day.expected });
  const feel = feelOf(own.get("feel"), options);
  const feelMm = feel.feelMm;
  return {
    stage: own.get("stage")?.value ?? options.stage?.trim() ?? "",
    date: "day" in day ? day.day : "",
    state,
    context: units.context,
    unitStated: units.stated,
    tools: [...tools, ...(options.tools ?? [])],
    ...(feelMm === undefined ? {} : { feelMm }),
    notes,
    assumed: units.assumed,
    problems: [...problems, ...units.problems, ...feel.problems, ...contradicted(own, options)],
  };
}

const noLine: KeyLine = { key: "", value: "", origin: { source: "", row: 1, column: "" } };

function unknownKey(line: KeyLine): Problem {
  if (/^rock/i.test(line.key)) return { source: line.origin.source, row: line.origin.row, found: quoted(`${line.key}: ${line.value}`), expected: `a pass of the rocker as "${PASS_EXAMPLE}"`, repair: "begin it with the word rocked, name lines after on, and what rocked after except" };
  const near = nearestName(line.key, KEYS);
  return { source: line.origin.source, row: line.origin.row, found: quoted(`${line.key}: ${line.value}`), expected: "a line as stage:, date:, rod:, strings:, support:, leaves: or edge:", repair: near === undefined ? "begin a remark with note:" : `write ${near}:` };
}

function readState(line: KeyLine, key: StateKey, state: StateEntry[], problems: Problem[]): void {
  const read = readStateValue(key, line.value);
  if ("expected" in read) problems.push(problem(line, read.expected));
  else state.push({ key, value: read.value, written: line.value, origin: line.origin });
}

function keepOnce(line: KeyLine, key: string, own: Map<string, KeyLine>, problems: Problem[]): void {
  const first = own.get(key);
  if (first === undefined) own.set(key, line);
  else if (first.value !== line.value) problems.push(problem(line, `one ${key} in a text, ${quoted(first.value)} as in row ${first.origin.row}`, "write the other readings in a text of their own"));
}

function otherNeck(line: KeyLine, neck: Neck): readonly Problem[] {
  return isSameNeck(line.value, neck) ? [] : [problem(line, `readings of the neck ${quoted(neck.name)}`, "these may be the readings of another neck, or its name is misspelt")];
}

/** Whether a written name is this neck's; capital letters and blanks round it do not count. */
export function isSameNeck(written: string, neck: Neck): boolean {
  return written.trim().toLowerCase() === neck.name.trim().toLowerCase();
}

function isToolKey(key: string): boolean {
  return key === "edge" || key.startsWith("tool ") || TOOL_KINDS.some((kind) => kind.toLowerCase() === key);
}

function readToolLine(line: KeyLine, tools: Tool[], problems: Problem[]): void {
  const key = line.key.toLowerCase();
  const kind = key === "edge" ? "straightedge" : TOOL_KINDS.find((each) => each.toLowerCase() === key);
  const name = kind ?? line.key.slice("tool ".length).trim();
  const read = /^\S{1,40}$/.test(name) ? readTool(name, line.value, kind) : { expected: "a tool's name of one word, as tool long-edge: straightedge, 600 mm" };
  if ("expected" in read) problems.push(problem(line, read.expected, "repair" in read ? read.repair : undefined));
  else if (tools.some((tool) => tool.name.toLowerCase() === name.toLowerCase())) problems.push(problem(line, `one line for the tool ${name}`, "give the second tool a name of its own"));
  else tools.push(read.tool);
}

type Units = { readonly context: GapContext; readonly stated: boolean; readonly assumed: readonly string[]; readonly problems: readonly Problem[] };

function unitOf(unitLine: KeyLine | undefined, leavesLine: KeyLine | undefined, options: ReadOptions): Units {
  const written = unitLine?.value.toLowerCase().trim();
  const unit = written === "mm" || written === "thou" ? written : options.unit;
  const problems = unitLine !== undefined && written !== "mm" && written !== "thou" ? [problem(unitLine, "thou or mm")] : [];
  const read = leavesLine === undefined ? undefined : readLeafSet(leavesLine.value, unit ?? "thou");
  if (leavesLine !== undefined && read !== undefined && "expected" in read) {
    return { context: { unit: unit ?? "thou" }, stated: unit !== undefined, assumed: [], problems: [...problems, problem(leavesLine, read.expected)] };
  }
  if (read === undefined || "expected" in read) {
    const leaves = options.leaves === undefined ? {} : { leaves: options.leaves };
    return { context: { unit: unit ?? "thou", ...leaves }, stated: unit !== undefined, assumed: [], problems };
  }
  const marked = read.unit === "mm" || read.unit === "um" ? "mm" : "thou";
  const assumed = read.toleranceStated ? [] : [`tolerance of a leaf: not stated, taken as ${read.set.toleranceMm} mm (${(read.set.toleranceMm / 0.0254).toFixed(2)} thou) (common practice, no source)`];
  return {
    context: { unit: unit ?? marked, leaves: read.set },
    stated: unit !== undefined,
    assumed: unit === undefined ? [...assumed, `numbers without a unit: taken in ${marked}, as the leaves are marked`] : assumed,
    problems,
  };
}

function feelOf(line: KeyLine | undefined, options: ReadOptions): { readonly feelMm?: number; readonly problems: readonly Problem[] } {
  const feelMm = line === undefined ? options.feelMm : lengthMm(line.value);
  if (feelMm !== undefined && isFeel(feelMm)) return { feelMm, problems: [] };
  return { problems: line === undefined ? feelProblems(options) : [problem(line, FEEL_EXPECTED)] };
}

/** What code and text both state must agree. */
function contradicted(own: ReadonlyMap<string, KeyLine>, options: ReadOptions): readonly Problem[] {
  const given = [["stage", options.stage], ["date", options.date], ["unit", options.unit]] as const;
  return given.flatMap(([key, value]) => {
    const line = own.get(key);
    return line === undefined || value === undefined || line.value.toLowerCase() === value.trim().toLowerCase() ? [] : [problem(line, `${quoted(value)}, the ${key} given with the table`, "state it once")];
  });
}
