import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import type { Place } from "../readings/reading.js";
import type { HeightTerm, Survey } from "../survey/survey.js";
import { capital } from "../units/text.js";

/** The place of a fret top. */
export type TopPlace = Place & { readonly fret: number };

/** What a line was read over: the chord of its relief, from fret 1 (a zero fret is apart) to the body joint, as far as the readings reach. */
export type Span =
  | {
      readonly status: "read";
      readonly line: string;
      readonly from: TopPlace;
      readonly to: TopPlace;
      /** From fret 1 to the body joint, or to the last fret where no joint was stated. */
      readonly reached: boolean;
      /** All places read on the line, in order along the neck. */
      readonly read: readonly Place[];
    }
  | { readonly status: "undetermined"; readonly line: string; readonly need: string };

const REACHED_MM = 0.01;
/** A shorter stretch of the neck says nothing of its relief: a few neighbouring frets are high or low frets. */
const LEAST_SHARE = 0.5;

/** The spans of all lines that were read, bass first. */
export function spansOf(survey: Survey): readonly Span[] {
  const determined = survey.datum.map(({ line }) => line);
  const without = [...new Set(survey.undetermined.map((gap) => gap.line))].filter((line) => !determined.includes(line));
  return survey.neck.lines.flatMap(({ name }): readonly Span[] => {
    if (determined.includes(name)) return [spanOf(survey, name)];
    const need = survey.undetermined.find((gap) => gap.line === name)?.need ?? "";
    return without.includes(name) ? [{ status: "undetermined", line: name, need }] : [];
  });
}

function spanOf(survey: Survey, line: string): Span {
  const read = survey.heights.filter((height) => height.line === line).map(({ place }) => place);
  const [from, to] = chordEnds(survey.neck, read);
  const between = read.filter((place) => place.xMm > (from?.xMm ?? Infinity) && place.xMm < (to?.xMm ?? -Infinity));
  const edged = survey.sheet.settings.some((setting) => setting.path.kind === "along" && setting.path.line === line);
  if (from === undefined || to === undefined || between.length === 0 || !edged || to.xMm - from.xMm < LEAST_SHARE * wholeSpanMm(survey.neck)) {
    const joint = survey.neck.bodyJoint === undefined ? "the last fret" : `the body joint (fret ${survey.neck.bodyJoint})`;
    return { status: "undetermined", line, need: `read a gap on the ${line} line between fret 1 and ${joint}, under an edge that rests on frets at or beyond both` };
  }
  return { status: "read", line, from, to, read, reached: from.fret === 1 && to.fret === (survey.neck.bodyJoint ?? survey.neck.frets) };
}

/** Fret 1 and the body joint, or the frets next to them inside what was read. */
function chordEnds(neck: Neck, read: readonly Place[]): readonly [TopPlace | undefined, TopPlace | undefined] {
  const [first = Infinity, last = -Infinity] = [read[0]?.xMm, read.at(-1)?.xMm];
  const reached = allTops(neck).filter(({ fret, xMm }) => fret > 0 && fret <= (neck.bodyJoint ?? Infinity) && xMm > first - REACHED_MM && xMm < last + REACHED_MM);
  return [reached[0], reached.at(-1)];
}

/** From fret 1 to the body joint, or to the last fret where no joint was stated, mm. */
export function wholeSpanMm(neck: Neck): number {
  const tops = allTops(neck).filter(({ fret }) => fret > 0 && fret <= (neck.bodyJoint ?? Infinity));
  return (tops.at(-1)?.xMm ?? 0) - (tops[0]?.xMm ?? 0);
}

/** All fret tops of a neck as places, in order. */
export function allTops(neck: Neck): readonly TopPlace[] {
  return fretTops(neck).map((fret) => ({ label: String(fret), xMm: fretDistanceMm(neck.scaleLengthMm, fret), fret }));
}

/** The fret top nearest to a distance from the nut. */
export function nearestTop(neck: Neck, xMm: number): TopPlace {
  return allTops(neck).reduce((best, top) => (Math.abs(top.xMm - xMm) < Math.abs(best.xMm - xMm) ? top : best));
}

/** `Bass line`. */
export function named(line: string): string {
  return `${capital(line)} line`;
}

/** `frets 1 to 16`, with a remark where the readings do not reach that far. */
export function spanWords({ from, to, reached }: { readonly from: Place; readonly to: Place; readonly reached: boolean }): string {
  return `frets ${from.label} to ${to.label}${reached ? "" : " (as far as was read)"}`;
}

/** The smooth line at x over the straight line through it at two other places: positive where it stands above. */
export function lineOverChord(line: string, fromMm: number, toMm: number, xMm: number): readonly HeightTerm[] {
  const t = (xMm - fromMm) / (toMm - fromMm);
  return [
    { of: "neckLine", line, xMm, weight: 1 },
    { of: "neckLine", line, xMm: fromMm, weight: t - 1 },
    { of: "neckLine", line, xMm: toMm, weight: -t },
  ];
}

/** A fret top over the straight line through two other fret tops: positive where it stands above. */
export function topOverChord(line: string, from: TopPlace, to: TopPlace, at: TopPlace): readonly HeightTerm[] {
  const t = (at.xMm - from.xMm) / (to.xMm - from.xMm);
  return [
    { of: "fretTop", line, fret: at.fret, weight: 1 },
    { of: "fretTop", line, fret: from.fret, weight: t - 1 },
    { of: "fretTop", line, fret: to.fret, weight: -t },
  ];
}

/** All weights times a factor. */
export function scaled(factor: number, terms: readonly HeightTerm[]): readonly HeightTerm[] {
  return terms.map((term) => ({ ...term, weight: factor * term.weight }));
}
