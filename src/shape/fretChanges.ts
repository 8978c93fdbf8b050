import { fretDistanceMm } from "../neck/frets.js";
import { normalQuantile } from "../survey/likelihood/normal.js";
import type { HeightTerm, Survey } from "../survey/survey.js";
import { NORMAL_95 } from "../units/measured.js";
import type { Measured } from "../units/measured.js";
import type { FretChange } from "./comparisonResult.js";

/** The level at which one of all frets is told to stand otherwise than before, though none does. */
const LEVEL = 0.05;
/** A change smaller than this is of no use to know (common practice, no source). */
const LEAST_MM = 0.015;

/** Frets read in both surveys that stand otherwise over the neck line than before, beyond what chance gives one of all of them; most surely first. */
export function fretChanges(before: Survey, after: Survey, changeOf: (line: string, fret: number) => Measured): readonly FretChange[] {
  const readIn = (survey: Survey, line: string): readonly number[] => survey.heights.flatMap((height) => (height.line === line && height.place.fret !== undefined ? [height.place.fret] : []));
  const tops = before.neck.lines.flatMap(({ name }) => readIn(before, name).filter((fret) => readIn(after, name).includes(fret)).map((fret) => ({ line: name, fret })));
  const limit = normalQuantile(1 - LEVEL / (2 * Math.max(1, tops.length)));
  return tops
    .map(({ line, fret }) => ({ line, fret, up: changeOf(line, fret) }))
    .filter(({ up }) => Math.abs(up.value) > Math.max(LEAST_MM, limit * up.u))
    .sort((a, b) => Math.abs(b.up.value) / b.up.u - Math.abs(a.up.value) / a.up.u);
}

/** Frets that stand otherwise, from two surveys that were adjusted each for itself: an edge's own bow shows in the neck line and not in a single fret. */
export function fretChangesApart(before: Survey, after: Survey): readonly FretChange[] {
  return fretChanges(before, after, (line, fret) => {
    const [then, now] = [before, after].map((survey) => survey.linear(standing(survey, line, fret)));
    const [value, u] = [(now?.value ?? NaN) - (then?.value ?? NaN), Math.hypot(now?.u ?? NaN, then?.u ?? NaN)];
    return { value, u, unit: "mm", low95: value - NORMAL_95 * u, high95: value + NORMAL_95 * u };
  });
}

/** A fret over the smooth neck line at its place. */
export function standing({ neck }: Pick<Survey, "neck">, line: string, fret: number): readonly HeightTerm[] {
  return [
    { of: "fretTop", line, fret, weight: 1 },
    { of: "neckLine", line, xMm: fretDistanceMm(neck.scaleLengthMm, fret), weight: -1 },
  ];
}
