import type { SurveySheet } from "../readings/reading.js";

/** One sheet given twice: the very same, or the same readings in the same state on the same day; two tables without a date may well be alike. */
export function isSameSheet(one: SurveySheet, other: SurveySheet): boolean {
  return one === other || (one.date !== "" && isAlike(one, other));
}

/** Whether two sheets say the same of the same neck, readings, state and day. */
export function isAlike(one: SurveySheet, other: SurveySheet): boolean {
  const written = ({ stage, date, state, settings, rockers }: SurveySheet): string => JSON.stringify([stage, date, state, settings, rockers]);
  return written(one) === written(other);
}

/** Dates written as 2026-03-02 sort as words do; of others nothing is known. */
const DATE = /^\d{4}-\d\d-\d\d/;

/** Sheets by their dates, the earliest first; as they were given where one of them has none. */
export function inOrderOfTime(sheets: readonly SurveySheet[]): readonly SurveySheet[] {
  if (!sheets.every(({ date }) => DATE.test(date))) return sheets;
  return [...sheets].sort((one, other) => (one.date < other.date ? -1 : one.date > other.date ? 1 : 0));
}
