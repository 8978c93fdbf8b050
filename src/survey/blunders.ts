import type { Neck } from "../neck/neck.js";
import type { GapReading, RockerReading, SurveySheet } from "../readings/reading.js";
import { fretDistanceMm } from "../neck/frets.js";
import { middleShare } from "../readings/contact.js";
import { placeWords } from "../readings/entries.js";
import { lengthWords, writtenLengthWords } from "../units/words.js";
import { along } from "./estimation/expectationPropagation.js";
import { logEvidenceWithout, logProbabilityOfOneMore } from "./evidence.js";
import { topPoint } from "./explanation.js";
import type { Explanation } from "./explanation.js";
import { explanationsOf } from "./explanations.js";
import { measuredSmooth } from "./functional.js";
import { normalQuantile } from "./likelihood/normal.js";
import { normalLogProbability } from "./likelihood/truncatedNormal.js";
import { gapEquation, rockerEquation } from "./model/equations.js";
import type { Equation } from "./model/equations.js";
import { fretDeviationRow } from "./model/layout.js";
import { mannerOf } from "./model/paths.js";
import type { Manner } from "./model/paths.js";
import type { PlacedSetting, Usable } from "./model/stations.js";
import type { Blunder, RivalReading, Uncontrolled } from "./survey.js";

/** Chance per survey, not per reading, that a sound survey has a reading named. */
const CHANCE_PER_SURVEY = 0.01;
/** A slip counts as detectable from the size at which the test finds it four times in five, as W. Baarda 1968 has it: the normal quantile of 0.8. */
const POWER = 0.8416;
/** A slip of this size must be detectable, else the reading counts as uncontrolled. */
const SLIP_MM = 0.1;
/** More contradictions than this are not slips but a sheet to read again. */
const MOST_SLIPS = 3;
/** So many places whose readings may as well show a high fret are passed over. */
const MOST_EXCUSED = 3;
/** Up to this many readings every one is tried as the slip; in larger surveys the most contradicted ones. */
const TRY_ALL = 24;
const TRY_WORST = 6;
/** One reading alone is named as the slip when it is so sure among all that were tried, each as likely beforehand; else those that make it as sure are named with it. */
const SURE = 0.95;
/** So many rivals are named; of more it is said how many. */
const MOST_RIVALS = 3;
/** A reading is no slip against others that predict it no better than this. */
const PREDICTED_MM = 0.5;
/** Frets that stand out do so by 0.04 to 0.14 mm (common practice, no source). */
const FAR_OFF_MM = 0.15;

type Reading = GapReading | RockerReading;

/** A survey with the readings that contradict all others set aside, and those readings. */
export type Sound = { readonly usable: Usable; readonly explanations: readonly [Explanation, ...Explanation[]]; readonly blunders: readonly Blunder[] };

/**
 * Finds slips one at a time. When a reading looks contradicted, or a fret looks to stand impossibly far off, the reading without which the
 * others agree best is taken out: a slip drags its neighbours, so that the most contradicted reading is often a good one. It is named and
 * set aside only if the others, adjusted without it, do contradict it: its probability against that of the likeliest reading there, as a
 * normalised residual, exceeds the limit (1 % per survey). A fret may stand far out, so that this is no test of a normal distribution;
 * where a fret that stands high would explain the suspect, nothing that was read at its place is suspected any more, and the search goes on elsewhere.
 */
export function soundSurvey(neck: Neck, sheet: SurveySheet, all: Usable): Sound {
  let sound: Sound = { usable: all, explanations: explanationsOf(neck, sheet, all), blunders: [] };
  const excused: string[] = [];
  while (sound.blunders.length < MOST_SLIPS) {
    const [suspect, ...rivals] = likeliestSlips(sound, excused);
    if (suspect === undefined) return sound;
    const usable = without(sound.usable, suspect);
    const explanations = explanationsOf(neck, sheet, usable);
    const found = predictionWithout(neck, sheet, all, usable, explanations, suspect);
    const surprise = found === undefined ? 0 : surpriseAt(explanations[0], usable.settings.length, found);
    if (found === undefined || surprise <= limitFor(sound)) return sound;
    if (couldBeHighFret(usable, found)) {
      if (excused.length === MOST_EXCUSED) return sound;
      // a reading at another place may be a slip all the same
      excused.push(atOf(suspect));
      continue;
    }
    sound = { usable, explanations, blunders: [...sound.blunders, blunder(neck, all, { ...found, normalisedResidual: Math.sign(found.normalisedResidual) * surprise }, rivals)] };
  }
  return sound;
}

