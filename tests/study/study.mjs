/**
 * How true the survey's uncertainties are, on invented necks whose distributions stand in src/invented/. Defaults unchanged across families; runs on dist.
 * npm run study [-- --necks N] [--seed S] [--family NAME] [--only families|slips|breaks|shape|bow] [--workers W] [--json]
 * N necks in all, shared out among the families; beside them a quarter of N with a slip planted, for each way to break it a fortieth of N, and an eighth of N
 * whose shape (other reliefs, straightness, hump, tongue, bends) is asked.
 */
import { availableParallelism } from "node:os";
import { parseArgs } from "node:util";
import { printedBow, studiedBow } from "./bow.mjs";
import { CHANGE_NAMES, changeWords } from "./changes.mjs";
import { workedOut } from "./pool.mjs";
import { printedBreaks, printedFamily, printedSlips, REMARKS } from "./printed.mjs";
import { printedShape, talliedShape } from "./shape.mjs";
import { tallied, talliedSlips } from "./tally.mjs";

export const FAMILIES = ["smooth", "kinksAndZones", "atTheBench"];
/** Slips are planted where there is something to control a reading by. */
const SLIP_FAMILIES = ["smooth", "atTheBench"];
const SECTIONS = ["families", "slips", "breaks", "shape"];

/** The pieces of each section, and how they are told together. */
function sections({ necks, seed, families }) {
  const numbers = (count) => Array.from({ length: Math.max(1, Math.round(count)) }, (_, number) => number);
  return {
    families: families.map((family) => ({ name: family, tally: tallied, pieces: numbers(necks / families.length).map((number) => ({ job: "neck", seed, family, number })) })),
    slips: SLIP_FAMILIES.filter((family) => families.includes(family)).map((family) => ({ name: family, tally: talliedSlips, pieces: numbers(necks / 8).map((number) => ({ job: "slip", seed, family, number })) })),
    shape: families.map((family) => ({ name: family, tally: talliedShape, pieces: numbers(necks / 8 / families.length).map((number) => ({ job: "shape", seed, family, number })) })),
    breaks: CHANGE_NAMES.map((change) => ({
      name: change, tally: (all) => ({ what: changeWords(change), ...tallied(all) }),
      pieces: numbers(necks / 40).map((number) => ({ job: "neck", seed, family: "smooth", number, change, options: { withTold: false } })),
    })),
  };
}

/** The whole study, or sections of it. The same for the same necks and seed, however many workers. */
export async function studied({ necks, seed, families = FAMILIES, only = SECTIONS, workers = availableParallelism(), tell }) {
  const report = {};
  for (const [section, parts] of Object.entries(sections({ necks, seed, families })).filter(([name]) => only.includes(name))) {
    const answers = await workedOut(parts.flatMap((part) => part.pieces), workers, (done, of) => tell?.(section, done, of));
    let from = 0;
    report[section] = {};
    for (const { name, pieces, tally } of parts) {
      report[section][name] = tally(answers.slice(from, from + pieces.length));
      from += pieces.length;
    }
  }
  return { necks, seed, ...report, remarks: REMARKS };
}

if (process.argv[1]?.endsWith("study.mjs")) {
  const { values } = parseArgs({ options: { necks: { type: "string", default: "120" }, seed: { type: "string", default: "1" }, family: { type: "string" }, only: { type: "string" }, workers: { type: "string" }, json: { type: "boolean", default: false } } });
  const wrong = [[values.family, FAMILIES, "family"], [values.only, [...SECTIONS, "bow"], "section"]].filter(([value, known]) => value !== undefined && !known.includes(value));
  for (const [value, known, what] of wrong) console.error(`There is no ${String(what)} "${String(value)}": expected ${known.join(", ")}`);
  if (wrong.length > 0) process.exit(1);
  const started = performance.now();
  const report = await studied({
    necks: Number(values.necks), seed: Number(values.seed),
    ...(values.family === undefined ? {} : { families: [values.family] }), ...(values.only === undefined ? {} : { only: [values.only] }), ...(values.workers === undefined ? {} : { workers: Number(values.workers) }),
    tell: process.stderr.isTTY ? (section, done, of) => process.stderr.write(`\r${section}: ${done} of ${of}   ${done === of ? "\n" : ""}`) : undefined,
  });
  if (values.only === undefined || values.only === "bow") report.bow = studiedBow({ batches: Math.max(1, Math.round(Number(values.necks) / 12)), seed: Number(values.seed) });
  if (values.json) console.log(JSON.stringify(report, undefined, 2));
  else {
    for (const [family, tally] of Object.entries(report.families ?? {})) console.log(printedFamily(family, tally));
    for (const [family, tally] of Object.entries(report.slips ?? {})) console.log(printedSlips(family, tally));
    if (report.breaks !== undefined) console.log(printedBreaks(report.breaks));
    for (const [family, tally] of Object.entries(report.shape ?? {})) console.log(`\nshape, ${family}\n${printedShape(family, tally)}`);
    if (report.bow !== undefined) console.log(`\n${printedBow(report.bow)}`);
    console.log(`\n${report.remarks.join("\n")}\nSeed ${report.seed}. All in ${((performance.now() - started) / 1000).toFixed(0)} s.`);
  }
}
