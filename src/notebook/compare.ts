import type { Neck } from "../neck/neck.js";
import type { SurveySheet } from "../readings/reading.js";
import { compareSheets } from "../shape/compareSheets.js";
import type { Comparison } from "../shape/comparisonResult.js";
import type { Question, ReadNext } from "../shape/question.js";
import { readNextFor } from "../shape/readNext.js";
import { inOrderOfTime, isSameSheet } from "../shape/sheetsInTime.js";
import { adjust } from "../survey/adjust.js";
import type { Survey } from "../survey/survey.js";
import { whileSaying } from "./outlet.js";
import { plainly } from "./plainly.js";

const known = new WeakMap<SurveySheet, Survey>();

/** A sheet adjusted for itself, worked out once: of three surveys the middle one is compared twice. */
function adjustedOnce(neck: Neck, sheet: SurveySheet): Survey {
  const survey = known.get(sheet) ?? adjust(neck, sheet);
  known.set(sheet, survey);
  return survey;
}

/**
 * What changed between two surveys of a neck: which way it moved, by how much, and how sure that is.
 *
 *     const [before, after] = openReadings(neck, "monday.csv", "friday.csv");
 *     const change = whatChanged(neck, before, after);
 *     tell(change);
 *     show(change);
 *
 * @param before readings from `takeReadings` or `openReadings`
 * @param after readings of the same neck, best with the same edge along the same lines; where both have a date, the earlier is taken as the one before, whichever was given first
 * @throws {Error} in one sentence where the readings are not of this neck, or are twice the same
 */
export function whatChanged(neck: Neck, before: SurveySheet, after: SurveySheet): Comparison {
  return plainly(() => {
    if (before.neck === neck.name && isSameSheet(before, after)) throw new RangeError("Cannot compare a survey with itself: the same readings were given twice (give the readings of another day)");
    const [earlier = before, later = after] = inOrderOfTime([before, after]);
    return whileSaying("Working out two surveys together", () => compareSheets(neck, earlier, later, (sheet) => adjustedOnce(neck, sheet)));
  });
}

/**
 * The one reading to take next for a question, or that no further reading changes the decision.
 *
 *     tell(askNext(survey, { about: "relief", line: "centre" }));
 *     tell(askNext(survey, { about: "fret", line: "treble", fret: 7 }));
 *     tell(askNext(survey, { about: "rod", line: "centre" }));
 *
 * @throws {Error} in one sentence where the neck has no such line
 */
export function askNext(survey: Survey, question: Question): ReadNext {
  return plainly(() => whileSaying("Trying the readings that could come next", () => readNextFor(survey, question)));
}
