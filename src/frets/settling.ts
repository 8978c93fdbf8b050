import { fretTops } from "../neck/frets.js";
import { normalCdf } from "../survey/likelihood/normal.js";
import type { Survey } from "../survey/survey.js";
import type { SettlingReading } from "./finding.js";
import type { FretHeight } from "./fretHeights.js";
import { overNeckLine } from "./places.js";

/** Probability with which a settled fret is over the limit, or is not. */
const SETTLED_SIGMAS = 1.645;
/** A reading is named when it settles the question at least this often. */
const WORTH_NAMING = 0.5;

/**
 * The reading that would settle whether a fret is over the limit, if there is one: of all gaps under an edge already laid down and all rockings on its line, the
 * one that sharpens its height most, provided that it settles the question more often than not. A fret of which hardly anything is known is either far
 * out or as intended, and the rocker tells these apart.
 */
export function settlingReading(survey: Survey, height: FretHeight, limitMm: number): SettlingReading | undefined {
  const next = survey.nextReading(overNeckLine(survey.neck, height));
  const chance = next.status === "worthwhile" ? chanceToSettle(height.high.value - limitMm, next.uNowMm, next.uThenMm) : 0;
  if (next.status === "worthwhile" && next.tool !== "sightingBars" && chance >= WORTH_NAMING) return { tool: next.tool, line: next.line, at: next.at, chance };
  const { fret, line, xMm } = height;
  return isHardlyRead(height, limitMm) && mayBeRocked(survey, height) ? { tool: "rocker", line, at: { label: String(fret), xMm, fret } } : undefined;
}

/** Whether the give or take of a fret's height is as large as the limit itself: then nothing is said of it either way. */
export function isHardlyRead({ high }: Pick<FretHeight, "high">, limitMm: number): boolean {
  return 2 * high.u > limitMm;
}

/** A rocker needs a fret on each side, and says nothing new where it already was. */
function mayBeRocked({ neck, sheet }: Survey, { fret, line }: FretHeight): boolean {
  const tops = fretTops(neck);
  return fret !== tops[0] && fret !== tops.at(-1) && !sheet.rockers.some((rocker) => rocker.line === line && rocker.frets[1] === fret);
}

/**
 * Probability that a further reading leaves the answer at 95 % or more either way. Beforehand the later mean is normal about today's, with the variance
 * that the reading takes away.
 * @param overMm today's mean over the limit, mm
 * @param uNowMm standard uncertainty today, mm
 * @param uThenMm standard uncertainty after the reading, mm
 * @example near(chanceToSettle(0, 0.02, 0), 1, { abs: 1e-12 });
 */
export function chanceToSettle(overMm: number, uNowMm: number, uThenMm: number): number {
  const movesMm = Math.sqrt(Math.max(0, uNowMm ** 2 - uThenMm ** 2));
  const needMm = SETTLED_SIGMAS * uThenMm;
  if (movesMm === 0) return Math.abs(overMm) > needMm ? 1 : 0;
  return 1 - normalCdf((needMm - overMm) / movesMm) + normalCdf((-needMm - overMm) / movesMm);
}
