import type { Problem } from "../units/problem.js";
import { lengthWords } from "../units/words.js";
import type { Entry } from "./draft.js";
import type { Gap, SettingPath } from "./reading.js";
import { mostReadableMm, toolWords } from "./tools.js";

/** What readings give when they are judged beside each other. */
export type Judged<T> = { readonly values: readonly T[]; readonly problems: readonly Problem[]; readonly notes: readonly string[] };

/** Place and line of a reading, for messages. */
export function at(entry: Entry): string {
  return entry.line === "" ? entry.place.label : `${entry.place.label} ${entry.line}`;
}

/** A problem of a reading, located where the reading was typed. */
export function problemAt(entry: Entry, expected: string, repair?: string): Problem {
  return { ...entry.origin, found: JSON.stringify(entry.reading.written), expected, ...(repair === undefined ? {} : { repair }) };
}

/** Place, path, tool and setting of an entry, as a key. */
export function stationKey(entry: Entry): string {
  return `${settingKey(entry)}\n${entry.line}\n${entry.place.label}`;
}

/** What readings of one setting-down share: tool, surface, path and the setting's name. */
export function settingKey(entry: Entry): string {
  return [entry.tool.name, entry.surface, pathKey(entry.path), entry.setting, entry.turned === true ? "turned" : ""].join("\n");
}

/** A path as a key. */
export function pathKey(path: SettingPath): string {
  if (path.kind === "along") return `along ${path.line}`;
  if (path.kind === "across") return `across ${path.at.label}`;
  return `diagonal ${path.from.line}@${path.from.at.label} ${path.to.line}@${path.to.at.label}`;
}

/** Readings by setting, in order of appearance. */
export function grouped(entries: readonly Entry[]): readonly (readonly Entry[])[] {
  const groups = new Map<string, Entry[]>();
  for (const entry of entries) {
    const key = settingKey(entry);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [entry]);
    else group.push(entry);
  }
  return [...groups.values()];
}

/** The gap that was read, also under the raised end of a rocker. */
export function gapOf(entry: Entry): Gap | undefined {
  if (entry.reading.kind === "gap") return entry.reading.gap;
  return entry.reading.mark.rocks ? entry.reading.mark.gap : undefined;
}

/** Whether a gap is beyond what can be read under its tool, so that its unit is surely wrong. */
export function isTooWide(entry: Entry, isFreeBoard = false): boolean {
  const gap = gapOf(entry);
  return gap !== undefined && Math.abs(gap.kind === "exact" ? gap.gapMm : gap.lowMm) > mostMm(entry, isFreeBoard);
}

function mostMm({ tool, surface }: Entry, isFreeBoard: boolean): number {
  return mostReadableMm(tool, isFreeBoard && surface !== "underCrown");
}

/** What is said of a gap that is too wide. */
export function tooWideProblem(entry: Entry, isFreeBoard = false): Problem {
  const mm = mostMm(entry, isFreeBoard);
  const more = mm < mostMm(entry, true) ? "; if it is a free board, say so above the table: stage: fretted board, not glued" : "";
  return problemAt(entry, `no more than ${lengthWords(mm)} under ${toolWords(entry.tool)}`, `check the unit of the table and of this reading${more}`);
}

/** A place in words: `fret 7`, `@123.4mm`. */
export function placeWords(label: string): string {
  return /^\d+$/.test(label) ? `fret ${label}` : label;
}
