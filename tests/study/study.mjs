/**
 * How true the survey's uncertainties are, on invented necks whose distributions stand in src/invented/. Defaults unchanged across families; runs on dist.
 * npm run study [-- --necks N] [--seed S] [--family NAME] [--only families|slips|breaks|shape|plans|comparison|nextReading|bow|rod|frets] [--workers W] [--json] [--readme]
 * --readme writes the families' numbers into README.md, beside the command that made them.
 * N necks in all: 53 % judged family by family, 12 % with a slip planted, 20 % for the ways to break it, 5 % whose shape (other reliefs, straightness, hump,
 * tongue, bends) is asked, 2 % levelled by a plan, 7 % surveyed twice, 1 % read one reading after another; all of them in a section that is asked for alone.
 */
import { availableParallelism } from "node:os";
import { parseArgs } from "node:util";
import { printedBow, studiedBow } from "./bow.mjs";
import { printedFrets, studiedFrets } from "./frets.mjs";
import { CHANGE_NAMES, changeWords } from "./changes.mjs";
import { workedOut } from "./pool.mjs";
import { printedBreaks, printedFamily, printedSlips, REMARKS } from "./printed.mjs";
import { printedRod, studiedRod } from "./rod.mjs";
import { LEVELLINGS, printedLevellings, talliedLevellings } from "./plan.mjs";
import { printedShape, talliedShape } from "./shape.mjs";
import { writeRelied } from "./relied.mjs";
import { printedTaken, TAKEN_PARTS } from "./takenSections.mjs";
import { tallied, talliedSlips } from "./tally.mjs";

export const FAMILIES = ["smooth", "kinksAndZones", "atTheBench"];
/** Slips are planted where there is something to control a reading by. */
const SLIP_FAMILIES = ["smooth", "atTheBench"];
/** How the necks are shared out among the sections; a section asked for alone has them all. */
const SHARES = { families: 0.53, slips: 0.12, breaks: 0.2, shape: 0.05, plans: 0.02, comparison: 0.07, nextReading: 0.01 };
const SECTIONS = Object.keys(SHARES);

/** The parts of a section, the pieces of each, and how they are told together. */
const PARTS = {
  families: ({ seed, families }, numbers) => familyParts(families).map(({ name, family, ...change }, _, all) => ({ name, tally: tallied, pieces: numbers(all).map((number) => ({ job: "neck", seed, family, number, ...change })) })),
  slips: ({ seed, families }, numbers) => slipFamilies(families).map((family) => ({ name: family, tally: talliedSlips, pieces: numbers(slipFamilies(families)).map((number) => ({ job: "slip", seed, family, number })) })),
  breaks: ({ seed }, numbers) => CHANGE_NAMES.map((change) => ({
    name: change, tally: (all) => ({ what: changeWords(change), ...tallied(all) }),
    pieces: numbers(CHANGE_NAMES).map((number) => ({ job: "neck", seed, family: "smooth", number, change, options: { withTold: false } })),
  })),
  shape: ({ seed, families }, numbers) => families.map((family) => ({ name: family, tally: talliedShape, pieces: numbers(families).map((number) => ({ job: "shape", seed, family, number })) })),
  plans: ({ seed, families }, numbers) => families.flatMap((family) => Object.entries(LEVELLINGS).map(([kind, words]) => ({
    name: `${family}, ${words}`, tally: talliedLevellings,
    pieces: numbers([...families, ...families]).map((number) => ({ job: "plan", seed, family, number, options: { areTied: kind === "tied" } })),
  }))),
  ...TAKEN_PARTS,
};

/** Fret tops alone do not tell a raised board from frets that are not seated: the necks that have zones are studied with the wood read too. */
const familyParts = (families) => families.flatMap((family) => [{ name: family, family }, ...(family === "kinksAndZones" ? [{ name: `${family}, wood read`, family, change: "wood read" }] : [])]);

const slipFamilies = (families) => SLIP_FAMILIES.filter((family) => families.includes(family));

