import type { Neck } from "../neck/neck.js";
import type { Outcome, Problem } from "../units/problem.js";
import type { Draft, Entry } from "./draft.js";
import { settingsOf } from "./edgeSettings.js";
import { defaultLeaves, leafSetWords, type LeafSet } from "./leafSet.js";
import type { SurveySheet } from "./reading.js";
import { withoutRepeats } from "./repeats.js";
import { rockersOf } from "./rockerReadings.js";
import { freeBoardNotes, assumedBelowThinnest, assumedUncertainty } from "./settingNotes.js";
import { assumedState, isFreeBoard, stateOf, type StateEntry } from "./state.js";
import { withLongEnoughTools } from "./toolSizes.js";
import { smallWords } from "../units/words.js";
import { assumedToolWords } from "./tools.js";

/** What a hand can feel of "goes" and "does not go", mm. Common practice, no source. */
export const DEFAULT_FEEL_MM = 0.005;

/** Joins what the files say of each survey and judges the readings beside each other; one sheet a survey, in order of appearance. */
export function sheetsOf(neck: Neck, drafts: readonly Draft[]): Outcome<readonly SurveySheet[]> {
  const groups = new Map<string, Draft[]>();
  for (const draft of drafts) {
    const key = `${draft.stage.trim().toLowerCase()}\n${draft.date}`;
    groups.set(key, [...(groups.get(key) ?? []), draft]);
  }
  const sheets = [...groups.values()].map((group) => sheetOf(neck, group));
  const [first, ...others] = sheets.flatMap((sheet) => sheet.problems);
  return first === undefined ? { status: "read", value: sheets.map((sheet) => sheet.sheet) } : { status: "refused", problems: [first, ...others] };
}

function sheetOf(neck: Neck, drafts: readonly Draft[]): { readonly sheet: SurveySheet; readonly problems: readonly Problem[] } {
  const typed = drafts.flatMap((draft) => draft.entries);
  const stateEntries = drafts.flatMap((draft) => draft.state);
  const state = stateOf(stateEntries);
  const once = withoutRepeats(typed);
  const sized = withLongEnoughTools(once.values);
  const rockers = rockersOf(neck, sized.values.filter((entry) => entry.tool.kind === "rocker"));
  const stage = drafts[0]?.stage ?? "";
  const settings = settingsOf(sized.values.filter((entry) => entry.tool.kind !== "rocker"), isFreeBoard(stage, state));
  const date = drafts[0]?.date ?? "";
  const feels = drafts.flatMap((draft) => (draft.feelMm === undefined ? [] : [draft.feelMm]));
  const leaves = usualLeaves(sized.values);
  const sheet: SurveySheet = {
    neck: neck.name,
    stage,
    date,
    state,
    settings: settings.values,
    rockers: rockers.values,
    seating: drafts.flatMap((draft) => draft.seating),
    feelMm: feels[0] ?? DEFAULT_FEEL_MM,
    ...(leaves === undefined ? {} : { leaves }),
    assumed: unique([
      ...(stage === "" ? ["stage: not stated"] : []),
      ...(date === "" ? ["date: not stated"] : []),
      ...assumedState(state),
      ...drafts.flatMap((draft) => draft.assumed),
      ...assumedLeaves(sized.values),
      ...assumedBelowThinnest(sized.values),
      ...assumedUncertainty(sized.values),
      ...assumedTools(sized.values),
      ...(feels.length === 0 ? [`feel of the hand: not stated, taken as ${smallWords(DEFAULT_FEEL_MM)} (common practice, no source)`] : []),
    ]),
    notes: unique([...drafts.flatMap((draft) => draft.notes), ...once.notes, ...sized.notes, ...rockers.notes, ...settings.notes, ...freeBoardNotes(stage, state, settings.values)]),
  };
  const problems = [...contradictingState(stateEntries), ...contradictingFeel(drafts), ...once.problems, ...sized.problems, ...rockers.problems, ...settings.problems];
  return { sheet, problems };
}


function unique(texts: readonly string[]): readonly string[] {
  return [...new Set(texts)];
}

/** A survey is of one state. */
function contradictingState(entries: readonly StateEntry[]): readonly Problem[] {
  return entries.flatMap((entry) => {
    const first = entries.find((other) => other.key === entry.key);
    if (first === undefined || first === entry || same(first.value, entry.value)) return [];
    return [{
      ...entry.origin,
      found: JSON.stringify(entry.written),
      expected: `${JSON.stringify(first.written)}, as in ${first.origin.source}, row ${first.origin.row}: a survey is of one state`,
      repair: "give readings in another state another stage or date",
    }];
  });
}

function same(a: string | number, b: string | number): boolean {
  return typeof a === "string" && typeof b === "string" ? a.toLowerCase() === b.toLowerCase() : a === b;
}

function contradictingFeel(drafts: readonly Draft[]): readonly Problem[] {
  const feels = drafts.flatMap((draft) => (draft.feelMm === undefined ? [] : [draft.feelMm]));
  const other = feels.find((feelMm) => feelMm !== feels[0]);
  if (other === undefined || feels[0] === undefined) return [];
  return [{ source: drafts[0]?.entries[0]?.origin.source ?? "readings", column: "feel", found: smallWords(other), expected: `one feel of the hand in a survey, ${smallWords(feels[0])}` }];
}

/** The set that most readings were taken with, the first of those that are even. */
function usualLeaves(entries: readonly Entry[]): LeafSet | undefined {
  const counts = new Map<LeafSet, number>();
  for (const { reading: { used: { leaves } } } of entries) if (leaves !== undefined) counts.set(leaves, (counts.get(leaves) ?? 0) + 1);
  return [...counts].reduce<readonly [LeafSet, number] | undefined>((most, one) => (most === undefined || one[1] > most[1] ? one : most), undefined)?.[0];
}

function assumedLeaves(entries: readonly Entry[]): readonly string[] {
  return entries
    .flatMap((entry) => (entry.reading.used.leaves === undefined ? [] : [entry.reading.used.leaves]))
    .filter((set, index, sets) => sets.findIndex((other) => other === set) === index)
    .filter((set) => set === defaultLeaves("thou") || set === defaultLeaves("mm"))
    .map((set) => `leaves: not stated, taken as the usual ${leafSetWords(set)} (common practice, no source)`);
}

function assumedTools(entries: readonly Entry[]): readonly string[] {
  return entries.filter((entry) => !entry.toolStated && entry.surface !== "underCrown").map((entry) => assumedToolWords(entry.tool));
}

