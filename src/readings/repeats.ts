import type { Problem } from "../units/problem.js";
import type { Entry } from "./draft.js";
import { at, problemAt, stationKey, type Judged } from "./entries.js";

/** The same place of the same setting twice: noted where it says the same, refused where it does not. */
export function withoutRepeats(entries: readonly Entry[]): Judged<Entry> {
  const seen = new Map<string, Entry>();
  const values: Entry[] = [];
  const problems: Problem[] = [];
  const notes: string[] = [];
  for (const entry of entries) {
    const key = stationKey(entry);
    const first = seen.get(key);
    if (first === undefined) {
      seen.set(key, entry);
      values.push(entry);
    } else if (saysTheSame(first, entry)) {
      notes.push(`${entry.origin.source}, row ${entry.origin.row}: ${at(entry)} was read once more in the same setting and says the same (${entry.reading.written}); it is counted once`);
    } else {
      const before = `${first.reading.written} in ${first.origin.source}, row ${first.origin.row}`;
      problems.push(problemAt(entry, `one value for ${at(entry)} in one setting, where ${before} stands already`, "give a second setting-down its own number in the column setting, or a table of its own"));
    }
  }
  return { values, problems, notes };
}

function saysTheSame(a: Entry, b: Entry): boolean {
  return JSON.stringify(saidBy(a)) === JSON.stringify(saidBy(b));
}

function saidBy(entry: Entry): object {
  return entry.reading.kind === "gap" ? entry.reading.gap : entry.reading.mark;
}
