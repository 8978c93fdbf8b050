/** Two sections of the study: whether comparisons of surveys are right, and whether asking for the next reading pays. */
import { judgedComparison, printedComparison, printedUnmoved, talliedComparison } from "./comparison.mjs";
import { judgedNext, printedNext, printedRatios, talliedNext } from "./nextReading.mjs";

const MOVES = ["unmoved", "moved"];
const QUESTIONS = ["relief", "fret", "rod"];

/** One answer of a worker. */
export function takenAnswer(job, seed, family, number) {
  const [, section, what] = job.split(":");
  return section === "comparison" ? judgedComparison(seed, family, number, what === "moved") : judgedNext(seed, family, number, what);
}

/** The parts of these sections. */
export const TAKEN_PARTS = {
  comparison: ({ seed, families }, numbers) => families.flatMap((family) => MOVES.map((what) => part("comparison", what, seed, family, talliedComparison, numbers([...families, ...families])))),
  nextReading: ({ seed, families }, numbers) => families.flatMap((family) => QUESTIONS.map((what) => part("nextReading", what, seed, family, talliedNext, numbers(families.flatMap(() => QUESTIONS))))),
};

function part(section, what, seed, family, tally, numbers) {
  return { name: `${family}, ${what}`, tally, pieces: numbers.map((number) => ({ job: `taken:${section}:${what}`, seed, family, number })) };
}

/** These sections of a report as they are printed. */
export function printedTaken(report) {
  const printers = { comparison: printedComparison, nextReading: printedNext };
  const unmoved = Object.entries(report.comparison ?? {}).flatMap(([name, tally]) => (name.endsWith("unmoved") ? [tally] : []));
  return [
    ...Object.entries(printers).flatMap(([section, print]) => Object.entries(report[section] ?? {}).map(([name, tally]) => print(name, tally))),
    ...(unmoved.length > 1 ? [printedUnmoved(unmoved)] : []),
    ...(report.nextReading === undefined ? [] : [printedRatios(Object.values(report.nextReading))]),
  ].join("\n");
}
