import type { Problem } from "../units/problem.js";
import type { Entry } from "./draft.js";
import { grouped, isTooWide, pathKey, placeWords, problemAt, tooWideProblem, type Judged } from "./entries.js";
import { MINUS_REPAIR } from "./gap.js";
import type { EdgeSetting, GapReading, SettingPath, Surface } from "./reading.js";
import { contactNotes } from "./settingNotes.js";
import { readsBelowZero, toolWords } from "./tools.js";

const ORDINALS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"];

const SURFACE_WORDS: Readonly<Record<Surface, string>> = { fretTops: "", wood: ", on the wood", underCrown: "", underside: ", on the underside", glueFace: ", on the glue face" };

/** The settings of the tools with their readings, each with its ordinal in words; a free board may show wider gaps. */
export function settingsOf(entries: readonly Entry[], isFreeBoard: boolean): Judged<EdgeSetting> {
  const counts = new Map<string, number>();
  const values: EdgeSetting[] = [];
  const problems: Problem[] = [];
  for (const group of grouped(entries)) {
    const [first] = group;
    if (first === undefined) continue;
    for (const entry of group) problems.push(...settingProblems(entry, isFreeBoard));
    const kin = [first.tool.name, first.surface, pathKey(first.path)].join("\n");
    const count = (counts.get(kin) ?? 0) + 1;
    counts.set(kin, count);
    const ordinal = ORDINALS[count - 1] ?? `${count}th`;
    const label = first.surface === "underCrown" ? `${ordinal} look under the crowns, ${pathWords(first.path)}` : `${ordinal} setting of ${toolWords(first.tool)}, ${pathWords(first.path)}${SURFACE_WORDS[first.surface]}`;
    values.push({ label: first.turned === true ? `${label}, turned end for end` : label, tool: first.tool, surface: first.surface, path: first.path, ...(first.turned === true ? { turned: true } : {}), readings: group.flatMap(gapReading) });
  }
  return { values, problems, notes: values.flatMap(contactNotes) };
}

function pathWords(path: SettingPath): string {
  if (path.kind === "along") return path.line;
  if (path.kind === "across") return `across at ${placeWords(path.at.label)}`;
  return `from ${path.from.line} at ${placeWords(path.from.at.label)} to ${path.to.line} at ${placeWords(path.to.at.label)}`;
}

function gapReading(entry: Entry): readonly GapReading[] {
  if (entry.reading.kind !== "gap") return [];
  return [{ line: entry.line, place: entry.place, gap: entry.reading.gap, written: entry.reading.written, ...(entry.note === "" ? {} : { note: entry.note }), origin: entry.origin }];
}

function settingProblems(entry: Entry, isFreeBoard: boolean): readonly Problem[] {
  if (entry.reading.kind === "mark") return [problemAt(entry, `a gap under ${toolWords(entry.tool)}`, "still and rocks are marks of the rocker: name the rocker as the tool")];
  const { gap } = entry.reading;
  if (gap.kind === "exact" && gap.gapMm < 0 && !readsBelowZero(entry.tool)) return [problemAt(entry, `a gap of 0 or more under ${toolWords(entry.tool)}`, MINUS_REPAIR)];
  return isTooWide(entry, isFreeBoard) ? [tooWideProblem(entry, isFreeBoard)] : [];
}
