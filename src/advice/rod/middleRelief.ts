import type { HeightTerm, Survey } from "../../survey/survey.js";
import { lineOverChord, nearestTop, scaled, spansOf, type Span } from "../../shape/span.js";
import type { Measured } from "../../units/measured.js";

/** Relief at the middle of the neck, the mean of the lines read over the chord that they share: what a rod is judged by. */
export type MiddleRelief =
  | { readonly status: "determined"; readonly relief: Measured; readonly at: string; readonly atMm: number; readonly lines: readonly string[]; /** The chord over which it is taken. */ readonly fromMm: number; readonly toMm: number; readonly terms: readonly HeightTerm[] }
  | { readonly status: "undetermined"; readonly need: string };

/**
 * Relief at the fret nearest to mid-way between the ends of what was read (fret 1 and body joint at most), mm; positive is forward bow.
 * The smooth line is taken, so that a high fret in the middle does not count as back bow.
 */
export function middleRelief(survey: Survey): MiddleRelief {
  const spans = spansOf(survey);
  const read = commonRead(spans.flatMap((span) => (span.status === "read" ? [span] : [])));
  const [first] = read;
  if (first === undefined) {
    const missing = spans.find((span) => span.status === "undetermined");
    return { status: "undetermined", need: missing?.status === "undetermined" ? missing.need : "lay an edge along the neck and read a gap in its middle" };
  }
  const [fromMm, toMm] = chordOf(read);
  const at = nearestTop(survey.neck, (fromMm + toMm) / 2);
  const terms = read.flatMap(({ line }) => scaled(-1 / read.length, lineOverChord(line, fromMm, toMm, at.xMm)));
  return { status: "determined", relief: survey.linear(terms), at: at.label, atMm: at.xMm, lines: read.map(({ line }) => line), fromMm, toMm, terms };
}

type Read = Extract<Span, { status: "read" }>;

/** Lines whose common chord is much shorter than the longest of them are not averaged: then the longest speaks alone. */
const COMMON_SHARE = 0.8;

function commonRead(read: readonly Read[]): readonly Read[] {
  const length = ({ from, to }: Read): number => to.xMm - from.xMm;
  const [longest] = [...read].sort((a, b) => length(b) - length(a));
  if (longest === undefined) return [];
  const [fromMm, toMm] = chordOf(read);
  return toMm - fromMm >= COMMON_SHARE * length(longest) ? read : [longest];
}

/** The chord that all lines reach. */
function chordOf(read: readonly Read[]): readonly [number, number] {
  return [Math.max(...read.map(({ from }) => from.xMm)), Math.min(...read.map(({ to }) => to.xMm))];
}