/** Readings in which a slip of 0.10 mm would not be seen, since nothing else says what they should be. */
export function uncontrolledReadings(usable: Usable, explanation: Explanation, survey: number): readonly Uncontrolled[] {
  const detectable = limitFor({ explanations: [explanation] }) + POWER;
  return predictions(explanation)
    .filter((prediction) => !("deltaMm" in prediction.reading) && !isSightedAgain(usable, prediction.reading) && surveyOf(usable, prediction.reading) === survey && isUncontrolled(prediction, detectable))
    .map(({ reading }) => ({ line: lineOf(usable, reading), at: atOf(reading), written: reading.written }));
}

/** Sightings over the same bars check one another, as far as what the eye is trusted to: a slip within that is no slip. */
function isSightedAgain(usable: Usable, reading: Reading): boolean {
  const setting = settingOf(usable, reading);
  if (setting === undefined || "deltaMm" in reading || mannerOf(setting) !== "sighting") return false;
  const over = barsOf(setting, reading);
  return usable.settings.some((other) => other.survey === setting.survey && mannerOf(other) === "sighting" && other.readings.some((again) => again !== reading && barsOf(other, again) === over));
}

/** Where the bars lay, as one word to compare. */
function barsOf({ path }: PlacedSetting, { line, place }: GapReading): string {
  const ends = path.kind === "diagonal" ? [path.from.line, path.from.at.label, path.to.line, path.to.at.label] : [path.kind];
  return [...ends, line, place.label].join(" ");
}

/** A slip must first leave the interval that was read, then stand out. */
function isUncontrolled({ uMm, sMm, halfMm }: Prediction, detectable: number): boolean {
  return halfMm + detectable * Math.hypot(uMm, sMm) > SLIP_MM;
}

/** The reading without which the others are most probable, if any reading is contradicted at all, and after it those that may be the slip in its place. */
function likeliestSlips({ usable, explanations }: Sound, excused: readonly string[]): readonly Reading[] {
  const [explanation] = explanations;
  const judged = predictions(explanation).filter(({ reading }) => !excused.includes(atOf(reading))).sort((a, b) => Math.abs(b.normalisedResidual) - Math.abs(a.normalisedResidual));
  const contradicted = judged[0] !== undefined && Math.abs(judged[0].normalisedResidual) > limitFor({ explanations });
  if (!contradicted && !standsImpossibly(explanation)) return [];
  const worst = judged.length <= TRY_ALL ? judged : judged.slice(0, TRY_WORST);
  // of a reading that nothing else predicts, the rest always seems to get on well without
  const tried = worst.filter(({ uMm }) => uMm < PREDICTED_MM).map(({ reading, equation, likeliest }) => ({ reading, gain: logEvidenceWithout(explanation, usable.settings.length, (one) => one === equation) + likeliest }));
  return mayBeTheSlip(tried);
}

/** Of readings one of which is the slip, the likeliest, from the likeliest on, that are sure to hold it. */
function mayBeTheSlip(tried: readonly { readonly reading: Reading; readonly gain: number }[]): readonly Reading[] {
  const sorted = [...tried].sort((a, b) => b.gain - a.gain);
  const top = sorted[0]?.gain ?? NaN;
  const shares = sorted.map(({ gain }) => (Number.isFinite(top) ? Math.exp(gain - top) : 1));
  const all = shares.reduce((sum, share) => sum + share, 0);
  let before = 0;
  return sorted.flatMap(({ reading }, at) => {
    const isNeeded = at === 0 || before < SURE * all;
    before += shares[at] ?? 0;
    return isNeeded ? [reading] : [];
  });
}

/** A gap too small for the rest, at a fret that nothing else was set on: a fret that is not pressed home looks just so, and is told as that. */
function couldBeHighFret(rest: Usable, { reading, normalisedResidual }: Prediction): boolean {
  if ("deltaMm" in reading || reading.place.fret === undefined || normalisedResidual > 0) return false;
  const { fret } = reading.place;
  const again = rest.settings.flatMap(({ readings }) => readings).some((other) => other.line === reading.line && other.place.fret === fret);
  return !again && !rest.rockers.some((rocker) => rocker.line === reading.line && rocker.frets[1] === fret);
}

/** Whether a fret is thought to stand farther off the line than frets do. */
function standsImpossibly(explanation: Explanation): boolean {
  const { layout } = explanation;
  const { mean } = topPoint(explanation).posterior;
  const frets = [...layout.stations.keys()].filter((station) => layout.stations[station]?.fret !== undefined);
  return layout.lines.some((line) => frets.some((station) => Math.abs(along(fretDeviationRow(layout, line, station), mean)) > FAR_OFF_MM));
}

