import type { Neck } from "../../neck/neck.js";
import { fretStages, mayBeDone } from "../../readings/fretStages.js";
import type { GapReading, SurveySheet } from "../../readings/reading.js";
import { fretsWords } from "../../frets/lists.js";
import { lengthWords } from "../../units/words.js";

/** Crown height at one top and where it is known from. */
export type KnownCrown = { readonly fret: number; readonly line: string; readonly heightMm: number; /** Standard uncertainty of a gauge or dial; 0 for a leaf's low end and a stated height. */ readonly uMm: number; readonly from: "read" | "read on this fret, another line" | "wire as stated" };

/** What is known of the crowns of some tops. */
export type CrownHeights =
  | { readonly status: "known"; readonly crowns: readonly KnownCrown[]; /** From what, in a builder's words. */ readonly said: string }
  | { readonly status: "unknown"; /** What to measure. */ readonly need: string };

/** After these a file has been over the frets: the wire as it was bought no longer says how high they are. */
const FILED = ["levelled", "crowned", "filed"] as const;

/**
 * Crown heights, mm, from readings of the crown gauge; where there are none on a fret, from the wire's stated height, as long as no file has been over it.
 * A leaf or a stated interval counts with its low end. Nothing else counts: crowns are not guessed.
 * @param sheets the survey's own sheet and others in which crowns were read
 */
export function crownHeights(neck: Neck, sheets: readonly SurveySheet[], tops: readonly { readonly fret: number; readonly line: string }[]): CrownHeights {
  const read = sheets.flatMap((sheet) => sheet.settings).filter((setting) => setting.tool.kind === "crownGauge").flatMap((setting) => setting.readings);
  const isNew = !sheets.some((sheet) => mayBeDone(fretStages(sheet.state.fretState), FILED));
  const wireMm = isNew ? neck.crownHeightMm : undefined;
  const crowns = tops.map(({ fret, line }): KnownCrown | undefined => {
    const onFret = read.filter((reading) => reading.place.fret === fret);
    const here = onFret.filter((reading) => reading.line === line);
    if (here.length > 0) return { fret, line, ...least(here), from: "read" };
    if (onFret.length > 0) return { fret, line, ...least(onFret), from: "read on this fret, another line" };
    return wireMm === undefined ? undefined : { fret, line, heightMm: wireMm, uMm: 0, from: "wire as stated" };
  });
  const known = crowns.filter((crown) => crown !== undefined);
  const missing = [...new Set(tops.filter((_, index) => crowns[index] === undefined).map(({ fret }) => fret))].sort((a, b) => a - b);
  if (missing.length > 0) return { status: "unknown", need: needWords(missing, neck.crownHeightMm !== undefined && !isNew) };
  return { status: "known", crowns: known, said: saidWords(known) };
}

function least(readings: readonly GapReading[]): { readonly heightMm: number; readonly uMm: number } {
  const all = readings.map(({ gap }) => (gap.kind === "exact" ? { heightMm: gap.gapMm, uMm: gap.uMm } : { heightMm: gap.lowMm, uMm: 0 }));
  return all.reduce((lowest, one) => (one.heightMm < lowest.heightMm ? one : lowest));
}

function needWords(missing: readonly number[], wireIsWorn: boolean): string {
  const which = missing.length > 6 ? `${missing.length} frets (${missing[0] ?? ""} to ${missing.at(-1) ?? ""})` : fretsWords(missing);
  const wire = wireIsWorn ? "the wire's stated height no longer counts, since these frets were levelled or crowned before, or may have been" : "or state the wire's crown height in the neck file (crown) if no file has been over these frets";
  return `Measure the crowns of ${which} with a crown gauge or a depth gauge standing on the wood (tool crownGauge in the readings); ${wire}. Until then nothing says how much may come off.`;
}

function saidWords(crowns: readonly KnownCrown[]): string {
  const counts = (["read", "read on this fret, another line", "wire as stated"] as const).map((from) => ({ from, of: crowns.filter((crown) => crown.from === from) })).filter(({ of }) => of.length > 0);
  const [only] = counts;
  if (counts.length === 1 && only?.from === "wire as stated") return `Crowns taken as the wire's stated height, ${lengthWords(only.of[0]?.heightMm ?? NaN)}; none was measured.`;
  return `Crowns: ${counts.map(({ from, of }) => `${of.length} of ${crowns.length} tops ${from}`).join(", ")}; the least ${lengthWords(Math.min(...crowns.map(({ heightMm }) => heightMm)))}.`;
}
