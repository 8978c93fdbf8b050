import { fretDistanceMm } from "../../neck/frets.js";
import type { Neck } from "../../neck/neck.js";
import type { HeightTerm, Survey } from "../../survey/survey.js";
import { normalMm, type Measured } from "../../units/measured.js";
import type { BowSpan } from "../beam/span.js";
import { reliefOf } from "../cases/straining.js";
import { influenceOf, type BowSetup } from "../model/setup.js";
import { drawWork, prepareWork } from "../sequence/draw.js";
import { STAGE_WORDS, type OrderOfWork, type StageName } from "../sequence/work.js";
import { causesUntil } from "../uncertainty/band.js";
import type { BowPrediction } from "./belief.js";
import type { BowObservation } from "./calibrate.js";

/**
 * What was read of a neck at one stage of its work: a survey, or one bow in mm (forward bow positive) with its give or take, over the whole board or
 * from fret 1 to the body joint.
 */
export type BowReading = { readonly after: StageName; readonly work: OrderOfWork } & ({ readonly survey: Survey } | { readonly reliefMm: number; readonly giveOrTakeMm: number });

/** Give or take is half a 95 % interval. */
const TWO_SIDED = 1.96;

/**
 * A reading as calibration takes it: what was measured, and how it follows from the unknowns. Of a survey the mean over its lines counts,
 * at the fret nearest the middle of what it reaches.
 * @throws {RangeError} a survey of another neck or one that determines no line over half of it, a stage that the work does not have
 */
export function observationOf(setup: BowSetup, reading: BowReading): BowObservation {
  const of = STAGE_WORDS[reading.after];
  if ("reliefMm" in reading) {
    const span = reading.after === "fretted board" ? setup.boardSpan : setup.span;
    return { of, measured: normalMm(reading.reliefMm, reading.giveOrTakeMm / TWO_SIDED), predictMm: reliefOver(setup, reading.work, reading.after, span) };
  }
  if (reading.survey.neck.name !== setup.neck.name) throw new RangeError(`Cannot learn ${setup.neck.name} from a survey of ${reading.survey.neck.name}: expected readings of the same neck (a batch's next neck takes what is shared by its belief)`);
  const span = surveyedSpan(reading.survey, setup.neck);
  const measured = meanRelief(reading.survey, span);
  const edge = edgeOf(reading.survey, span, measured);
  return { of, measured, ...(edge === undefined ? {} : { shared: edge }), predictMm: reliefOver(setup, reading.work, reading.after, span) };
}

/** Relief over any span at a stage as a function of the unknowns. */
export function reliefOver(setup: BowSetup, work: OrderOfWork, after: StageName, span: BowSpan): BowPrediction {
  const prepared = prepareWork(setup, work);
  const influence = influenceOf(setup.grid, span);
  const counted = causesUntil(prepared, after);
  return (unknowns) => {
    drawWork(prepared, unknowns);
    return counted.reduce((sum, index) => {
      const straining = prepared.strainings[index];
      return straining === undefined ? sum : sum + reliefOf(influence, straining);
    }, 0);
  };
}

/** The frets that all determined lines reach, no farther than the body joint, and the fret nearest to mid-way. */
function surveyedSpan(survey: Survey, neck: Neck): BowSpan {
  const at = (fret: number): number => fretDistanceMm(neck.scaleLengthMm, fret);
  const fromMm = Math.max(...survey.lines.map((line) => line.xMm[0] ?? Infinity));
  const toMm = Math.min(...survey.lines.map((line) => line.xMm.at(-1) ?? -Infinity));
  const frets = Array.from({ length: neck.bodyJoint ?? neck.frets }, (_, index) => index + 1).filter((fret) => at(fret) > fromMm - 0.01 && at(fret) < toMm + 0.01);
  const [first, last] = [frets[0], frets.at(-1)];
  const whole = at(neck.bodyJoint ?? neck.frets) - at(1);
  if (survey.lines.length === 0 || first === undefined || last === undefined || at(last) - at(first) < whole / 2) {
    throw new RangeError(`Cannot learn from the survey "${survey.sheet.stage}" of ${survey.neck.name}: its readings determine no line over half of the neck (read a gap between fret 1 and fret ${neck.bodyJoint ?? neck.frets} under an edge that rests on both)`);
  }
  const middle = (at(first) + at(last)) / 2;
  const nearest = frets.reduce((best, fret) => (Math.abs(at(fret) - middle) < Math.abs(at(best) - middle) ? fret : best));
  return { fromMm: at(first), toMm: at(last), middleMm: at(nearest), middleFret: nearest, words: `frets ${first} to ${last}` };
}

function meanRelief(survey: Survey, { fromMm, toMm, middleMm }: BowSpan): Measured {
  const t = (middleMm - fromMm) / (toMm - fromMm);
  const share = 1 / survey.lines.length;
  return survey.linear(survey.lines.flatMap(({ line }): readonly HeightTerm[] => [
    { of: "neckLine", line, xMm: fromMm, weight: share * (1 - t) }, { of: "neckLine", line, xMm: toMm, weight: share * t }, { of: "neckLine", line, xMm: middleMm, weight: -share },
  ]));
}

/** The bow of the edge is the same in every survey that it made: spread evenly within its tolerance, over the square of the share of its length that was used. */
function edgeOf(survey: Survey, span: BowSpan, measured: Measured): BowObservation["shared"] {
  const tools = [...new Map(survey.sheet.settings.map(({ tool }) => [`${tool.name} ${tool.lengthMm}`, tool])).entries()];
  const [only, ...others] = tools;
  if (only === undefined || others.length > 0) return undefined;
  const [error, { straightnessToleranceMm, lengthMm }] = only;
  return { error, uMm: Math.min(0.95 * measured.u, (straightnessToleranceMm / Math.sqrt(3)) * ((span.toMm - span.fromMm) / lengthMm) ** 2) };
}
