import { quantileSorted, sampleStandardDeviation } from "simple-statistics";
import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Measured } from "../units/measured.js";
import { bowWords, measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import type { Place } from "../readings/reading.js";
import type { HeightTerm, NextReading, Survey } from "../survey/survey.js";

/** What is meant by relief; `neckLine`: the smooth line of the fret tops against its own chord, high and low frets apart. */
export type ReliefDefinition = "neckLine";

/**
 * Relief of one line. Positive is forward bow (middle low), negative back bow (middle high).
 * `at` is the fret nearest to where the line lies farthest from its chord.
 */
export type Relief =
  | {
      readonly status: "determined";
      readonly line: string;
      readonly definition: ReliefDefinition;
      readonly relief: Measured;
      readonly at: Place;
      readonly from: Place;
      readonly to: Place;
      /** The readings reach from fret 1 to the body joint, or to the last fret where no joint was stated. */
      readonly reached: boolean;
      /** Probability that the relief is forward bow. */
      readonly probabilityForward: number;
      readonly next: NextReading;
      /** Where, how much and which way, give or take, in a builder's words. */
      readonly describe: (order?: UnitOrder) => string;
    }
  | { readonly status: "undetermined"; readonly line: string; readonly definition: ReliefDefinition; readonly need: string; readonly describe: () => string };

const DRAWS = 2000;
const SEED = 20_26;
/** Places along the span at which the line is compared with its chord. */
const STEPS = 32;
const REACHED_MM = 0.01;
/** A shorter stretch of the neck says nothing of its relief: a few neighbouring frets are high or low frets. */
const LEAST_SHARE = 0.5;

/**
 * Relief of every line that was read. The chord runs from fret 1 (a zero fret is apart) to the body joint, or to the last fret where no
 * joint was stated, as far as the readings reach: the smooth line is known between readings too, so neither end need have been read itself.
 * The value is the median, the interval the central 95 % of joint draws of the line's signed extreme, so that an almost
 * straight neck is not called bowed by the choice of its largest deviation.
 */
export function reliefs(survey: Survey): readonly Relief[] {
  const determined = survey.datum.map(({ line }) => line);
  const without = [...new Set(survey.undetermined.map((gap) => gap.line))].filter((line) => !determined.includes(line));
  return survey.neck.lines.flatMap(({ name }): readonly Relief[] => {
    if (determined.includes(name)) return [reliefOfLine(survey, name)];
    const need = survey.undetermined.find((gap) => gap.line === name)?.need ?? "";
    return without.includes(name) ? [undeterminedRelief(name, need)] : [];
  });
}

function reliefOfLine(survey: Survey, line: string): Relief {
  const read = survey.heights.filter((height) => height.line === line).map(({ place }) => place);
  const [from, to] = chordEnds(survey, read);
  const between = read.filter((place) => place.xMm > (from?.xMm ?? Infinity) && place.xMm < (to?.xMm ?? -Infinity));
  const edged = survey.sheet.settings.some((setting) => setting.path.kind === "along" && setting.path.line === line);
  if (from === undefined || to === undefined || between.length === 0 || !edged || to.xMm - from.xMm < LEAST_SHARE * wholeSpanMm(survey)) {
    const joint = survey.neck.bodyJoint === undefined ? "the last fret" : `the body joint (fret ${survey.neck.bodyJoint})`;
    return undeterminedRelief(line, `read a gap on the ${line} line between fret 1 and ${joint}, under an edge that rests on frets at or beyond both`);
  }
  const xs = Array.from({ length: STEPS - 1 }, (_, index) => from.xMm + ((to.xMm - from.xMm) * (index + 1)) / STEPS);
  const departures = xs.map((x) => departure(line, from.xMm, to.xMm, x));
  const extremes = survey.draws(departures, DRAWS, SEED).map(signedExtreme);
  const sorted = Float64Array.from(extremes).sort();
  const relief: Measured = {
    value: quantileOf(sorted, 0.5), u: sampleStandardDeviation(extremes), unit: "mm",
    low95: quantileOf(sorted, 0.025), high95: quantileOf(sorted, 0.975),
  };
  const means = departures.map((terms) => survey.linear(terms).value);
  const deepest = means.indexOf(signedExtreme(means));
  const found = {
    status: "determined", line, definition: "neckLine", relief, from, to,
    reached: from.fret === 1 && to.fret === (survey.neck.bodyJoint ?? survey.neck.frets),
    at: nearestFret(survey, xs[deepest] ?? from.xMm),
    probabilityForward: extremes.filter((extreme) => extreme > 0).length / extremes.length,
    next: survey.nextReading(departures[deepest] ?? []),
  } as const;
  return { ...found, describe: (order: UnitOrder = "mm first") => reliefWords(found, order) };
}

function undeterminedRelief(line: string, need: string): Relief {
  return { status: "undetermined", line, definition: "neckLine", need, describe: () => `${named(line)}: not determined by these readings. To fix it: ${need}.` };
}

function reliefWords(relief: Omit<Extract<Relief, { status: "determined" }>, "describe">, order: UnitOrder): string {
  const span = `frets ${relief.from.label} to ${relief.to.label}${relief.reached ? "" : " (as far as was read)"}`;
  const { low95, high95, value } = relief.relief;
  if (low95 < 0 && high95 > 0) {
    const way = Math.max(relief.probabilityForward, 1 - relief.probabilityForward);
    const likely = way < 0.8 ? "which way it bows is open" : `probably ${bowWords(value)}`;
    return `${named(relief.line)}, ${span}: straight within what was read, ${likely}: ${measuredWords(magnitude(relief.relief), order)}.`;
  }
  return `${named(relief.line)}, ${span}: ${bowWords(value)}, ${measuredWords(magnitude(relief.relief), order)}, most at fret ${relief.at.label}.`;
}

/** Fret 1 and the body joint, or the frets next to them inside what was read. */
function chordEnds(survey: Survey, read: readonly Place[]): readonly [Place | undefined, Place | undefined] {
  const [first = Infinity, last = -Infinity] = [read[0]?.xMm, read.at(-1)?.xMm];
  const reached = allTops(survey).filter(({ fret, xMm }) => fret > 0 && fret <= (survey.neck.bodyJoint ?? Infinity) && xMm > first - REACHED_MM && xMm < last + REACHED_MM);
  return [reached[0], reached.at(-1)];
}

function wholeSpanMm(survey: Survey): number {
  const tops = allTops(survey).filter(({ fret }) => fret > 0 && fret <= (survey.neck.bodyJoint ?? Infinity));
  return (tops.at(-1)?.xMm ?? 0) - (tops[0]?.xMm ?? 0);
}

function allTops({ neck }: Survey): readonly (Place & { readonly fret: number })[] {
  return fretTops(neck).map((fret) => ({ label: String(fret), xMm: fretDistanceMm(neck.scaleLengthMm, fret), fret }));
}

/** Chord minus smooth line at x: positive where the line lies under its chord. */
function departure(line: string, fromMm: number, toMm: number, xMm: number): readonly HeightTerm[] {
  const t = (xMm - fromMm) / (toMm - fromMm);
  return [
    { of: "neckLine", line, xMm: fromMm, weight: 1 - t },
    { of: "neckLine", line, xMm: toMm, weight: t },
    { of: "neckLine", line, xMm, weight: -1 },
  ];
}

function signedExtreme(values: ArrayLike<number>): number {
  let extreme = 0;
  for (let index = 0; index < values.length; index++) {
    const value = values[index] ?? 0;
    if (Math.abs(value) > Math.abs(extreme)) extreme = value;
  }
  return extreme;
}

function nearestFret(survey: Survey, xMm: number): Place {
  return allTops(survey).reduce((best, top) => (Math.abs(top.xMm - xMm) < Math.abs(best.xMm - xMm) ? top : best));
}

function magnitude(relief: Measured): Measured {
  return relief.value < 0 ? { ...relief, value: -relief.value, low95: -relief.high95, high95: -relief.low95 } : relief;
}

function quantileOf(sorted: Float64Array, p: number): number {
  return quantileSorted(Array.from(sorted), p);
}

function named(line: string): string {
  return `${line.charAt(0).toUpperCase()}${line.slice(1)} line`;
}
