import { nearestName } from "../neck/nearest.js";
import { fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { quoted } from "../neck/shown.js";
import type { Problem } from "../units/problem.js";
import { readGap, type GapContext, type WrittenReading } from "./gap.js";
import type { Origin, SeatingEntry } from "./reading.js";

/** One mark of a rocker pass. */
export type PassMark = { readonly fret: number; readonly line: string; readonly reading: Extract<WrittenReading, { readonly kind: "mark" }> };

/** What a line gave, with everything that is wrong in it. */
export type LineReading<T> = { readonly values: readonly T[]; readonly problems: readonly Problem[] };

const PASS = /^rocked\s+(.+?)\s+on\s+(.+?)\s*:\s*(still|rocks)\b\s*(?:,?\s*except\s+(.*))?$/i;
/** A pass of the rocker as it is written, for messages. */
export const PASS_EXAMPLE = "rocked frets 2-21 on bass, centre, treble: still except 7 treble rocks 2, 14 centre rocks";

/**
 * Reads a pass of the rocker: `rocked frets 2-21 on bass, centre, treble: still except 7 treble rocks 2, 14 centre rocks`.
 * The frets are the middle ones of three; a fret outside the pass is not measured.
 * @param text the whole line
 * @param origin where it stands
 */
export function readPass(text: string, neck: Neck, context: GapContext, origin: Origin): LineReading<PassMark> {
  const match = PASS.exec(text.trim().replace(/\s+/g, " "));
  if (match === null) return wrong(origin, text, `a pass as "${PASS_EXAMPLE}"`);
  const [, fretsText = "", linesText = "", , exceptText = ""] = match;
  if (match[3]?.toLowerCase() === "rocks") return wrong(origin, text, "a pass that was still, with the frets that rocked as exceptions", `write "${PASS_EXAMPLE}"`);
  const frets = fretList(fretsText, neck);
  const lines = lineList(linesText, neck);
  if ("expected" in frets) return wrong(origin, fretsText, frets.expected, frets.repair);
  if ("expected" in lines) return wrong(origin, linesText, lines.expected, lines.repair);
  const exceptions = exceptionsOf(exceptText, neck, context, origin, frets.list, lines.list);
  const excepted = new Map(exceptions.values.map((each) => [`${each.fret} ${each.line}`, each]));
  const still = readGap("still", context);
  const values = frets.list.flatMap((fret) => lines.list.flatMap((line): readonly PassMark[] => {
    const exception = excepted.get(`${fret} ${line}`);
    if (exception !== undefined) return exception.reading.kind === "mark" ? [{ fret, line, reading: exception.reading }] : [];
    return still.kind === "mark" ? [{ fret, line, reading: still }] : [];
  }));
  return { values, problems: exceptions.problems };
}

type Wrong = { readonly expected: string; readonly repair?: string };

function wrong(origin: Origin, found: string, expected: string, repair?: string): { readonly values: readonly never[]; readonly problems: readonly Problem[] } {
  return { values: [], problems: [{ ...origin, found: quoted(found), expected, ...(repair === undefined ? {} : { repair }) }] };
}

function fretList(text: string, neck: Neck): { readonly list: readonly number[] } | Wrong {
  const tops = fretTops(neck);
  if (/^(?:all|every)(?:\s+frets?)?$/i.test(text)) return { list: tops };
  const expected = `frets from ${tops[0] ?? 1} to ${neck.frets}, as "frets 2-21" or "frets 3, 5, 7-9"`;
  const parts = text.replace(/^frets?\s+/i, "").split(/\s*,\s*|\s+and\s+|\s+/i).join(" ").replace(/\s*(?:-|–|\.\.|\bto\b)\s*/gi, "-").split(" ").filter((part) => part !== "");
  const list: number[] = [];
  for (const part of parts) {
    const match = /^(\d{1,3})(?:-(\d{1,3}))?$/.exec(part);
    const from = Number(match?.[1]);
    const to = Number(match?.[2] ?? match?.[1]);
    if (match === null || from > to || !tops.includes(from) || !tops.includes(to)) return { expected };
    for (let fret = from; fret <= to; fret += 1) list.push(fret);
  }
  return list.length === 0 ? { expected } : new Set(list).size < list.length ? { expected: "each fret once", repair: "take the second mention out" } : { list };
}

function lineList(text: string, neck: Neck): { readonly list: readonly string[] } | Wrong {
  if (/^(?:all|every)(?:\s+lines?)?$/i.test(text)) return { list: neck.lines.map((line) => line.name) };
  const names = text.replace(/^lines?\s+/i, "").split(/\s*,\s*(?:and\s+)?|\s+and\s+|\s+/i).filter((name) => name !== "");
  const list = names.map((name) => neckLineName(name, neck));
  const missing = names.find((_, index) => list[index] === undefined);
  if (missing !== undefined) return noSuchLine(missing, neck);
  return new Set(list).size < list.length ? { expected: "each line once" } : { list: list.filter((name) => name !== undefined) };
}

/** The neck's own spelling of a line's name; capital letters do not count. */
export function neckLineName(written: string, neck: Neck): string | undefined {
  const plain = written.trim().toLowerCase();
  return neck.lines.find((line) => line.name.toLowerCase() === plain)?.name;
}

/** What is said of a line that the neck does not have. */
export function noSuchLine(written: string, neck: Neck): Wrong {
  const names = neck.lines.map((line) => line.name);
  const near = nearestName(written, names);
  return { expected: `a line of the neck: ${names.join(", ")}`, repair: near === undefined ? "add the line to the neck file" : `write ${near}` };
}

type Exception = { readonly fret: number; readonly line: string; readonly reading: Extract<WrittenReading, { readonly kind: "mark" | "notMeasured" }> };

function exceptionsOf(text: string, neck: Neck, context: GapContext, origin: Origin, frets: readonly number[], lines: readonly string[]): LineReading<Exception> {
  const parts = text.split(/;|,(?!\d)|\s+and\s+(?=\d)/i).map((part) => part.trim()).filter((part) => part !== "");
  const read = parts.map((part) => exceptionOf(part, neck, context, origin, frets, lines));
  const values = read.flatMap((each) => each.values);
  const twice = values.find((each, index) => values.findIndex((other) => other.fret === each.fret && other.line === each.line) < index);
  const problems = read.flatMap((each) => each.problems);
  return { values, problems: twice === undefined ? problems : [...problems, ...wrong(origin, `${twice.fret} ${twice.line}`, "each exception once", "take the second one out").problems] };
}

function exceptionOf(part: string, neck: Neck, context: GapContext, origin: Origin, frets: readonly number[], lines: readonly string[]): LineReading<Exception> {
  const match = /^(?:fret\s+)?(\d{1,3})(?:\s+([^\s=]+?))??\s+(still|rocks.*|not measured|na|-)$/i.exec(part);
  const expected = `an exception as "7 treble rocks 2", "14 centre rocks" or "9 bass not measured"`;
  if (match === null) return wrong(origin, part, expected);
  const fret = Number(match[1]);
  const line = match[2] === undefined ? (lines.length === 1 ? lines[0] : undefined) : neckLineName(match[2], neck);
  if (line === undefined) return match[2] === undefined ? wrong(origin, part, "the line of the exception, since the pass has more than one") : refusedLine(origin, part, match[2], neck);
  if (!frets.includes(fret) || !lines.includes(line)) return wrong(origin, part, "an exception inside its pass", "widen the pass, or write a pass of its own for it");
  const words = (match[3] ?? "").toLowerCase();
  const reading = readGap(words === "not measured" ? "-" : words, context);
  if (reading.kind === "refused") return wrong(origin, part, reading.expected, reading.repair);
  return reading.kind === "gap" ? wrong(origin, part, expected) : { values: [{ fret, line, reading }], problems: [] };
}

function refusedLine(origin: Origin, part: string, name: string, neck: Neck): LineReading<never> {
  const refused = noSuchLine(name, neck);
  return wrong(origin, part, refused.expected, refused.repair);
}

const SEATING = /^(?:fret\s+)?(\d{1,3})\s+([^\s:]+)\s*:\s*(.*)$/i;

/** Whether a line is of the form `7 treble: …`. */
export function looksLikeSeating(text: string): boolean {
  return SEATING.test(text.trim());
}

/** Reads a line of the seating log: `7 treble: rocks 2 > tapped > still`. */
export function readSeating(text: string, neck: Neck, origin: Origin): LineReading<SeatingEntry> {
  const match = SEATING.exec(text.trim());
  const fret = Number(match?.[1]);
  const written = match?.[2] ?? "";
  const line = neckLineName(written, neck);
  const steps = (match?.[3] ?? "").split(">").map((step) => step.trim());
  if (match === null || steps.length < 2 || steps.includes("")) {
    return wrong(origin, text, 'what was seen and done, parted by >, as "7 treble: rocks 2 > tapped > still"', 'a rocker reading alone is a pass: "rocked fret 7 on treble: still except 7 treble rocks 2"');
  }
  if (line === undefined) return refusedLine(origin, text, written, neck);
  if (!fretTops(neck).includes(fret)) return wrong(origin, text, `a fret from ${fretTops(neck)[0] ?? 1} to ${neck.frets}`);
  return { values: [{ fret, line, steps, origin }], problems: [] };
}
