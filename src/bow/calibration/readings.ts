import { fretDistanceMm } from "../../neck/frets.js";
import type { Neck } from "../../neck/neck.js";
import type { HeightTerm, Survey } from "../../survey/survey.js";
import { mannerOf } from "../../survey/model/paths.js";
import { edgeSpread } from "../../survey/model/sag.js";
import { NORMAL_95, normalMm, type Measured } from "../../units/measured.js";
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

/**
 * A reading as calibration takes it: what was measured, and how it follows from the unknowns. Of a survey the mean over its lines counts,
 * at the fret nearest the middle of what it reaches.
 * @throws {RangeError} a bow that is no number, a survey of another neck or one that determines no line over half of it, a stage that the work does not have
 */
export function observationOf(setup: BowSetup, reading: BowReading): BowObservation {
  const of = STAGE_WORDS[reading.after];
  if ("reliefMm" in reading) {
    if (!(Number.isFinite(reading.reliefMm) && reading.giveOrTakeMm > 0 && reading.giveOrTakeMm < Infinity)) throw new RangeError(`Cannot learn from "${of}": expected a finite bow in mm with a give or take above 0, got ${reading.reliefMm} mm, give or take ${reading.giveOrTakeMm}`);
    const span = reading.after === "fretted board" ? setup.boardSpan : setup.span;
    return { of, measured: normalMm(reading.reliefMm, reading.giveOrTakeMm / NORMAL_95), predictMm: reliefOver(setup, reading.work, reading.after, span) };
  }
  if (reading.survey.neck.name !== setup.neck.name) throw new RangeError(`Cannot learn ${setup.neck.name} from a survey of ${reading.survey.neck.name}: expected readings of the same neck (a batch's next neck takes what is shared by its belief)`);
  const span = surveyedSpan(reading.survey, setup.neck);
  const measured = meanRelief(reading.survey, span);
  return { of, measured, shared: edgesOf(reading.survey, span, measured), predictMm: reliefOver(setup, reading.work, reading.after, span) };
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

/**
 * The bow of an edge is the same in every survey that it made. Its part in a relief goes by the share of the readings that were taken under it, and by the square of
 * the share of its length that was used; how large it may be says its certificate, or else its tolerance. Tools that tell nothing of the line (gauges on single frets,
 * leaves under a crown, sights) have no part in it.
 */
function edgesOf(survey: Survey, span: BowSpan, measured: Measured): NonNullable<BowObservation["shared"]> {
  const settings = survey.sheet.settings.filter((setting) => setting.path.kind === "along" && mannerOf(setting) === "edge" && (setting.surface === "fretTops" || setting.surface === "wood"));
  const all = settings.reduce((sum, { readings }) => sum + readings.length, 0);
  const edges = [...new Map(settings.map(({ tool }) => [`${tool.name} ${tool.lengthMm}`, tool])).entries()].map(([error, tool]) => {
    const under = settings.filter((setting) => `${setting.tool.name} ${setting.tool.lengthMm}` === error).reduce((sum, { readings }) => sum + readings.length, 0);
    return { error, uMm: (under / Math.max(1, all)) * edgeSpread(tool).evenMm * ((span.toMm - span.fromMm) / tool.lengthMm) ** 2 };
  });
  const most = Math.min(1, (MOST_SHARED * measured.u) / Math.max(Number.MIN_VALUE, Math.hypot(...edges.map(({ uMm }) => uMm))));
  return edges.map(({ error, uMm }) => ({ error, uMm: most * uMm }));
}

/** The edges' part cannot be all of a measurement's uncertainty. */
const MOST_SHARED = 0.95;