/** The whole study, or sections of it. The same for the same necks and seed, however many workers. */
export async function studied({ necks, seed, families = FAMILIES, only = SECTIONS, workers = availableParallelism(), tell }) {
  const report = {};
  for (const section of SECTIONS.filter((name) => only.includes(name))) {
    const share = only.length === 1 ? 1 : SHARES[section];
    const parts = PARTS[section]({ seed, families }, (among) => Array.from({ length: Math.max(1, Math.round((share * necks) / among.length)) }, (_, number) => number));
    const answers = await workedOut(parts.flatMap((part) => part.pieces), workers, (done, of) => tell?.(section, done, of));
    const starts = parts.map((_, k) => parts.slice(0, k).reduce((sum, part) => sum + part.pieces.length, 0));
    report[section] = Object.fromEntries(parts.map(({ name, pieces, tally }, k) => [name, tally(answers.slice(starts[k], starts[k] + pieces.length))]));
  }
  return { necks, seed, ...report, remarks: REMARKS };
}

/** What is wrong with what was asked for, in words. */
function misasked({ family, only, necks, workers }) {
  const unknown = [[family, FAMILIES, "family"], [only, [...SECTIONS, "bow", "rod", "frets"], "section"]].filter(([value, known]) => value !== undefined && !known.includes(value));
  const uncounted = [[necks, "necks"], [workers, "workers"]].filter(([value]) => value !== undefined && !(Number.isInteger(Number(value)) && Number(value) > 0));
  return [
    ...unknown.map(([value, known, what]) => `There is no ${String(what)} "${String(value)}": expected ${known.join(", ")}`),
    ...uncounted.map(([value, what]) => `Cannot work with "${String(value)}" ${String(what)}: expected a whole number above 0`),
  ];
}

if (process.argv[1]?.endsWith("study.mjs")) {
  const { values } = parseArgs({ options: { necks: { type: "string", default: "120" }, seed: { type: "string", default: "1" }, family: { type: "string" }, only: { type: "string" }, workers: { type: "string" }, json: { type: "boolean", default: false }, readme: { type: "boolean", default: false } } });
  const wrong = misasked(values);
  for (const sentence of wrong) console.error(sentence);
  if (wrong.length > 0) process.exit(1);
  const started = performance.now();
  const report = await studied({
    necks: Number(values.necks), seed: Number(values.seed),
    ...(values.family === undefined ? {} : { families: [values.family] }), ...(values.only === undefined ? {} : { only: [values.only] }), ...(values.workers === undefined ? {} : { workers: Number(values.workers) }),
    tell: process.stderr.isTTY ? (section, done, of) => process.stderr.write(`\r${section}: ${done} of ${of}   ${done === of ? "\n" : ""}`) : undefined,
  });
  if (values.only === undefined || values.only === "bow") report.bow = studiedBow({ batches: Math.max(1, Math.round(Number(values.necks) / 12)), seed: Number(values.seed) });
  if (values.only === undefined || values.only === "frets") report.frets = studiedFrets({ necks: Math.max(1, Math.round(Number(values.necks) / 12)), seed: Number(values.seed) });
  if (values.only === undefined || values.only === "rod") report.rod = studiedRod({ necks: Math.max(2, Math.round(Number(values.necks) / 8)), decisions: 20_000, seed: Number(values.seed) });
  if (values.readme && report.families !== undefined) {
    const asked = process.argv.slice(2).filter((arg) => arg !== "--readme" && arg !== "--json").join(" ");
    writeRelied(report, `npm run study${asked === "" ? "" : ` -- ${asked}`}`);
  }
  if (values.json) console.log(JSON.stringify(report, undefined, 2));
  else {
    for (const [family, tally] of Object.entries(report.families ?? {})) console.log(printedFamily(family, tally));
    for (const [family, tally] of Object.entries(report.slips ?? {})) console.log(printedSlips(family, tally));
    if (report.breaks !== undefined) console.log(printedBreaks(report.breaks));
    for (const [family, tally] of Object.entries(report.shape ?? {})) console.log(`\nshape, ${family}\n${printedShape(family, tally)}`);
    for (const [name, tally] of Object.entries(report.plans ?? {})) console.log(`\nlevel plans carried out, ${name}\n${printedLevellings(tally)}`);
    if (report.bow !== undefined) console.log(`\n${printedBow(report.bow)}`);
    if (report.frets !== undefined) console.log(`\n${printedFrets(report.frets)}`);
    if (report.rod !== undefined) console.log(`\n${printedRod(report.rod)}`);
    console.log(printedTaken(report));
    console.log(`\n${report.remarks.join("\n")}\nSeed ${report.seed}. All in ${((performance.now() - started) / 1000).toFixed(0)} s.`);
  }
}
