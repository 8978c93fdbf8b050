import { quantileSorted } from "simple-statistics";
import type { HeightTerm } from "../survey/survey.js";
import type { Together } from "../survey/together.js";
import type { Measured } from "../units/measured.js";
import { signedExtreme } from "./drawn.js";
import { lineOverChord, nearestTop, spansOf } from "./span.js";
import type { Span, TopPlace } from "./span.js";

/** What changed along one line between two surveys, over the chord of the stretch that both reach. */
export type LineChange =
  | {
      readonly status: "compared";
      readonly line: string;
      readonly from: TopPlace;
      readonly to: TopPlace;
      /** From fret 1 to the body joint, or to the last fret where no joint was stated. */
      readonly reached: boolean;
      /** Change of relief by an even bow, mm at its middle; positive is toward forward bow (middle low). */
      readonly bow: Measured;
      /** Change beside that bow at the place where it is largest by the best estimate, mm, positive is up; the interval allows for the place having been picked. */
      readonly local: Measured;
      readonly localAt: TopPlace;
      /** No place changed by more than this beside that bow, 19 times in 20, mm either way. */
      readonly localMostMm: number;
      /** Share of the change, in squares, that the even bow makes up, 0 to 1, by the best estimate. */
      readonly bowShare: number;
      /** Change of height of the neck line at the places, mm, positive is up, over the chord. */
      readonly xMm: readonly number[];
      readonly changeMm: readonly number[];
      readonly uMm: readonly number[];
    }
  | { readonly status: "not compared"; readonly line: string; readonly need: string };

/** A line that two surveys do not both determine, and what to read so that the next comparison has it. */
export type NotCompared = Extract<LineChange, { status: "not compared" }>;
type Read = Extract<Span, { status: "read" }>;
/** A stretch of one line. */
export type Stretch = { readonly line: string; readonly from: TopPlace; readonly to: TopPlace; readonly reached: boolean };

/** What a comparison asks of surveys that were adjusted together. */
export type Surveys = Pick<Together, "surveys" | "linear" | "draws" | "unmoved">;

/** The combinations by which one line is compared. */
export type ChangeForms = {
  readonly stretch: Stretch;
  readonly xMm: readonly number[];
  /** Change of height at each place, positive up. */
  readonly heights: readonly (readonly HeightTerm[])[];
  /** Even bow fitted to them, positive toward forward bow. */
  readonly bow: readonly HeightTerm[];
};

const STEPS = 24;

/** Which lines both surveys read, and by which combinations each is compared; or what is missing. */
export function changeForms(together: Surveys, earlier: number, later: number): readonly (ChangeForms | NotCompared)[] {
  const [before, after] = [together.surveys[earlier], together.surveys[later]];
  if (before === undefined || after === undefined) throw new RangeError(`Cannot compare survey ${earlier + 1} with survey ${later + 1}: there are ${together.surveys.length}`);
  const [spansBefore, spansAfter] = [spansOf(before), spansOf(after)];
  return before.neck.lines.flatMap(({ name }): readonly (ChangeForms | NotCompared)[] => {
    const [then, now] = [spansBefore, spansAfter].map((spans) => spans.find(({ line }) => line === name));
    if (then === undefined && now === undefined) return [];
    if (then?.status !== "read" || now?.status !== "read") return [{ status: "not compared", line: name, need: needFor(now, name) }];
    return [formsOf(stretchOf(then, now), earlier, later)];
  });
}

function needFor(now: Span | undefined, line: string): string {
  if (now?.status !== "read") return now?.need ?? `read the ${line} line again as it was read before`;
  return "the earlier survey does not determine it; compare the next survey with this one";
}

function stretchOf(then: Read, now: Read): Stretch {
  const from = then.from.xMm > now.from.xMm ? then.from : now.from;
  const to = then.to.xMm < now.to.xMm ? then.to : now.to;
  return { line: then.line, from, to, reached: then.reached && now.reached };
}

/** The combinations by which the change of one line over one stretch is told. */
export function formsOf(stretch: Stretch, earlier: number, later: number): ChangeForms {
  const { line, from, to } = stretch;
  const shares = Array.from({ length: STEPS - 1 }, (_, index) => (index + 1) / STEPS);
  const xMm = shares.map((t) => from.xMm + t * (to.xMm - from.xMm));
  const heights = xMm.map((x): readonly HeightTerm[] => [
    ...lineOverChord(line, from.xMm, to.xMm, x).map((term) => ({ ...term, survey: later })),
    ...lineOverChord(line, from.xMm, to.xMm, x).map((term) => ({ ...term, weight: -term.weight, survey: earlier })),
  ]);
  const squares = shares.reduce((sum, t) => sum + evenBow(t) ** 2, 0);
  const bow = heights.flatMap((terms, at) => terms.map((term) => ({ ...term, weight: (-term.weight * evenBow(shares[at] ?? 0)) / squares })));
  return { stretch, xMm, heights, bow: merged(bow) };
}

