import type { GapReading, RockerReading } from "../readings/reading.js";
import { lengthWords } from "../units/words.js";
import { heaviestPoint } from "./explanation.js";
import type { Explanation } from "./explanation.js";
import { normalQuantile } from "./likelihood/normal.js";
import type { Blunder, Uncontrolled } from "./survey.js";

/** Chance per survey, not per reading, that a sound survey has a reading named. */
const CHANCE_PER_SURVEY = 0.01;
/** Non-centrality for a test at 0.1 % with 80 % power (Baarda's constant, recomputed: 3.2905 + 0.8416). */
const DETECTABLE = 4.1321;
/** A slip of this size must be detectable, else the reading counts as uncontrolled. */
const SLIP_MM = 0.1;

/** Readings that contradict the rest of the survey, worst first: normalised residuals against all else, at 1 % per survey. */
export function blundersOf(explanation: Explanation): readonly Blunder[] {
  const readings = predictions(explanation);
  const limit = normalQuantile(1 - CHANCE_PER_SURVEY / (2 * Math.max(1, readings.length)));
  return readings
    .filter((prediction) => Math.abs(prediction.normalisedResidual) > limit)
    .sort((a, b) => Math.abs(b.normalisedResidual) - Math.abs(a.normalisedResidual))
    .map(blunder);
}

/** Readings in which a slip of 0.10 mm would not be seen, since nothing else says what they should be. */
export function uncontrolledReadings(explanation: Explanation): readonly Uncontrolled[] {
  return predictions(explanation)
    .filter(({ uMm, sMm }) => DETECTABLE * Math.hypot(uMm, sMm) > SLIP_MM)
    .map(({ reading }) => ({ line: reading.line, at: atOf(reading), written: reading.written }));
}

type Prediction = { readonly reading: GapReading | RockerReading; readonly expectedMm: number; readonly uMm: number; readonly sMm: number; readonly normalisedResidual: number };

/** What the prior and all other readings expect at each reading: its context. */
function predictions(explanation: Explanation): readonly Prediction[] {
  const { contexts } = heaviestPoint(explanation).posterior;
  return explanation.equations.flatMap((equation, index): Prediction[] => {
    const context = contexts[index];
    const [mean, variance] = [context?.mean[0], context?.covariance[0]];
    if (mean === undefined || variance === undefined || equation.from.kind === "contact") return [];
    const expectedMm = mean + equation.knownMm;
    const outside = expectedMm < equation.lowMm ? equation.lowMm - expectedMm : Math.min(0, equation.highMm - expectedMm);
    const normalisedResidual = outside / Math.hypot(Math.sqrt(variance), equation.sMm);
    return [{ reading: equation.from.reading, expectedMm, uMm: Math.sqrt(variance), sMm: equation.sMm, normalisedResidual }];
  });
}

function blunder({ reading, expectedMm, uMm, normalisedResidual }: Prediction): Blunder {
  const at = atOf(reading);
  const { source, row, column } = reading.origin;
  const where = "deltaMm" in reading ? `The rocker at fret ${at}, ${reading.line},` : `The gap at ${placeWords(at)}, ${reading.line},`;
  const wanted = "deltaMm" in reading
    ? `the middle crown ${lengthWords(Math.abs(expectedMm))} ${expectedMm < 0 ? "under" : "over"} its neighbours`
    : `about ${lengthWords(Math.max(0, expectedMm))}`;
  return {
    line: reading.line, at, written: reading.written, source, row, column, expectedMm, uMm, normalisedResidual,
    sentence: `${where} was read as "${reading.written}", but all else read expects ${wanted}. Read it again (${source}, row ${row}).`,
  };
}

function atOf(reading: GapReading | RockerReading): string {
  return "deltaMm" in reading ? String(reading.frets[1]) : reading.place.label;
}

function placeWords(label: string): string {
  return /^\d+$/.test(label) ? `fret ${label}` : label;
}
