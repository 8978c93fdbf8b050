import type { Survey } from "../survey/survey.js";
import type { Place } from "../readings/reading.js";
import { distanceWords } from "../units/words.js";
import { nearestTop } from "./span.js";

/** A stretch of a line in which neighbouring readings may be no farther apart than this, mm. */
export type Stretch = { readonly fromMm: number; readonly toMm: number; readonly apartMm: number };

/** Frets to read, evenly between read places that are too far apart for a bend between them to be seen: necks are smooth, so it would only be believed to be none. */
export function fretsBetween({ neck }: Pick<Survey, "neck">, read: readonly Place[], { fromMm, toMm, apartMm }: Stretch): readonly number[] {
  const xMm = read.map((place) => place.xMm).sort((a, b) => a - b);
  const wide = xMm.slice(1).map((end, at) => ({ start: xMm[at] ?? end, end })).filter(({ start, end }) => end > fromMm && start < toMm && end - start > apartMm);
  return [...new Set(wide.flatMap(({ start, end }) => {
    const parts = Math.ceil((end - start) / apartMm);
    return Array.from({ length: parts - 1 }, (_, part) => nearestTop(neck, start + ((end - start) * (part + 1)) / parts).fret);
  }))];
}

/** What to read so that a bend would be seen. */
export function needBetween(line: string, frets: readonly number[], { what, apartMm }: { readonly what: string; readonly apartMm: number }): string {
  const which = frets.length === 1 ? `fret ${frets.join("")}` : `frets ${frets.slice(0, -1).join(", ")} and ${frets.at(-1) ?? ""}`;
  return `read gaps at ${which} on the ${line} line too, under the edge that read the others: ${what} hides where neighbouring readings are more than ${distanceWords(apartMm)} apart`;
}