/** 1 in the middle and 0 at the ends. */
function evenBow(t: number): number {
  return 4 * t * (1 - t);
}

/** Terms at one place of one survey taken together. */
function merged(terms: readonly HeightTerm[]): readonly HeightTerm[] {
  const sums = new Map<string, HeightTerm>();
  for (const term of terms) {
    const key = `${term.survey}|${term.of}|${term.of === "fretTop" ? term.fret : term.xMm}`;
    const known = sums.get(key);
    sums.set(key, known === undefined ? term : { ...known, weight: known.weight + term.weight });
  }
  return [...sums.values()];
}

/** The change along one line, from draws of its heights. */
export function lineChange(together: Surveys, { stretch, xMm, bow, heights }: ChangeForms, draws: readonly Float64Array[]): LineChange {
  const neck = together.surveys[0]?.neck;
  if (neck === undefined) throw new RangeError("Cannot compare: expected two surveys or more");
  const measured = heights.map((terms) => together.linear(terms));
  const means = measured.map(({ value }) => value);
  const beside = besideBow(means);
  const at = beside.indexOf(signedExtreme(beside));
  const drawn = draws.map((draw) => besideBow([...draw]));
  return {
    status: "compared", ...stretch, bow: together.linear(bow),
    local: pickedFrom(beside, at, drawn),
    localMostMm: quantileSorted(drawn.map((line) => Math.abs(signedExtreme(line))).sort((a, b) => a - b), 0.95),
    localAt: nearestTop(neck, xMm[at] ?? stretch.from.xMm),
    bowShare: 1 - sumOfSquares(beside) / Math.max(Number.MIN_VALUE, sumOfSquares(means)),
    xMm: [stretch.from.xMm, ...xMm, stretch.to.xMm], changeMm: [0, ...means, 0], uMm: [0, ...measured.map(({ u }) => u), 0],
  };
}

/**
 * What is left at five evenly spread places of each line when the even bow that fits all lines best is taken out of their changes, mm.
 * One bow of the neck stands over a chord by the square of the chord's length.
 * @param lengthsMm of the lines' chords
 */
export function besideCommonBow(changesMm: readonly ArrayLike<number>[], lengthsMm: readonly number[]): readonly number[] {
  const longestMm = Math.max(...lengthsMm);
  const even = changesMm.map((line, index) => Array.from(line, (_, at) => ((lengthsMm[index] ?? longestMm) / longestMm) ** 2 * evenBow((at + 1) / (line.length + 1))));
  const size = changesMm.reduce((sum, line, index) => sum + (even[index] ?? []).reduce((inner, one, at) => inner + one * (line[at] ?? 0), 0), 0) / even.reduce((sum, one) => sum + sumOfSquares(one), 0);
  return changesMm.flatMap((line, index) => [1, 2, 3, 4, 5].map((part) => {
    const at = Math.round((part * (line.length + 1)) / 6) - 1;
    return (line[at] ?? NaN) - size * (even[index]?.[at] ?? NaN);
  }));
}

/** One of several values, the farthest from nothing: with the interval of a band that holds all of them at once 19 times in 20, since luck has a say in which is the farthest. */
function pickedFrom(valuesMm: readonly number[], at: number, draws: readonly (readonly number[])[]): Measured {
  const sdMm = valuesMm.map((value, place) => Math.sqrt(draws.reduce((sum, draw) => sum + ((draw[place] ?? NaN) - value) ** 2, 0) / draws.length));
  const farthest = draws.map((draw) => Math.max(...draw.map((mm, place) => ((sdMm[place] ?? 0) > 0 ? Math.abs(mm - (valuesMm[place] ?? NaN)) / (sdMm[place] ?? NaN) : 0))));
  const [value, u] = [valuesMm[at] ?? NaN, sdMm[at] ?? NaN];
  const reach = u * quantileSorted(farthest.sort((a, b) => a - b), 0.95);
  return { value, u, unit: "mm", low95: value - reach, high95: value + reach };
}

/** What is left of changes at the places when the even bow that fits them best is taken out. */
export function besideBow(changesMm: readonly number[]): readonly number[] {
  const bow = changesMm.map((_, at) => evenBow((at + 1) / (changesMm.length + 1)));
  const size = bow.reduce((sum, one, at) => sum + one * (changesMm[at] ?? 0), 0) / sumOfSquares(bow);
  return changesMm.map((change, at) => change - size * (bow[at] ?? 0));
}

function sumOfSquares(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value * value, 0);
}