/** How improbable a reading is, given the rest, against the likeliest reading of the same width there: z where both are normal, from exp(-z^2 / 2). */
function surpriseAt(rest: Explanation, settings: number, { likeliest, equation }: Prediction): number {
  const logProbability = logProbabilityOfOneMore(rest, settings, equation);
  return logProbability === undefined ? 0 : Math.sqrt(Math.max(0, 2 * (likeliest - logProbability)));
}

function limitFor({ explanations: [explanation] }: Pick<Sound, "explanations">): number {
  const readings = explanation.equations.filter(({ from }) => from.kind !== "contact").length;
  return normalQuantile(1 - CHANCE_PER_SURVEY / (2 * Math.max(1, readings)));
}

type Prediction = {
  readonly reading: Reading;
  readonly equation: Equation;
  readonly expectedMm: number;
  readonly uMm: number;
  readonly sMm: number;
  readonly normalisedResidual: number;
  /** Half the width of the interval read, mm; Infinity where it is open. */
  readonly halfMm: number;
  /** Log probability (or density) of a reading of this width in the middle of what is expected. */
  readonly likeliest: number;
};

/** What the prior and all other readings expect at each reading: its context. */
function predictions(explanation: Explanation): readonly Prediction[] {
  const { contexts } = topPoint(explanation).posterior;
  return explanation.equations.flatMap((equation, index): Prediction[] => {
    const context = contexts[index];
    const [mean, variance] = [context?.mean[0], context?.covariance[0]];
    return mean === undefined || variance === undefined ? [] : predicted(equation, mean, Math.sqrt(variance));
  });
}

/** What the rest, adjusted without it, expects at a reading that was taken out. */
function predictionWithout(neck: Neck, sheet: SurveySheet, whole: Usable, usable: Usable, explanations: readonly [Explanation, ...Explanation[]], reading: Reading): Prediction | undefined {
  const expected = measuredSmooth(explanations, (layout) => equationOf(neck, sheet, whole, usable, reading, layout).row);
  const [only] = predicted(equationOf(neck, sheet, whole, usable, reading, explanations[0].layout), expected.value, expected.u);
  return only;
}

/** The equation of a reading that was taken out, on the setting as it stands without it. */
function equationOf(neck: Neck, sheet: SurveySheet, whole: Usable, usable: Usable, reading: Reading, layout: Explanation["layout"]): Equation {
  if ("deltaMm" in reading) return rockerEquation(neck, layout, reading, sheet.feelMm);
  const index = whole.settings.findIndex((setting) => setting.readings.includes(reading));
  const setting = usable.settings[index];
  if (setting === undefined) throw new RangeError(`Cannot judge the reading at ${reading.place.label}: expected the setting it belongs to`);
  return gapEquation(neck, layout, setting, index, reading, sheet.feelMm);
}

function predicted(equation: Equation, mean: number, uMm: number): Prediction[] {
  if (equation.from.kind === "contact") return [];
  const { lowMm, highMm, sMm } = equation;
  const expectedMm = mean + equation.knownMm;
  const outside = expectedMm < lowMm ? lowMm - expectedMm : Math.min(0, highMm - expectedMm);
  const spread = Math.hypot(uMm, sMm);
  const halfMm = (highMm - lowMm) / 2;
  const likeliest = halfMm === 0 ? -Math.log(Math.sqrt(2 * Math.PI) * spread) : normalLogProbability(-halfMm / spread, halfMm / spread);
  return [{ reading: equation.from.reading, equation, expectedMm, uMm, sMm, halfMm, normalisedResidual: outside / spread, likeliest }];
}

/** The readings without one; places, lines and settings keep their order. */
function without(usable: Usable, reading: Reading): Usable {
  return {
    ...usable,
    settings: usable.settings.map((setting) => ({ ...setting, readings: setting.readings.filter((other) => other !== reading) })),
    rockers: usable.rockers.filter((other) => other !== reading),
  };
}

