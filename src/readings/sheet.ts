import type { Neck } from "../neck/neck.js";
import type { Outcome, Problem } from "../units/problem.js";
import { lengthWords } from "../units/words.js";
import { fretDistanceMm } from "../neck/frets.js";
import { boundsOfGaps, boundsOfMark, middleShare, type RockerBounds } from "./contact.js";
import type { Draft, Entry } from "./draft.js";
import { defaultLeaves, leafSetWords, type LeafSet } from "./leafSet.js";
import type { EdgeSetting, Gap, GapReading, RockerReading, SettingPath, Surface, SurveySheet, Tool } from "./reading.js";
import { assumedState, isFreeBoard, stateOf, type StateEntry } from "./state.js";
import { assumedToolWords, mostReadableMm, readsBelowZero, smallWords, toolWords } from "./tools.js";

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

type Judged<T> = { readonly values: readonly T[]; readonly problems: readonly Problem[]; readonly notes: readonly string[] };

function sheetOf(neck: Neck, drafts: readonly Draft[]): { readonly sheet: SurveySheet; readonly problems: readonly Problem[] } {
  const typed = drafts.flatMap((draft) => draft.entries);
  const stateEntries = drafts.flatMap((draft) => draft.state);
  const state = stateOf(stateEntries);
  const once = withoutRepeats(typed);
  const sized = withLongEnoughTools(once.values);
  const rockers = rockersOf(neck, sized.values.filter((entry) => entry.tool.kind === "rocker"));
  const settings = settingsOf(sized.values.filter((entry) => entry.tool.kind !== "rocker"));
  const stage = drafts[0]?.stage ?? "";
  const date = drafts[0]?.date ?? "";
  const feels = drafts.flatMap((draft) => (draft.feelMm === undefined ? [] : [draft.feelMm]));
  const sheet: SurveySheet = {
    neck: neck.name,
    stage,
    date,
    state,
    settings: settings.values,
    rockers: rockers.values,
    seating: drafts.flatMap((draft) => draft.seating),
    feelMm: feels[0] ?? DEFAULT_FEEL_MM,
    assumed: unique([
      ...(stage === "" ? ["stage: not stated"] : []),
      ...(date === "" ? ["date: not stated"] : []),
      ...assumedState(state),
      ...drafts.flatMap((draft) => draft.assumed),
      ...assumedLeaves(sized.values),
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

function at(entry: Entry): string {
  return entry.line === "" ? entry.place.label : `${entry.place.label} ${entry.line}`;
}

function problemAt(entry: Entry, expected: string, repair?: string): Problem {
  return { ...entry.origin, found: JSON.stringify(entry.reading.written), expected, ...(repair === undefined ? {} : { repair }) };
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

/** Place, path, tool and setting of an entry, as a key. */
function stationKey(entry: Entry): string {
  return `${settingKey(entry)}\n${entry.line}\n${entry.place.label}`;
}

function settingKey(entry: Entry): string {
  return [entry.tool.name, entry.surface, pathKey(entry.path), entry.setting].join("\n");
}

function pathKey(path: SettingPath): string {
  if (path.kind === "along") return `along ${path.line}`;
  if (path.kind === "across") return `across ${path.at.label}`;
  return `diagonal ${path.from.line}@${path.from.at.label} ${path.to.line}@${path.to.at.label}`;
}

/** The same place of the same setting twice: noted where it says the same, refused where it does not. */
function withoutRepeats(entries: readonly Entry[]): Judged<Entry> {
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

function gapOf(entry: Entry): Gap | undefined {
  if (entry.reading.kind === "gap") return entry.reading.gap;
  return entry.reading.mark.rocks ? entry.reading.mark.gap : undefined;
}

/** Tools that lie under all readings of a setting at once; the others are moved from place to place. */
const LONG_TOOLS: ReadonlySet<Tool["kind"]> = new Set(["straightedge", "notched", "tautString", "endBlocks", "benchPlate"]);

/** Edges grow in steps of this when their readings lie farther apart than the usual edge is long, mm. */
const LENGTH_STEP_MM = 50;

/** An edge whose size was not stated is at least as long as its readings are apart; a stated one must be. */
function withLongEnoughTools(entries: readonly Entry[]): Judged<Entry> {
  const spans = spansBySetting(entries.filter((entry) => LONG_TOOLS.has(entry.tool.kind) && entry.surface !== "underCrown" && entry.path.kind !== "across"));
  const problems: Problem[] = [];
  const longer = new Map<string, number>();
  for (const span of spans.values()) {
    const { tool, toolStated } = span.first;
    if (span.mm <= tool.lengthMm) continue;
    if (toolStated) {
      problems.push(problemAt(span.first, `readings no farther apart than ${toolWords(tool)} is long, ${lengthWords(tool.lengthMm)}; those of its setting span ${lengthWords(span.mm)}`, "state the length of the edge that was used"));
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

const FREE_BOARD_SURFACES: ReadonlySet<Surface> = new Set(["fretTops", "wood"]);
const EDGES: ReadonlySet<Tool["kind"]> = new Set(["straightedge", "notched", "rocker", "endBlocks"]);

function freeBoardNotes(stage: string, state: SurveySheet["state"], settings: readonly EdgeSetting[]): readonly string[] {
  const onItsSide = /\b(side|edge)\b/i.test(state.support ?? "");
  if (onItsSide || !isFreeBoard(stage, state)) return [];
  const first = settings.find((setting) => EDGES.has(setting.tool.kind) && FREE_BOARD_SURFACES.has(setting.surface));
  if (first === undefined) return [];
  return [`${first.label}: a thin free board bends under an edge that stands on it (about 0.15 mm, 6 thou, a newton for a 6 mm board): read it on a bench plate from below, or with the board on its side`];
}

function rockersOf(neck: Neck, entries: readonly Entry[]): Judged<RockerReading> {
  const marks = entries.filter((entry) => entry.reading.kind === "mark").map((entry) => rockerOfMark(neck, entry));
  const groups = grouped(entries.filter((entry) => entry.reading.kind === "gap"));
  const ofGaps = groups.map((group) => rockerOfGaps(neck, group));
  const all = [...marks, ...ofGaps];
  return { values: all.flatMap((each) => each.values), problems: all.flatMap((each) => each.problems), notes: all.flatMap((each) => each.notes) };
}

function grouped(entries: readonly Entry[]): readonly (readonly Entry[])[] {
  const groups = new Map<string, Entry[]>();
  for (const entry of entries) {
    const key = settingKey(entry);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [entry]);
    else group.push(entry);
  }
  return [...groups.values()];
}

const nothing = { values: [], problems: [], notes: [] };

function rockerOfMark(neck: Neck, entry: Entry): Judged<RockerReading> {
  const { fret } = entry.place;
  if (entry.reading.kind !== "mark" || fret === undefined) return { ...nothing, problems: [problemAt(entry, "a rocker that stands on three fret tops", "state the surface of this table as fret tops")] };
  const { mark } = entry.reading;
  const firstTop = neck.zeroFret ? 0 : 1;
  if (fret - 1 < firstTop || fret + 1 > neck.frets) return atTheEnd(entry, fret, mark.rocks, firstTop, neck.frets);
  const frets = [fret - 1, fret, fret + 1] as const;
  const set = entry.reading.used.leaves ?? defaultLeaves("thou");
  const bounds = boundsOfMark(mark, shareOf(neck, frets), set.leavesMm[0] ?? 0, leafU(set));
  return { ...nothing, values: [rockerReading(entry, frets, bounds)] };
}

function leafU(set: LeafSet): number {
  return set.toleranceMm / Math.sqrt(3);
}

function atTheEnd(entry: Entry, fret: number, rocks: boolean, firstTop: number, lastTop: number): Judged<RockerReading> {
  const side = fret - 1 < firstTop ? `before fret ${firstTop}` : `beyond fret ${lastTop}`;
  if (rocks) {
    return { ...nothing, problems: [problemAt(entry, `a middle fret from ${firstTop + 1} to ${lastTop - 1}: a rocker stands on three frets, and there is none ${side}`, "name the middle fret of the three")] };
  }
  return { ...nothing, notes: [`${entry.origin.source}, row ${entry.origin.row}: fret ${fret} ${entry.line} cannot be the middle of three frets (there is none ${side}), so the rocker says nothing of it there`] };
}

function shareOf(neck: Neck, frets: readonly [number, number, number]): number {
  const [first, middle, last] = frets;
  return middleShare(fretDistanceMm(neck.scaleLengthMm, first), fretDistanceMm(neck.scaleLengthMm, middle), fretDistanceMm(neck.scaleLengthMm, last));
}

function rockerReading(entry: Entry, frets: readonly [number, number, number], bounds: RockerBounds, written: string = entry.reading.written): RockerReading {
  return { line: entry.line, frets, ...bounds, tool: entry.tool, written, ...(entry.note === "" ? {} : { note: entry.note }), origin: entry.origin };
}

function rockerOfGaps(neck: Neck, group: readonly Entry[]): Judged<RockerReading> {
  const sorted = group.slice().sort((a, b) => a.place.xMm - b.place.xMm);
  const [first, middle, last] = sorted;
  const frets = sorted.map((entry) => entry.place.fret ?? Number.NaN);
  const [one = 0, two = 0, three = 0] = frets;
  if (first === undefined || middle === undefined || last === undefined || sorted.length !== 3 || two !== one + 1 || three !== two + 1) {
    const stood = sorted.map((entry) => at(entry)).slice(0, 8).join(", ");
    return { ...nothing, problems: sorted.slice(0, 1).map((entry) => problemAt(entry, `a mark at the middle fret (still, rocks, rocks=2), or three gaps at three neighbouring frets in one setting; found ${sorted.length} at ${stood}`, "write rocks=2, or give each rocker reading its own number in the column setting")) };
  }
  const gaps = [first, middle, last].flatMap((entry) => (entry.reading.kind === "gap" ? [entry.reading.gap] : []));
  const [g1, g2, g3] = gaps;
  if (g1 === undefined || g2 === undefined || g3 === undefined) return nothing;
  const tooWide = sorted.filter((entry) => isTooWide(entry)).map(tooWideProblem);
  const bounds = boundsOfGaps([g1, g2, g3], shareOf(neck, [one, two, three]));
  if ("expected" in bounds) return { ...nothing, problems: [...tooWide, problemAt(middle, bounds.expected, "press the rocker down on two of the frets and read the third")] };
  const written = sorted.map((entry) => `fret ${entry.place.label}: ${entry.reading.written}`).join(", ");
  return { ...nothing, values: [rockerReading(middle, [one, two, three], bounds, written)], problems: tooWide };
}

function isTooWide(entry: Entry): boolean {
  const gap = gapOf(entry);
  return gap !== undefined && Math.abs(gap.kind === "exact" ? gap.gapMm : gap.lowMm) > mostReadableMm(entry.tool);
}

function tooWideProblem(entry: Entry): Problem {
  return problemAt(entry, `no more than ${lengthWords(mostReadableMm(entry.tool))} under ${toolWords(entry.tool)}`, "check the unit of the table and of this reading");
}

const ORDINALS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"];

const SURFACE_WORDS: Readonly<Record<Surface, string>> = { fretTops: "", wood: ", on the wood", underCrown: "", underside: ", on the underside", glueFace: ", on the glue face" };

function settingsOf(entries: readonly Entry[]): Judged<EdgeSetting> {
  const counts = new Map<string, number>();
  const values: EdgeSetting[] = [];
  const problems: Problem[] = [];
  for (const group of grouped(entries)) {
    const [first] = group;
    if (first === undefined) continue;
    problems.push(...group.flatMap(settingProblems));
    const kin = [first.tool.name, first.surface, pathKey(first.path)].join("\n");
    const count = (counts.get(kin) ?? 0) + 1;
    counts.set(kin, count);
    const ordinal = ORDINALS[count - 1] ?? `${count}th`;
    const label = first.surface === "underCrown" ? `${ordinal} look under the crowns, ${pathWords(first.path)}` : `${ordinal} setting of ${toolWords(first.tool)}, ${pathWords(first.path)}${SURFACE_WORDS[first.surface]}`;
    values.push({ label, tool: first.tool, surface: first.surface, path: first.path, readings: group.flatMap(gapReading) });
  }
  return { values, problems, notes: values.flatMap(contactNotes) };
}

function pathWords(path: SettingPath): string {
  if (path.kind === "along") return path.line;
  if (path.kind === "across") return `across at ${placeWords(path.at.label)}`;
  return `from ${path.from.line} at ${placeWords(path.from.at.label)} to ${path.to.line} at ${placeWords(path.to.at.label)}`;
}

function placeWords(label: string): string {
  return /^\d+$/.test(label) ? `fret ${label}` : label;
}

function gapReading(entry: Entry): readonly GapReading[] {
  if (entry.reading.kind !== "gap") return [];
  return [{ line: entry.line, place: entry.place, gap: entry.reading.gap, written: entry.reading.written, ...(entry.note === "" ? {} : { note: entry.note }), origin: entry.origin }];
}

function settingProblems(entry: Entry): readonly Problem[] {
  if (entry.reading.kind === "mark") return [problemAt(entry, `a gap under ${toolWords(entry.tool)}`, "still and rocks are marks of the rocker: name the rocker as the tool")];
  const { gap } = entry.reading;
  if (gap.kind === "exact" && gap.gapMm < 0 && !readsBelowZero(entry.tool)) return [problemAt(entry, `a gap of 0 or more under ${toolWords(entry.tool)}`, "an edge cannot sink into a fret: take the minus away")];
  return isTooWide(entry) ? [tooWideProblem(entry)] : [];
}

/** An edge at rest bears on each side of its middle; that it bears at an unread place is not an error, but worth a question. */
function contactNotes(setting: EdgeSetting): readonly string[] {
  if (setting.path.kind !== "along" || setting.surface === "underCrown" || (setting.tool.kind !== "straightedge" && setting.tool.kind !== "notched")) return [];
  const { readings } = setting;
  if (readings.length < 2) return [];
  const xs = readings.map((reading) => reading.place.xMm);
  const middleMm = (Math.min(...xs) + Math.max(...xs)) / 2;
  const sides = [readings.filter((reading) => reading.place.xMm <= middleMm), readings.filter((reading) => reading.place.xMm >= middleMm)];
  return sides.filter((side) => side.every((reading) => excludesContact(reading.gap))).slice(0, 1).map((side) => {
    const labels = side.map((reading) => placeWords(reading.place.label));
    const where = labels.length === 1 ? `at ${labels[0]}` : `from ${labels[0]} to ${labels.at(-1)}`;
    return `${setting.label}: every reading ${where} is clear of the edge, yet the edge bears somewhere on that side: find where it touches and write "touch" there`;
  });
}

function excludesContact(gap: Gap): boolean {
  return gap.kind === "interval" ? gap.lowMm > 0 : gap.gapMm > 3 * gap.uMm;
}
