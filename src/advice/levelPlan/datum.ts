import { fretDistanceMm, fretTops } from "../../neck/frets.js";
import type { NeckLine } from "../../neck/neck.js";
import { acrossMm } from "../../neck/surface.js";
import type { HeightTerm, Survey } from "../../survey/survey.js";
import { lengthWords, type UnitOrder } from "../../units/words.js";
import type { LevelProblem } from "./problem.js";

/** What lies under the beam: how it takes the board. */
export type Beam = "straight" | "radiused";
type Datum = LevelProblem["datum"];
/** Where a height is asked for. */
export type OnLine = { readonly line: { readonly name: string }; readonly xMm: number };

/** Whether a levelling takes all lines to one plane, and why. */
export type TiedLines = { readonly datum: Datum; readonly said: (order: UnitOrder) => string };

/** Lines that are known against each other no better than this are not levelled to one plane: more would come off for what the readings do not know than for the neck, mm. Own judgement, no source. */
const TIED_U_MM = 0.05;

/**
 * Whether the lines are to be taken to one plane over the board's radius: where the beam is a block of that radius, which takes them all at once, and readings from line to line fix
 * level and tilt of every line against the others. A straight beam takes each line for itself, however the lines lie.
 * @param survey what `adjust` gave
 */
export function tiedLines(survey: Survey, beam: Beam): TiedLines {
  const ends = endsOf(survey);
  if (ends.length < 2) return apart(() => "");
  if (beam === "straight") return apart(() => "A straight beam takes each line straight for itself: it leaves a twist as it is.");
  const forms = ends.flatMap(({ line, first, last }) => [first, last].map((fret) => overPlane(survey, ends, { line, xMm: xOf(survey, fret) }, top(line, fret))));
  if (!forms.every((form) => survey.determines(form))) return apart(() => "The lines are not tied to each other by these readings: each is taken straight for itself here. The block takes off a twist too, which is not seen: more may come off at two corners. Gaps read along both diagonals would tie the lines.");
  const uMm = Math.max(...forms.map((form) => (isNothing(form) ? 0 : survey.linear(form).u)));
  if (uMm > TIED_U_MM) return apart((order) => `The lines are tied to each other only to within ${lengthWords(2 * uMm, order)}, so each is taken straight for itself here. The block takes off a twist too: more may come off at two corners. Gaps read along both diagonals tie the lines more closely.`);
  return { datum: "one plane", said: () => "The readings tie the lines to each other: all are taken to one plane over the board's radius, and a twist comes off with them." };
}

/** A form over the datum of a levelling, so that what level and tilt are free drop out: over the chord of its own line, or over the plane through three ends of lines. */
export function overDatum(survey: Survey, datum: Datum, place: OnLine, form: readonly HeightTerm[]): readonly HeightTerm[] {
  return datum === "one plane" ? overPlane(survey, endsOf(survey), place, form) : overChord(survey, place, form);
}

/** A form over the chord of the first and last covered top of its line. */
function overChord(survey: Survey, { line, xMm }: OnLine, form: readonly HeightTerm[]): readonly HeightTerm[] {
  const on = coveredTops(survey, line.name);
  const [first, last] = [on[0], on.at(-1)];
  if (first === undefined || last === undefined) return form;
  const t = (xMm - xOf(survey, first)) / (xOf(survey, last) - xOf(survey, first));
  return [...form, { of: "fretTop", line: line.name, fret: first, weight: t - 1 }, { of: "fretTop", line: line.name, fret: last, weight: -t }];
}

type Ends = { readonly line: NeckLine; readonly first: number; readonly last: number };

/** A form over the plane through both ends of the outermost line on one side and the last end of that on the other. */
function overPlane(survey: Survey, ends: readonly Ends[], { line, xMm }: OnLine, form: readonly HeightTerm[]): readonly HeightTerm[] {
  const [bass, treble] = [ends[0], ends.at(-1)];
  const on = ends.find((one) => one.line.name === line.name)?.line;
  if (bass === undefined || treble === undefined || on === undefined) return form;
  const at = (of: NeckLine, mm: number): readonly [number, number] => [mm, acrossMm(survey.neck, of, mm)];
  const anchors = [{ line: bass.line, fret: bass.first }, { line: bass.line, fret: bass.last }, { line: treble.line, fret: treble.last }] as const;
  const shares = inTriangle(anchors.map((anchor) => at(anchor.line, xOf(survey, anchor.fret))), at(on, xMm));
  return [...form, ...anchors.map((anchor, index): HeightTerm => ({ of: "fretTop", line: anchor.line.name, fret: anchor.fret, weight: -(shares[index] ?? 0) }))];
}

/** How much of a plane's height at each corner of a triangle is its height at a point; the shares add up to 1. */
function inTriangle(corners: readonly (readonly [number, number])[], [x, y]: readonly [number, number]): readonly number[] {
  const [[ax, ay], [bx, by], [cx, cy]] = [corners[0] ?? [0, 0], corners[1] ?? [1, 0], corners[2] ?? [0, 1]];
  const whole = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay);
  const b = ((x - ax) * (cy - ay) - (cx - ax) * (y - ay)) / whole;
  const c = ((bx - ax) * (y - ay) - (x - ax) * (by - ay)) / whole;
  return [1 - b - c, b, c];
}

/** Frets of a line between its first and last determined fret top, read or not. */
export function coveredTops(survey: Survey, line: string): readonly number[] {
  const read = survey.heights.filter((height) => height.line === line && height.surface === "fretTops").flatMap(({ place }) => (place.fret === undefined ? [] : [place.fret]));
  if (read.length < 3) return [];
  const [first, last] = [Math.min(...read), Math.max(...read)];
  return fretTops(survey.neck).filter((fret) => fret >= first && fret <= last);
}

function endsOf(survey: Survey): readonly Ends[] {
  return survey.neck.lines.flatMap((line): Ends[] => {
    const on = coveredTops(survey, line.name);
    const [first, last] = [on[0], on.at(-1)];
    return first === undefined || last === undefined ? [] : [{ line, first, last }];
  });
}

function apart(said: TiedLines["said"]): TiedLines {
  return { datum: "each line its own", said };
}

function top(line: NeckLine, fret: number): readonly HeightTerm[] {
  return [{ of: "fretTop", line: line.name, fret, weight: 1 }];
}

/** An anchor over the plane through the anchors. */
function isNothing(form: readonly HeightTerm[]): boolean {
  const sums = new Map<string, number>();
  for (const term of form) if (term.of === "fretTop") sums.set(`${term.fret} ${term.line}`, (sums.get(`${term.fret} ${term.line}`) ?? 0) + term.weight);
  return [...sums.values()].every((weight) => Math.abs(weight) < 1e-12);
}

function xOf({ neck }: Survey, fret: number): number {
  return fretDistanceMm(neck.scaleLengthMm, fret);
}
