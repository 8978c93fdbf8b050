import { fretsWords, joined } from "../../frets/lists.js";
import { isRockable, overNeckLine, readPlaces, type FretPlace } from "../../frets/places.js";
import { fretReport } from "../../frets/report.js";
import { fretTops } from "../../neck/frets.js";
import type { Limits } from "../../neck/limits.js";
import { magnitude } from "../../shape/drawn.js";
import { neckLineRelief, reliefs } from "../../shape/relief.js";
import { lineOverChord, spansOf, spanWords, type Span } from "../../shape/span.js";
import { tongues } from "../../shape/tongue.js";
import { twistOfNeck } from "../../shape/twist.js";
import type { HeightTerm, Survey } from "../../survey/survey.js";
import { bowWords, lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";

import { between, unknown, type DrawnLimit, type ShipCheck } from "./judged.js";

/** A limit that draws judge, or one of which nothing is known. */
export type Limit = DrawnLimit | ShipCheck;

type Read = Extract<Span, { readonly status: "read" }>;

/** Relief within two limits on every line of the neck, all at once. */
export function reliefLimit(survey: Survey, { what, wanted, lowMm, highMm, next }: { readonly what: string; readonly wanted: string; readonly lowMm: number; readonly highMm: number; readonly next: string }, order: UnitOrder): Limit {
  const spans = spansOf(survey).filter((span): span is Read => span.status === "read");
  const found = reliefs(survey).flatMap((one) => (one.status === "determined" ? [{ ...one, probability: between(one.relief, lowMm, highMm) }] : []));
  const worst = leastSure(found);
  if (worst === undefined) return unknown(what, wanted, "the relief is not determined by these readings", "lay an edge on fret 1 and the body joint and read one gap midway, on every line");
  const parts = spans.map((span) => neckLineRelief(span));
  const inside = (draw: ArrayLike<number>): boolean => parts.every(({ forms, value }, index) => {
    const start = parts.slice(0, index).reduce((sum, part) => sum + part.forms.length, 0);
    const mm = value(Float64Array.from(forms, (_, at) => draw[start + at] ?? NaN));
    return mm >= lowMm && mm <= highMm;
  });
  const unread = linesWithout(survey, spans.map(({ line }) => line));
  const short = spans.filter(({ reached }) => !reached);
  const why = [...(unread.length === 0 ? [] : [`nothing determines it on ${linesWords(unread)}`]), ...short.map((span) => `${span.line} was read over ${spanWords(span)}`)].join("; ");
  return {
    what, wanted, found: `${found.length > 1 ? "least sure: " : ""}${worst.line}: ${bowWords(worst.relief.value)}, ${measuredWords(magnitude(worst.relief), order)}`, next, forms: parts.flatMap(({ forms }) => forms), kept: inside,
    ...(why === "" ? {} : { missing: { why, next: `lay an edge on fret 1 and the body joint and read a gap midway on ${linesWords([...unread, ...short.map(({ line }) => line)])}` } }),
  };
}

/** Every fret on every line under the limit, the ones that were not read too, as far as readings reach. */
export function fretsLimit(survey: Survey, limits: Limits, order: UnitOrder): Limit {
  const what = "single frets";
  const wanted = `every fret${survey.neck.zeroFret ? " but the zero fret" : ""} under ${lengthWords(limits.highMm, order)} over the neck line`;
  const report = fretReport(survey);
  const [first, ...others] = report.frets.filter(({ fret }) => fret > 0);
  if (first === undefined) return unknown(what, wanted, "no fret tops were read", "rock a short edge over every three frets on every line");
  const key = ({ fret, line }: FretPlace): string => `${fret} ${line}`;
  const read = new Set(readPlaces(survey).map(key));
  const all = survey.neck.lines.flatMap(({ name }) => fretTops(survey.neck).filter((fret) => fret > 0).map((fret): FretPlace => ({ fret, line: name })));
  const known = all.filter((place) => reaches(survey, overNeckLine(survey.neck, place)));
  const isRead = known.map((place) => read.has(key(place)));
  const worst = others.reduce((most, one) => (one.probabilityOver > most.probabilityOver ? one : most), first);
  const unread = all.filter((place) => !read.has(key(place)));
  const beyond = all.filter((place) => !known.includes(place));
  const unreadSaid = unread.length === 0 ? "" : `; not read: ${placesWords(unread)}`;
  const rock = "rock a short edge over the frets not read";
  return {
    what, wanted, found: `least sure of those read: fret ${worst.fret}, ${measuredWords(worst.high, order)} over the neck line${unreadSaid}`,
    next: worst.probabilityOver < NEARLY_NOT && unread.length > 0 ? rock : `fret ${worst.fret}: ${isRockable(survey.neck, worst.fret) ? "rock over it" : "read it again"} and look under its crown, then decide whether to seat or level`,
    forms: known.map((place) => overNeckLine(survey.neck, place)),
    kept: (draw) => known.every((_, index) => (draw[index] ?? NaN) <= limits.highMm),
    keptWhereRead: (draw) => known.every((_, index) => isRead[index] === false || (draw[index] ?? NaN) <= limits.highMm),
    ...(beyond.length === 0 ? {} : { missing: { why: beyond.length === unread.length ? "those not read are out of reach of the readings" : `out of reach of the readings: ${placesWords(beyond)}`, next: rock } }),
  };
}

/** A read fret that is over the limit less often than this is not what leaves the limit open. */
const NEARLY_NOT = 0.05;

/** The fall-away wanted at the last fret, on every line; judged only where the shop states it: a tongue that rises with the neck's bow is told with the shape. */
export function fallAwayLimit(survey: Survey, limits: Limits, order: UnitOrder): Limit | undefined {
  if (survey.neck.limits?.fallAwayMm === undefined) return undefined;
  const what = "fall-away";
  const wanted = `${lengthWords(limits.fallAwayMm, order)} at the last fret, within ${lengthWords(limits.highMm, order)}`;
  const [lowMm, highMm] = [limits.fallAwayMm - limits.highMm, limits.fallAwayMm + limits.highMm];
  const read = tongues(survey).flatMap((one) => (one.status === "undetermined" ? [] : [{ ...one, probability: between(one.fall, lowMm, highMm) }]));
  const worst = leastSure(read);
  const next = "read gaps up to the last fret under an edge that also reads frets before the joint";
  if (worst === undefined) return unknown(what, wanted, "the neck was not read past the body joint", next);
  const starts = spansOf(survey);
  const forms = read.flatMap(({ line, joint, at }) => starts.flatMap((span) => (span.status === "read" && span.line === line ? [lineOverChord(line, span.from.xMm, joint.xMm, at.xMm)] : [])));
  const unread = linesWithout(survey, read.filter(({ reached }) => reached).map(({ line }) => line));
  return {
    what, wanted, found: `${worst.line}: ${worst.fall.value < 0 ? "rises" : "falls away"} ${measuredWords(magnitude(worst.fall), order)} at fret ${worst.at.label}`, next: "read it again, then file the fall-away with the beam on tape",
    forms, kept: (draw) => forms.every((_, index) => -(draw[index] ?? NaN) >= lowMm && -(draw[index] ?? NaN) <= highMm),
    ...(unread.length === 0 ? {} : { missing: { why: `it was not read to the last fret on ${linesWords(unread)}`, next: `${next}, on ${linesWords(unread)}` } }),
  };
}

/** Twist from edge to edge, where readings from line to line fix it. */
export function twistLimit(survey: Survey, limits: Limits, order: UnitOrder): Limit {
  const what = "twist";
  const wanted = `at most ${lengthWords(limits.twistMaxMm, order)} from edge to edge over the length`;
  const found = twistOfNeck(survey);
  if (found.status === "undetermined" || survey.twist.status === "undetermined") return unknown(what, wanted, "readings along the neck see no twist", found.status === "undetermined" ? found.need : "sight it over two bars");
  return {
    what, wanted, found: measuredWords(magnitude(found.twist), order), next: "sight it again over two bars before you act on it",
    forms: [survey.twist.between(found.from.xMm, found.to.xMm)], kept: (draw) => Math.abs(draw[0] ?? NaN) <= limits.twistMaxMm,
  };
}

function leastSure<Found extends { readonly probability: number }>(found: readonly Found[]): Found | undefined {
  return [...found].sort((a, b) => a.probability - b.probability)[0];
}

/** A survey refuses what it does not reach. */
function reaches(survey: Survey, terms: readonly HeightTerm[]): boolean {
  try {
    survey.linear(terms);
    return true;
  } catch (error) {
    if (error instanceof RangeError) return false;
    throw error;
  }
}

function linesWithout({ neck }: Survey, lines: readonly string[]): readonly string[] {
  return neck.lines.map(({ name }) => name).filter((name) => !lines.includes(name));
}

function linesWords(lines: readonly string[]): string {
  return `${joined(lines)} line${lines.length === 1 ? "" : "s"}`.replace(/^/, "the ");
}

/** `frets 2 and 3 on bass and centre; frets 1 to 22 on treble`: lines that miss the same frets are said together. */
function placesWords(places: readonly FretPlace[]): string {
  const lines = [...new Set(places.map(({ line }) => line))];
  const byLine = lines.map((line) => ({ line, words: fretsWords(places.filter((place) => place.line === line).map(({ fret }) => fret)) }));
  const sets = [...new Set(byLine.map(({ words }) => words))];
  return sets.map((words) => `${words} on ${joined(byLine.filter((one) => one.words === words).map(({ line }) => line))}`).join("; ");
}
