import type { Neck } from "../neck/neck.js";
import type { SurveySheet } from "../readings/reading.js";
import type { Survey } from "../survey/survey.js";
import { adjustTogether } from "../survey/together.js";
import { compareSurveys } from "./comparison.js";
import type { Comparison } from "./comparisonResult.js";

/**
 * What changed from one sheet of readings to another, adjusted together. A fret that stands otherwise than before is looked for first, each
 * survey being adjusted for itself, and is then taken as standing anew, seating log or not: it is told as that fret and does not bend the neck.
 * @param adjusted each sheet adjusted for itself; `adjust` unless given
 * @throws {RangeError} a sheet of another neck
 */
export function compareSheets(neck: Neck, before: SurveySheet, after: SurveySheet, adjusted?: (sheet: SurveySheet) => Survey): Comparison {
  return compareSurveys(adjustTogether(neck, [before, after], adjusted));
}
