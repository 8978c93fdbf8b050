import type { HeightTerm, Survey } from "../../survey/survey.js";
import { lineOverChord, nearestTop, scaled, spansOf } from "../../shape/span.js";
import type { Measured } from "../../units/measured.js";

/** Relief at the middle of the neck, the mean of all lines read: what a rod is judged by. */
export type MiddleRelief =
  | { readonly status: "determined"; readonly relief: Measured; readonly at: string; readonly atMm: number; readonly lines: readonly string[]; readonly terms: readonly HeightTerm[] }
  | { readonly status: "undetermined"; readonly need: string };

/**
 * Relief at the fret nearest to mid-way between the ends of what was read (fret 1 and body joint at most), mm; positive is forward bow.
 * The smooth line is taken, so that a high fret in the middle does not count as back bow.
 */
export function middleRelief(survey: Survey): MiddleRelief {
  const spans = spansOf(survey);
  const read = spans.flatMap((span) => (span.status === "read" ? [span] : []));
  const [first] = read;
  if (first === undefined) {
    const missing = spans.find((span) => span.status === "undetermined");
    return { status: "undetermined", need: missing?.status === "undetermined" ? missing.need : "lay an edge along the neck and read a gap in its middle" };
  }
  const at = nearestTop(survey.neck, (first.from.xMm + first.to.xMm) / 2);
  const terms = read.flatMap(({ line, from, to }) => scaled(-1 / read.length, lineOverChord(line, from.xMm, to.xMm, at.xMm)));
  return { status: "determined", relief: survey.linear(terms), at: at.label, atMm: at.xMm, lines: read.map(({ line }) => line), terms };
}
