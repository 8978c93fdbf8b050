import { fretDistanceMm } from "../../dist/neck/frets.js";
import { inventedNeck } from "../../dist/invented/neck.js";
import { inventedOperator } from "../../dist/invented/operator.js";
import { planFor } from "../../dist/invented/plan.js";
import { inventedReadings } from "../../dist/invented/readings.js";
import { inventedSheet } from "../../dist/invented/sheet.js";
import { inventedStream } from "../../dist/invented/stream.js";
import { trueHighMm, trueOverChordMm, trueReliefMm } from "../../dist/invented/truth.js";
import { reliefs } from "../../dist/shape/relief.js";
import { adjust } from "../../dist/survey/adjust.js";

/** A fret this far over the smooth line is called high (common practice, no source). */
const LIMIT_MM = 0.03;

/** Neck number `number` of a family with its readings: the same for the same seed, whatever else is studied. */
export function madeNeck(seed, family, number, change = {}) {
  const truth = inventedNeck(inventedStream(seed, `${family}/neck`, number), family);
  const hand = inventedStream(seed, `${family}/operator`, number);
  const operator = inventedOperator(hand, change.operator);
  const plan = { ...planFor(family, hand), ...change.plan };
  const readings = inventedReadings(truth, operator, hand, plan);
  return { truth, operator, plan, readings, sheet: inventedSheet(truth.neck, operator, readings) };
}

/** Adjusts one neck and sets each answer beside the truth. */
export function judgedNeck(seed, family, number, change) {
  const made = madeNeck(seed, family, number, change);
  const { truth, sheet, plan } = made;
  const start = performance.now();
  const survey = adjusted(truth.neck, sheet);
  const adjustMs = performance.now() - start;
  if (survey === undefined) return undefined;
  const found = reliefs(survey);
  const reliefMs = performance.now() - start - adjustMs;
  const asked = plan.lines?.length ?? truth.neck.lines.length;
  return {
    number, adjustMs, reliefMs, asked,
    zone: truth.zones[0]?.of ?? "none",
    threeReadings: plan.frets === "three",
    determined: found.filter((relief) => relief.status === "determined").length,
    reliefs: found.filter((relief) => relief.status === "determined").map((relief) => judgedRelief(truth, relief)),
    heights: survey.heights.map((height) => judgedHeight(truth, survey, height)).filter((height) => height !== undefined),
    highs: survey.heights.map((height) => judgedHigh(truth, survey, height)),
    blunders: survey.blunders.map((blunder) => blunder.sentence),
    spreads: survey.spreads,
  };
}

/** An adjustment that throws is counted, not hidden: see `refused` in the study. */
function adjusted(neck, sheet) {
  try {
    return adjust(neck, sheet);
  } catch (error) {
    console.error(`neck not adjusted: ${error instanceof Error ? error.message : String(error)}`);
    return undefined;
  }
}

function judgedRelief(truth, { line, relief, from, to, probabilityForward }) {
  const trueMm = trueReliefMm(truth, line, from.fret, to.fret).reliefMm;
  return { line, trueMm, errorMm: relief.value - trueMm, uMm: relief.u, halfMm: (relief.high95 - relief.low95) / 2, covered: relief.low95 <= trueMm && trueMm <= relief.high95, probabilityForward };
}

function judgedHeight(truth, survey, { line, place, heightMm, uMm }) {
  const { from, to } = survey.datum.find((datum) => datum.line === line);
  if (place.fret === from.fret || place.fret === to.fret) return undefined;
  const errorMm = heightMm - trueOverChordMm(truth, line, place.fret, from.fret, to.fret);
  return { line, fret: place.fret, errorMm, uMm, farOut: farOut(truth, place.fret), covered: Math.abs(errorMm) <= 1.959963984540054 * uMm };
}

function judgedHigh(truth, survey, { line, place }) {
  const xMm = fretDistanceMm(truth.neck.scaleLengthMm, place.fret);
  const high = survey.linear([{ of: "fretTop", line, fret: place.fret, weight: 1 }, { of: "neckLine", line, xMm, weight: -1 }]);
  const trueMm = trueHighMm(truth, line, place.fret);
  const { from, to } = survey.datum.find((datum) => datum.line === line);
  return {
    line, fret: place.fret, trueMm, errorMm: high.value - trueMm, uMm: high.u, flagged: high.value > LIMIT_MM,
    farOut: farOut(truth, place.fret), covered: high.low95 <= trueMm && trueMm <= high.high95,
    atEnd: place.fret <= from.fret + 1 || place.fret >= to.fret - 1,
  };
}

function farOut(truth, fret) {
  const zone = truth.zones.some((one) => one.of === "frets" && fret >= one.fromFret && fret <= one.toFret);
  return zone ? "zone" : truth.seating.find((seat) => seat.fret === fret).farOut;
}
