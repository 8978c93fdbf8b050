import type { Problem } from "../units/problem.js";
import { mmAndInWords } from "../neck/defaults.js";
import type { Entry } from "./draft.js";
import { problemAt, settingKey, type Judged } from "./entries.js";
import type { Tool } from "./reading.js";
import { toolWords } from "./tools.js";

/** Tools that lie under all readings of a setting at once; the others are moved from place to place. */
const LONG_TOOLS: ReadonlySet<Tool["kind"]> = new Set(["straightedge", "notched", "tautString", "endBlocks", "benchPlate"]);

/** Edges grow in steps of this when their readings lie farther apart than the usual edge is long, mm. */
const LENGTH_STEP_MM = 50;

/** An edge whose size was not stated is at least as long as its readings are apart; a stated one must be. */
export function withLongEnoughTools(entries: readonly Entry[]): Judged<Entry> {
  const spans = spansBySetting(entries.filter((entry) => LONG_TOOLS.has(entry.tool.kind) && entry.surface !== "underCrown" && entry.path.kind !== "across"));
  const problems: Problem[] = [];
  const longer = new Map<string, number>();
  for (const span of spans.values()) {
    const { tool, toolStated } = span.first;
    if (span.mm <= tool.lengthMm) continue;
    if (toolStated) {
      problems.push(problemAt(span.first, `readings no farther apart than ${toolWords(tool)} is long, ${mmAndInWords(tool.lengthMm)}; those of its setting span ${mmAndInWords(span.mm)}`, "state the length of the edge that was used"));
    } else {
      longer.set(tool.name, Math.max(longer.get(tool.name) ?? 0, Math.ceil(span.mm / LENGTH_STEP_MM) * LENGTH_STEP_MM));
    }
  }
  const values = entries.map((entry) => {
    const lengthMm = entry.toolStated ? undefined : longer.get(entry.tool.name);
    return lengthMm === undefined ? entry : { ...entry, tool: { ...entry.tool, lengthMm } };
  });
  return { values, problems, notes: [] };
}

function spansBySetting(entries: readonly Entry[]): ReadonlyMap<string, { readonly first: Entry; readonly mm: number }> {
  const spans = new Map<string, { first: Entry; fromMm: number; toMm: number; mm: number }>();
  for (const entry of entries) {
    const key = settingKey(entry);
    const { xMm } = entry.place;
    const span = spans.get(key);
    const fromMm = Math.min(xMm, span?.fromMm ?? xMm);
    const toMm = Math.max(xMm, span?.toMm ?? xMm);
    spans.set(key, { first: span?.first ?? entry, fromMm, toMm, mm: toMm - fromMm });
  }
  return spans;
}
