import type { Gap, SurveySheet } from "../readings/reading.js";

/** What a leaf under a crown found at one place: the widest the gap can be, and whether a gap was seen at all. */
export type LookUnderCrown = { readonly fret: number; readonly line: string; readonly seen: "gap" | "no gap"; readonly atLeastMm: number; readonly atMostMm: number; readonly written: string };

/** A leaf that does not go says nothing of a thinner gap. */
const SIGMAS = 2;

/**
 * Every look under a crown that a sheet holds, in the order typed. A gap is seen where a leaf goes or light shows; `touch`, and a thinnest
 * leaf that does not go, are no gap seen.
 */
export function looksUnderCrowns(sheet: Pick<SurveySheet, "settings">): readonly LookUnderCrown[] {
  return sheet.settings.filter(({ surface }) => surface === "underCrown").flatMap(({ readings }) => readings).flatMap(({ place, line, gap, written }): LookUnderCrown[] => {
    if (place.fret === undefined) return [];
    const { atLeastMm, atMostMm } = boundsMm(gap);
    return [{ fret: place.fret, line, seen: atLeastMm > 0 ? "gap" : "no gap", atLeastMm, atMostMm, written }];
  });
}

function boundsMm(gap: Gap): { readonly atLeastMm: number; readonly atMostMm: number } {
  if (gap.kind === "interval") return { atLeastMm: Math.max(0, gap.lowMm), atMostMm: gap.highMm };
  return { atLeastMm: Math.max(0, gap.gapMm - SIGMAS * gap.uMm), atMostMm: gap.gapMm + SIGMAS * gap.uMm };
}
