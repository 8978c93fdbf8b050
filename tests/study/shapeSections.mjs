/** The sections of the study on shape: whether its intervals cover, whether comparisons are right, whether asking for the next reading pays. */
import { judgedComparison, printedComparison, talliedComparison } from "./comparison.mjs";
import { judgedNext, printedNext, talliedNext } from "./nextReading.mjs";
import { judgedShape, printedShape, talliedShape } from "./shape.mjs";

export const SHAPE_SECTIONS = ["shape", "comparison", "nextReading"];

/** One answer of a worker. */
export function shapeAnswer(job, seed, family, number) {
  const [, section, what] = job.split(":");
  if (section === "shape") return judgedShape(seed, family, number);
  return section === "comparison" ? judgedComparison(seed, family, number, what === "moved") : judgedNext(seed, family, number, what);
}

/** The pieces of these sections; a comparison takes three adjustments and a walk from reading to reading dozens, so that they get fewer necks. */
export function shapeSections({ necks, seed, families, numbers }) {
  const part = (section, what, family, count, tally) => ({ name: what === "" ? family : `${family}, ${what}`, tally, pieces: numbers(count).map((number) => ({ job: `shape:${section}:${what}`, seed, family, number })) });
  return {
    shape: families.map((family) => part("shape", "", family, necks / families.length, talliedShape)),
    comparison: families.flatMap((family) => ["unmoved", "moved"].map((what) => part("comparison", what, family, necks / (what === "moved" ? 8 : 4), talliedComparison))),
    nextReading: families.filter((family) => family === "smooth").flatMap((family) => ["relief", "fret"].map((what) => part("nextReading", what, family, necks / 12, talliedNext))),
  };
}

/** These sections of a report as they are printed. */
export function printedShapeSections(report) {
  const printers = { shape: printedShape, comparison: printedComparison, nextReading: printedNext };
  return SHAPE_SECTIONS.flatMap((section) => Object.entries(report[section] ?? {}).map(([name, tally]) => printers[section](name, tally))).join("\n");
}
