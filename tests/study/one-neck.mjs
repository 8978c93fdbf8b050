/** One invented neck, surveyed, adjusted, and each answer set beside the truth. */
import { fretDistanceMm } from "../../dist/neck/frets.js";
import { withBuild } from "../../dist/invented/build.js";
import { woodSettings } from "../../dist/invented/looks.js";
import { inventedNeck } from "../../dist/invented/neck.js";
import { inventedOperator } from "../../dist/invented/operator.js";
import { planFor } from "../../dist/invented/plan.js";
import { inventedReadings } from "../../dist/invented/readings.js";
import { inventedSheet } from "../../dist/invented/sheet.js";
import { inventedStream } from "../../dist/invented/stream.js";
import { trueHighMm, trueOverChordMm, trueReliefMm } from "../../dist/invented/truth.js";
import { reliefs } from "../../dist/shape/relief.js";
import { adjust } from "../../dist/survey/adjust.js";
import { adjustTold } from "../../dist/survey/adjustTold.js";

/** A fret this far over the smooth line is called high (common practice, no source). */
export const LIMIT_MM = 0.03;
const NORMAL_95 = 1.959963984540054;

/**
 * Neck number `number` of a family with its readings: the same for the same seed, whatever else is studied and whoever works it out.
 * @param {object} change `spread` of the neck, `alter` (truth to truth), `operator` and `plan` of the readings, `stated` (what the sheet states of them, against the truth),
 * `woodLines` (lines along which the wood is read too)
 */
export function madeNeck(seed, family, number, change = {}) {
  const drawn = inventedNeck(inventedStream(seed, `${family}/neck`, number), family, change.spread);
  const altered = change.alter === undefined ? drawn : change.alter(drawn, inventedStream(seed, `${family}/alter`, number));
  const wood = inventedStream(seed, `${family}/wood`, number);
  const truth = change.woodLines === undefined ? altered : withBuild(altered, wood);
  const hand = inventedStream(seed, `${family}/operator`, number);
  const operator = inventedOperator(hand, change.operator);
  const plan = { ...planFor(family, hand), ...change.plan };
  const readings = inventedReadings(truth, operator, hand, plan);
  const sheet = inventedSheet(truth.neck, change.stated === undefined ? operator : change.stated(operator), readings);
  const onWood = change.woodLines?.flatMap((line) => woodSettings(truth, operator, wood, line)) ?? [];
  return { truth, operator, plan, readings, sheet: { ...sheet, settings: [...sheet.settings, ...onWood] } };
}

/** Adjusts one neck and sets each answer beside the truth; `withRelief` and `withTold` cost time and may be left out. */
export function judgedNeck(seed, family, number, change, { withRelief = true, withTold = true } = {}) {
  const { truth, sheet, plan } = madeNeck(seed, family, number, change);
  const from = performance.now();
  const survey = adjusted(truth.neck, sheet);
  const adjustMs = performance.now() - from;
  if (survey === undefined) return undefined;
  const found = withRelief ? reliefs(survey) : [];
  const told = withTold ? adjustTold(truth.neck, sheet, { seatingMm: trueSeatingMm(truth), farOut: (fret) => farOut(truth, fret) !== "no" }) : undefined;
  const determined = found.filter((relief) => relief.status === "determined");
  return {
    number, adjustMs,
    asked: plan.lines?.length ?? truth.neck.lines.length,
    zone: truth.zones[0]?.of ?? "none",
    threeReadings: plan.frets === "three",
    readsEveryFret: plan.frets === "every",
    determined: determined.length,
    reliefs: determined.map((relief) => judgedRelief(truth, relief)),
    heights: survey.heights.map((height) => judgedHeight(truth, survey, height)).filter((height) => height !== undefined),
    highs: judgedHighs(truth, survey, told),
    named: survey.blunders.length,
    roughnessMm: survey.spreads.roughness.valueMm, seatingMm: survey.spreads.seating.valueMm,
  };
}

/** An adjustment that throws is counted, not hidden: see `refused` in the study. */
export function adjusted(neck, sheet) {
  try {
    return adjust(neck, sheet);
  } catch (error) {
    console.error(`neck not adjusted: ${error instanceof Error ? error.message : String(error)}`);
    return undefined;
  }
}

function judgedRelief(truth, { line, relief, from, to }) {
  const trueMm = trueReliefMm(truth, line, from.fret, to.fret).reliefMm;
  return { errorMm: relief.value - trueMm, uMm: relief.u, halfMm: (relief.high95 - relief.low95) / 2, covered: relief.low95 <= trueMm && trueMm <= relief.high95 };
}

function judgedHeight(truth, survey, { line, place, heightMm, uMm }) {
  const { from, to } = survey.datum.find((datum) => datum.line === line);
  if (place.fret === from.fret || place.fret === to.fret) return undefined;
  const errorMm = heightMm - trueOverChordMm(truth, line, place.fret, from.fret, to.fret);
  return { errorMm, uMm, farOut: farOut(truth, place.fret), covered: Math.abs(errorMm) <= NORMAL_95 * uMm };
}

function judgedHighs(truth, survey, told) {
  const overLine = ({ line, place }) => [{ of: "fretTop", line, fret: place.fret, weight: 1 }, { of: "neckLine", line, xMm: fretDistanceMm(truth.neck.scaleLengthMm, place.fret), weight: -1 }];
  const highs = survey.linearAll(survey.heights.map(overLine));
  return survey.heights.map((height, index) => judgedHigh(truth, survey, told, height, highs[index]));
}

function judgedHigh(truth, survey, told, { line, place }, high) {
  const trueMm = trueHighMm(truth, line, place.fret);
  const { from, to } = survey.datum.find((datum) => datum.line === line);
  const toldMm = told?.(line, place.fret).value;
  return {
    trueMm, errorMm: high.value - trueMm, uMm: high.u, flagged: high.value > LIMIT_MM, covered: high.low95 <= trueMm && trueMm <= high.high95,
    farOut: farOut(truth, place.fret), inZone: survey.zones.some((zone) => place.fret >= zone.fromFret && place.fret <= zone.toFret), atEnd: place.fret <= from.fret + 1 || place.fret >= to.fret - 1,
    ...(toldMm === undefined ? {} : { toldErrorMm: toldMm - trueMm, toldFlagged: toldMm > LIMIT_MM }),
  };
}

/** Standard deviation of the frets that were not drawn far out. */
function trueSeatingMm({ seating }) {
  const level = seating.filter((seat) => seat.farOut === "no").map((seat) => seat.wholeMm);
  return Math.max(0.001, Math.sqrt(level.reduce((sum, mm) => sum + mm * mm, 0) / Math.max(1, level.length)));
}

/** What a fret was drawn as: `no`, `high`, `high at an end`, `lifted end`, or `zone` for one that stands up with its neighbours. */
export function farOut(truth, fret) {
  const zone = truth.zones.some((one) => one.of === "frets" && fret >= one.fromFret && fret <= one.toFret);
  return zone ? "zone" : (truth.seating.find((seat) => seat.fret === fret)?.farOut ?? "no");
}