function blunder(neck: Neck, usable: Usable, { reading, expectedMm, uMm, normalisedResidual }: Prediction, rivals: readonly Reading[]): Blunder {
  const { line, at, written, source, row, column } = namedReading(usable, reading);
  const survey = surveyOf(usable, reading);
  const read = readAs(usable, reading);
  const wanted = "deltaMm" in reading
    ? rockerWanted(neck, reading, expectedMm)
    : expectedWords(expectedMm, mayBeNegative(usable, reading));
  return {
    line, at, ...(survey === 0 ? {} : { survey }), written, read, source, row, column, expectedMm, uMm, normalisedResidual, rivals: rivals.map((rival) => namedReading(usable, rival)),
    sentence: `The ${read} at ${placeWords(at)}, ${line}, was read as "${written}", but ${wanted}. It is set aside: the numbers here are without it. Read it again (${source}, row ${row}).${rivalWords(usable, rivals)}`,
  };
}

/** Nearer than this to level is told as level: it rounds away in print, mm. */
const LEVEL_MM = 0.005;

/** What would have been seen of the rocker: the gap under its raised end, which end not said, as a builder reads it. */
function rockerWanted({ scaleLengthMm }: Neck, { frets: [first, middle, last] }: RockerReading, overMm: number): string {
  if (Math.abs(overMm) < LEVEL_MM) return "all else read expects it still, its three frets level";
  if (overMm < 0) return `all else read expects it still, the middle crown ${lengthWords(-overMm)} under its neighbours`;
  const share = middleShare(fretDistanceMm(scaleLengthMm, first), fretDistanceMm(scaleLengthMm, middle), fretDistanceMm(scaleLengthMm, last));
  const raisedMm = (overMm / share + overMm / (1 - share)) / 2;
  return `all else read expects it to rock, with about ${lengthWords(raisedMm)} under its raised end`;
}

function namedReading(usable: Usable, reading: Reading): RivalReading {
  const { source, row, column } = reading.origin;
  return { line: lineOf(usable, reading), at: atOf(reading), written: reading.written, source, row, column };
}

/** Where nothing tells which of several readings is the slip. */
function rivalWords(usable: Usable, rivals: readonly Reading[]): string {
  if (rivals.length === 0) return "";
  const each = rivals.slice(0, MOST_RIVALS).map((rival) => `the ${readAs(usable, rival)} at ${placeWords(atOf(rival))}, ${lineOf(usable, rival)} ("${rival.written}", row ${rival.origin.row})`);
  const all = rivals.length > MOST_RIVALS ? [...each, `${rivals.length - MOST_RIVALS} more`] : each;
  return ` It may also be ${[all.slice(0, -1).join(", "), ...all.slice(-1)].filter((part) => part !== "").join(" or ")}: read ${rivals.length === 1 ? "that" : "those"} again too.`;
}

function readAs(usable: Usable, reading: Reading): Blunder["read"] {
  return "deltaMm" in reading ? "rocker" : READ[mannerAt(usable, reading)];
}

/** Deeper than this an edge cannot lie below what it is laid on: no gap is expected there, the edge itself lay otherwise. */
const BELOW_MM = 0.01;

function expectedWords(expectedMm: number, isSigned: boolean): string {
  if (expectedMm < -BELOW_MM && !isSigned) return `by all else read the edge would lie ${lengthWords(-expectedMm)} below that place, where it cannot`;
  return `all else read expects about ${isSigned ? writtenLengthWords(expectedMm) : lengthWords(Math.max(0, expectedMm))}`;
}

const READ: Readonly<Record<Manner, Blunder["read"]>> = { edge: "gap", sighting: "sighting", dial: "dial bar", crown: "crown", seating: "gap under the crown" };

function settingOf(usable: Usable, reading: Reading): PlacedSetting | undefined {
  return "deltaMm" in reading ? undefined : usable.settings.find((setting) => setting.readings.includes(reading));
}

function mannerAt(usable: Usable, reading: Reading): Manner {
  const setting = settingOf(usable, reading);
  return setting === undefined ? "edge" : mannerOf(setting);
}

function mayBeNegative(usable: Usable, reading: Reading): boolean {
  return ["sighting", "dial"].includes(mannerAt(usable, reading));
}

function surveyOf(usable: Usable, reading: Reading): number {
  return ("deltaMm" in reading ? usable.rockers.find((rocker) => rocker === reading)?.survey : settingOf(usable, reading)?.survey) ?? 0;
}

/** The line a reading stands on; a diagonal has two ends instead. */
function lineOf(usable: Usable, reading: Reading): string {
  const path = settingOf(usable, reading)?.path;
  return reading.line === "" && path?.kind === "diagonal" ? `diagonal from ${path.from.line} to ${path.to.line}` : reading.line;
}

function atOf(reading: Reading): string {
  return "deltaMm" in reading ? String(reading.frets[1]) : reading.place.label;
}
