import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { inspect } from "node:util";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { clearances, fretPlacesTable, fretReport } from "../../src/notebook/frets.js";
import { learnBow, predictBow } from "../../src/notebook/bow.js";
import { askNext, whatChanged } from "../../src/notebook/compare.js";
import { saveWorkingCard, showPlan } from "../../src/notebook/levellingCells.js";
import { describeNeck, surveyNeck, takeReadings } from "../../src/notebook/neck.js";
import { planLevelling } from "../../src/notebook/planLevelling.js";
import { quickLook } from "../../src/notebook/quickLook.js";
import { adviseGlueUp, adviseRod, checkFit, testRod } from "../../src/notebook/rod.js";
import { saveCard } from "../../src/notebook/saveCard.js";
import { saveNeckCard } from "../../src/notebook/shipCells.js";

const neck = describeNeck({ name: "Invented", scaleLength: "25 in", frets: 22, bodyJoint: 16 });
const other = describeNeck({ name: "Another", scaleLength: "25 in", frets: 22, bodyJoint: 16 });
const table = "fret centre\n1 touch\n7 6\n16 touch\n";
const sheet = takeReadings(neck, table);
const survey = surveyNeck(neck, sheet);
const nothing = surveyNeck(neck, "fret centre\n7 6\n");
const wired = surveyNeck(describeNeck({ name: "Invented", scaleLength: "25 in", frets: 22, bodyJoint: 16, crown: { height: "1.1 mm" } }), "fret bass centre treble\n1 touch touch touch\n7 6 6 6\n22 touch touch touch\n");
const order = { frets: "before glue-up", strings: true } as const;

let folder = "";

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "errors-"));
  writeFileSync(join(folder, "taken"), "");
});

afterAll(() => {
  rmSync(folder, { recursive: true });
});

async function thrownBy(work: () => unknown): Promise<Error> {
  try {
    await work();
  } catch (error) {
    if (error instanceof Error) return error;
  }
  throw new Error("nothing was thrown");
}

/** Each with a mistake that a builder can make, and words that the answer must hold. */
const mistakes: readonly (readonly [name: string, mistake: () => unknown, says: RegExp])[] = [
  ["quickLook of a table that cannot be read", () => { quickLook(neck, "fret centre\n1 banana\n"); }, /row 2, column centre: found "banana"/],
  ["whatChanged between two necks", () => whatChanged(other, sheet, sheet), /neck "Invented" on neck "Another".*same neck/],
  ["askNext about a line that is not there", () => askNext(survey, { about: "relief", line: "middle" }), /line middle: the lines of this neck are bass, centre, treble/],
  ["adviseRod toward a relief that is none", () => adviseRod(survey, { relief: ["0.3 mm", "banana"] }), /relief from "0.3 mm" to "banana": expected two lengths/],
  ["adviseRod toward a relief in thou without their unit", () => adviseRod(survey, { relief: ["4", "12"] }), /relief from "4" to "12": a number alone is mm, and that would be much; write \["4 thou", "12 thou"\] if thou were meant/],
  ["adviseRod toward a relief with its ends changed over", () => adviseRod(survey, { relief: ["0.3 mm", "0.1 mm"] }), /the smaller first/],
  ["testRod of one survey", () => testRod(neck, [sheet]), /expected two sheets or more, got 1/],
  ["testRod of another neck", () => testRod(other, [sheet, sheet]), /expected readings of the same neck/],
  ["checkFit of heights that are none", () => checkFit({ rod: { "nut end": "flush", middle: "banana", "heel end": "0.1 mm above" } }), /found "banana"/],
  ["checkFit at one place", () => checkFit({ rod: { middle: "flush" } }), /three places or more/],
  ["predictBow at a stage that the work does not have", () => predictBow(neck, { frets: "before glue-up" }, { stage: "strings" }), /Cannot predict the bow at the stage "strings"/],
  ["learnBow from a bow that is no number", () => learnBow(neck, [{ after: "fretted board", work: order, reliefMm: Number.NaN, giveOrTakeMm: 0.4 }]), /expected a finite bow in mm with a give or take above 0/],
  ["learnBow from another neck's survey", () => learnBow(neck, [{ after: "strings", work: order, survey: surveyNeck(other, table) }]), /from a survey of Another/],
  ["saveWorkingCard without a plan", async () => { saveWorkingCard(await planLevelling(nothing), "never.html"); }, /Cannot make a working card/],
  ["showPlan without a plan", async () => { showPlan(await planLevelling(nothing)); }, /Cannot draw the levelling/],
  ["saveNeckCard into what is no folder", () => { saveNeckCard(survey, join(folder, "taken", "card.html")); }, /Cannot save the card as .*give a name in a folder that may be written/],
  ["saveCard of nothing", () => { saveCard([], "never.html"); }, /expected one survey or more, got none/],
  ["planLevelling with a rod that can do nothing that is possible", () => planLevelling(wired, { rod: { lowMm: 0.3, highMm: -0.1 } }), /rod that changes the relief by 0.3 to -0.1 mm/],
  ["clearances with string heights that are none", () => clearances(survey, { strings: { atNutMm: Number.NaN, atLastFretMm: 1.8 } }), /string heights of 0 to 20 mm/],
  ["fretPlacesTable of a board that is round at one end", () => fretPlacesTable(describeNeck({ name: "Invented", scaleLength: "25 in", frets: 22, fingerboardRadius: { nut: "10 in", lastFret: "flat" } })), /radius/],
];

/** The first drawing loads a page without a browser. */
describe("a mistake in a cell is told in the user's sentence alone", { timeout: 120_000 }, () => {
  test.each(mistakes)("%s", async (_, mistake, says) => {
    const error = await thrownBy(mistake);
    expect(error.message).toMatch(says);
    expect(error.message).not.toContain("fault of the program");
    expect(inspect(error)).toBe(error.message);
    expect(error.stack).toBe(error.message);
  });
});

describe("where too little was read nothing is thrown: the answer says what to read", { timeout: 120_000 }, () => {
  test.each([
    ["adviseRod", () => adviseRod(nothing).describe()],
    ["adviseGlueUp", () => adviseGlueUp(nothing).describe()],
    ["fretReport", () => fretReport(nothing).describe()],
    ["testRod", () => testRod(neck, [sheet, sheet]).describe()],
    ["planLevelling", async () => (await planLevelling(nothing)).describe()],
    ["clearances", () => clearances(survey).map((one) => JSON.stringify(one)).join()],
  ] as const)("%s", async (_, answer) => {
    expect(await answer()).toMatch(/\b(read|lay|say|give|measure|slide|set)\b/i);
  });
});
