// What of the study stands in the README: npm run study -- --only families --necks 2000 --seed 11 --readme
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { betweenMarks } from "../../src/setup/between-marks.mjs";
import { root } from "../../src/setup/places.mjs";

/** @type {Readonly<Record<string, string>>} */
const HEADS = { smooth: "smooth necks", kinksAndZones: "necks with kinks and zones", "kinksAndZones, wood read": "the same, the wood of the centre line read too", atTheBench: "few readings, as at the bench" };

/** @typedef {{ share: number | null, low: number, high: number }} Share */

/** A share with the 95 % interval of it that so many necks leave. @param {Share | undefined} one */
const percent = (one) => {
  if (one === undefined || one.share === null || one.share === undefined) return "none";
  const digits = one.share < 0.01 ? 2 : 1;
  const of = (/** @type {number} */ share) => (100 * share).toFixed(digits);
  return `${of(one.share)} % (${of(one.low)} to ${of(one.high)})`;
};

/** Rows of the table: what a builder asks, the goal, and where the study has the answer. @type {readonly { asked: string, goal: string, of: (tally: any) => string }[]} */
const ROWS = [
  { asked: "The true height lies within the give or take", goal: "93 to 97 %", of: (tally) => percent(tally.heights.coverage) },
  { asked: "The true relief lies within the give or take", goal: "93 to 97 %", of: (tally) => percent(tally.relief.coverage) },
  { asked: "The true height over the neck line lies within the give or take", goal: "93 to 97 %", of: (tally) => percent(tally.highMm.coverage) },
  { asked: "Frets 0.05 mm (2.0 thou) high or more that are found", goal: "as many as told, less 1 point", of: (tally) => percent(tally.found.over50um) },
  { asked: "found, or told as one of a run of frets that stand up together, by board or frets", goal: "", of: (tally) => percent(tally.found.over50umOrToldAsAZone) },
  { asked: "found by an adjustment that is told which frets are far out", goal: "", of: (tally) => percent(tally.found.over50umTold) },
  { asked: "found, and found when told, where every fret was read", goal: "as many as told, less 1 point", of: ({ everyFretRead }) => (everyFretRead === undefined || everyFretRead.found.of === 0 ? "" : `${percent(everyFretRead.found)}; ${percent(everyFretRead.foundTold)}`) },
  { asked: "Heights over the neck line: their error over that of the told adjustment", goal: "1.10 or less", of: ({ againstTold }) => againstTold?.all.ratio?.toFixed(2) ?? "none" },
  { asked: "Frets under 0.015 mm (0.6 thou) that are called high", goal: "below 0.5 %", of: (tally) => percent(tally.found.under15um) },
  { asked: "the same, not told as one of such a run", goal: "", of: (tally) => percent(tally.found.under15umNotToldAsAZone) },
];

/**
 * The study of the families as a table for the README.
 * @param {{ seed: number, families: Readonly<Record<string, any>> }} report @param {string} command that makes it again
 */
export function reliedTable({ seed, families }, command) {
  const names = Object.keys(families);
  const necks = names.map((name) => families[name].necks);
  return [
    `On ${necks.reduce((sum, count) => sum + count, 0)} invented necks (seed ${seed}), whose truth is known; in brackets what so many necks leave open, 19 times in 20:`,
    "",
    `| | ${names.map((name, index) => `${HEADS[name] ?? name} (${necks[index]})`).join(" | ")} | goal |`,
    `| --- |${names.map(() => " --- |").join("")} --- |`,
    ...ROWS.map(({ asked, goal, of }) => `| ${asked} | ${names.map((name) => of(families[name])).join(" | ")} | ${goal} |`),
    "",
    `Made by \`${command}\`.`,
  ].join("\n");
}

/** @param {Parameters<typeof reliedTable>[0]} report @param {string} command */
export function writeRelied(report, command) {
  const readme = join(root, "README.md");
  writeFileSync(readme, betweenMarks(readFileSync(readme, "utf8"), "relied", reliedTable(report, command)));
}
