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
 * The reading that would settle whether a fret is over the limit, if there is one: of all gaps under an edge already laid down and all rockings, the
 * one that sharpens its height most, provided that it settles the question more often than not.
 */
export function settlingReading(survey: Survey, height: FretHeight, limitMm: number): SettlingReading | undefined {
  const next = survey.nextReading(overNeckLine(survey.neck, height));
  if (next.status !== "worthwhile") return undefined;
  const chance = chanceToSettle(height.high.value - limitMm, next.uNowMm, next.uThenMm);
  return chance < WORTH_NAMING ? undefined : { tool: next.tool, line: next.line, at: next.at, chance };
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
