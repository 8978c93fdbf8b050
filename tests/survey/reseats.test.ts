import { expect, test } from "vitest";
import type { SurveySheet } from "../../src/readings/reading.js";
import { reseatsOf } from "../../src/survey/reseats.js";

const sheet = (fretState?: string): SurveySheet => ({ neck: "invented", feelMm: 0.01, stage: "", date: "", settings: [], rockers: [], seating: [], state: fretState === undefined ? {} : { fretState }, notes: [], assumed: [] });
const anew = (fretState: string): boolean => reseatsOf([sheet(), sheet(fretState)], [], ["centre"], [[]]).notes.some((note) => note.includes("another state"));

test("where only one of two surveys states the frets, work that is denied or still to come moved none; what is unclear may have", () => {
  expect(["levelled", "seated", "partly levelled", "refretted"].map(anew)).toEqual([true, true, true, true]);
  expect(["pressed", "not levelled", "to be levelled and crowned", "unseated, to be seated"].map(anew)).toEqual([false, false, false, false]);
});
