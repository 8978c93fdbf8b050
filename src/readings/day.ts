/** A day as ISO 8601 writes it, or what was expected. */
export type DayReading = { readonly day: string } | { readonly expected: string; readonly repair?: string };

/** Reads a day: `2026-05-04` and nothing else, since 04/05/2026 is April to some and May to others. Empty text is no day. */
export function readDay(written: string): DayReading {
  const text = written.trim();
  if (text === "") return { day: "" };
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  const expected = "a day as year-month-day, as 2026-05-04";
  if (match !== null) return isDay(Number(match[1]), Number(match[2]), Number(match[3])) ? { day: text } : { expected: `${expected}, that exists` };
  return /^\d{5}$/.test(text) || /\d[/.]\d/.test(text) ? { expected, repair: "a spreadsheet may have changed it: set the column to text" } : { expected };
}

function isDay(year: number, month: number, day: number): boolean {
  const date = new Date(Date.UTC(year, month - 1, day));
  return year >= 1900 && date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
}
