import type { Neck } from "../neck/neck.js";
import { fretDistanceMm } from "../neck/frets.js";
import type { Place } from "../readings/reading.js";
import type { Measured } from "../units/measured.js";
import type { Explanation } from "./explanation.js";
import { measuredSmoothForms } from "./functional.js";
import type { Usable } from "./model/stations.js";
import type { HeightTerm, Survey } from "./survey.js";
import { termsForm } from "./terms.js";

/** How one line changed between two surveys, over the chord of the outermost places that both determine; positive: now higher, away from the back. */
export type LineShift = {
  readonly line: string;
  readonly from: Place;
  readonly to: Place;
  readonly xMm: readonly number[];
  readonly changeMm: readonly number[];
  /** Standard uncertainty of each change; neighbours are correlated. */
  readonly uMm: readonly number[];
  /** The change at any x between the ends of the chord, as terms for `linear` and `draws`. Minus the change in the middle is a change toward forward bow. */
  readonly at: (xMm: number) => readonly HeightTerm[];
};

/** How a fret that was reseated between two surveys stands off the neck line now, against how it stood, mm; positive: now higher. */
export type FretShift = { readonly line: string; readonly fret: number; readonly change: Measured };

/** The change from one survey to another. */
export type Difference = {
  /** Positions of the two surveys in the order of the sheets. */
  readonly from: number;
  readonly to: number;
  readonly lines: readonly LineShift[];
  /** Frets taken as reseated; all others stand off the line as they did. */
  readonly frets: readonly FretShift[];
  /** Lines whose change is not determined, with the reading that would fix it. */
  readonly undetermined: readonly { readonly line: string; readonly need: string }[];
};

/** The change between two of the surveys adjusted together. @throws {RangeError} a position that is none */
export function differenceOf(neck: Neck, usable: Usable, explanations: readonly Explanation[], surveys: readonly Survey[], from: number, to: number): Difference {
  const [before, after] = [surveys[from], surveys[to]];
  if (before === undefined || after === undefined || from === to) throw new RangeError(`Cannot compare survey ${from} with survey ${to}: expected two different positions from 0 to ${surveys.length - 1}`);
  const spans = neck.lines.map(({ name }) => ({ line: name, span: commonSpan(before, after, name) }));
  return {
    from, to,
    lines: spans.flatMap(({ line, span }) => (span === undefined ? [] : [lineChange(explanations, before, after, line, span, [from, to])])),
    frets: fretShifts(neck, usable, explanations, [from, to]),
    undetermined: spans.flatMap(({ line, span }) => (span === undefined && isReadIn(before, after, line) ? [{ line, need: needFor(before, after, line) }] : [])),
  };
}

type Span = { readonly from: Place; readonly to: Place };

/** The outermost places that both surveys determine, with one or more of each between. */
function commonSpan(before: Survey, after: Survey, line: string): Span | undefined {
  const places = [before, after].map((survey) => survey.heights.filter((height) => height.line === line).map(({ place }) => place));
  const [a = [], b = []] = places;
  const fromMm = Math.max(a[0]?.xMm ?? NaN, b[0]?.xMm ?? NaN);
  const toMm = Math.min(a.at(-1)?.xMm ?? NaN, b.at(-1)?.xMm ?? NaN);
  const all = [...a, ...b];
  const [from, to] = [all.find(({ xMm }) => xMm === fromMm), all.find(({ xMm }) => xMm === toMm)];
  const isBetween = places.every((of) => of.some(({ xMm }) => xMm > fromMm && xMm < toMm));
  return from === undefined || to === undefined || !isBetween ? undefined : { from, to };
}

function lineChange(explanations: readonly Explanation[], before: Survey, after: Survey, line: string, span: Span, pair: readonly [number, number]): LineShift {
  const within = [before, after].flatMap((survey) => survey.lines.filter((profile) => profile.line === line).flatMap(({ xMm }) => xMm)).filter((xMm) => xMm >= span.from.xMm && xMm <= span.to.xMm);
  const xMm = [...new Set(within)].sort((a, b) => a - b);
  const at = (x: number): readonly HeightTerm[] => changeTerms(line, span, x, pair);
  const changes = measuredSmoothForms(explanations, xMm.map((x) => termsForm(at(x))));
  return { line, ...span, xMm, changeMm: changes.map(({ value }) => value), uMm: changes.map(({ u }) => u), at };
}

function changeTerms(line: string, { from, to }: Span, xMm: number, [before, after]: readonly [number, number]): readonly HeightTerm[] {
  const t = (xMm - from.xMm) / (to.xMm - from.xMm);
  const overChord = ([[xMm, 1], [from.xMm, t - 1], [to.xMm, -t]] as const).filter(([, weight]) => weight !== 0);
  return ([[after, 1], [before, -1]] as const).flatMap(([survey, sign]) => overChord.map(([x, weight]): HeightTerm => ({ of: "neckLine", line, xMm: x, weight: sign * weight, survey })));
}

function fretShifts(neck: Neck, usable: Usable, explanations: readonly Explanation[], [from, to]: readonly [number, number]): readonly FretShift[] {
  const [early, late] = [Math.min(from, to), Math.max(from, to)];
  const anew = (usable.reseats ?? []).filter(({ survey }) => survey > early && survey <= late);
  const frets = [...new Map(anew.flatMap(({ line, station }) => {
    const fret = usable.stations[station]?.fret;
    return fret === undefined || !isLineIn(usable, line, from) || !isLineIn(usable, line, to) ? [] : [[`${line} ${fret}`, { line, fret }] as const];
  })).values()];
  const changes = measuredSmoothForms(explanations, frets.map(({ line, fret }) => termsForm(([[to, 1], [from, -1]] as const).flatMap(([survey, sign]): readonly HeightTerm[] => [
    { of: "fretTop", line, fret, weight: sign, survey }, { of: "neckLine", line, xMm: fretDistanceMm(neck.scaleLengthMm, fret), weight: -sign, survey },
  ]))));
  return frets.flatMap(({ line, fret }, index) => {
    const change = changes[index];
    return change === undefined ? [] : [{ line, fret, change }];
  });
}

function isLineIn(usable: Usable, line: string, survey: number): boolean {
  return usable.linesBySurvey?.[survey]?.includes(line) === true;
}

function isReadIn(before: Survey, after: Survey, line: string): boolean {
  return [before, after].some((survey) => survey.datum.some((datum) => datum.line === line) || survey.undetermined.some((gap) => gap.line === line));
}

function needFor(before: Survey, after: Survey, line: string): string {
  const open = [before, after].flatMap((survey) => survey.undetermined.filter((gap) => gap.line === line && gap.at === undefined));
  return open[0]?.need ?? `read the ${line} line again at the places where the other survey has it: three or more under one edge`;
}
