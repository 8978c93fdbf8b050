import { fretDistanceMm } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { boundsOfGaps, boundsOfMark, middleShare, type RockerBounds } from "./contact.js";
import type { Entry } from "./draft.js";
import { at, grouped, isTooWide, problemAt, tooWideProblem, type Judged } from "./entries.js";
import { defaultLeaves, type LeafSet } from "./leafSet.js";
import type { RockerReading } from "./reading.js";

/** Rocker readings from marks at middle frets and from three gaps of one setting, by the rules of contact. */
export function rockersOf(neck: Neck, entries: readonly Entry[]): Judged<RockerReading> {
  const marks = entries.filter((entry) => entry.reading.kind === "mark").map((entry) => rockerOfMark(neck, entry));
  const groups = grouped(entries.filter((entry) => entry.reading.kind === "gap"));
  const ofGaps = groups.map((group) => rockerOfGaps(neck, group));
  const all = [...marks, ...ofGaps];
  return { values: all.flatMap((each) => each.values), problems: all.flatMap((each) => each.problems), notes: all.flatMap((each) => each.notes) };
}

const nothing = { values: [], problems: [], notes: [] };

function rockerOfMark(neck: Neck, entry: Entry): Judged<RockerReading> {
  const { fret } = entry.place;
  if (entry.reading.kind !== "mark" || fret === undefined) return { ...nothing, problems: [problemAt(entry, "a rocker that stands on three fret tops", "state the surface of this table as fret tops")] };
  const { mark } = entry.reading;
  if (isTooWide(entry)) return { ...nothing, problems: [tooWideProblem(entry)] };
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
  const tooWide = sorted.filter((entry) => isTooWide(entry)).map((entry) => tooWideProblem(entry));
  const bounds = boundsOfGaps([g1, g2, g3], shareOf(neck, [one, two, three]));
  if ("expected" in bounds) return { ...nothing, problems: [...tooWide, problemAt(middle, bounds.expected, "press the rocker down on two of the frets and read the third")] };
  const written = sorted.map((entry) => `fret ${entry.place.label}: ${entry.reading.written}`).join(", ");
  return { ...nothing, values: [rockerReading(middle, [one, two, three], bounds, written)], problems: tooWide };
}
