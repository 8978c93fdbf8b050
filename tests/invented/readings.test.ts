import fc from "fast-check";
import { expect, test } from "vitest";
import { inventedCsv } from "../../src/invented/csv.js";
import { readGap } from "../../src/invented/leaf.js";
import { inventedNeck } from "../../src/invented/neck.js";
import { edgeErrorMm, inventedOperator } from "../../src/invented/operator.js";
import { FULL_PLAN, planFor, THREE_READINGS } from "../../src/invented/plan.js";
import { inventedReadings, type InventedReadings } from "../../src/invented/readings.js";
import { middleOverOuter } from "../../src/invented/rocker.js";
import { inventedSheet } from "../../src/invented/sheet.js";
import { inventedStream } from "../../src/invented/stream.js";
import type { InventedFamily, InventedTruth } from "../../src/invented/truth.js";

const SEED = 99;
const family = fc.constantFrom<InventedFamily>("smooth", "kinksAndZones", "atTheBench");
/** Hands and leaves without error: then every reading must hold for the true gap. */
const exactHands = { feelMm: 0, leafToleranceMm: 0 };

function surveyed(name: InventedFamily, neck: number, plan = FULL_PLAN, choice: Parameters<typeof inventedOperator>[1] = exactHands): { truth: InventedTruth; readings: InventedReadings; operator: ReturnType<typeof inventedOperator> } {
  const truth = inventedNeck(inventedStream(SEED, "neck", neck), name);
  const hand = inventedStream(SEED, "operator", neck);
  const operator = inventedOperator(hand, choice);
  return { truth, operator, readings: inventedReadings(truth, operator, hand, plan) };
}

test(`with exact hands every gap lies in what was written (seed ${SEED})`, () => {
  fc.assert(
    fc.property(family, fc.nat(10_000), (name, neck) => {
      for (const setting of surveyed(name, neck).readings.settings) {
        for (const { trueGapMm, read } of setting.gaps) {
          expect(trueGapMm).toBeGreaterThanOrEqual(0);
          if (read.gap.kind === "exact") expect(trueGapMm).toBeLessThan(0.01);
          else if (read.written === "light") expect(trueGapMm > 0 && trueGapMm <= read.gap.highMm).toBe(true);
          else expect(read.gap.lowMm <= trueGapMm && trueGapMm <= read.gap.highMm).toBe(true);
        }
      }
    }),
    { seed: SEED, numRuns: 40 },
  );
});

test(`an edge bears on two frets, on both sides of its middle or on the fret it is pressed on (seed ${SEED})`, () => {
  fc.assert(
    fc.property(family, fc.nat(10_000), (name, neck) => {
      for (const setting of surveyed(name, neck).readings.settings) {
        const touching = setting.gaps.filter((gap) => gap.trueGapMm < 1e-9).map((gap) => gap.fret);
        expect(touching.length).toBeGreaterThanOrEqual(2);
        if (setting.pressedAtFret !== undefined) expect(touching).toContain(setting.pressedAtFret);
      }
    }),
    { seed: SEED, numRuns: 40 },
  );
});

test(`with exact hands the rocker's bounds hold for the true height of the middle crown (seed ${SEED})`, () => {
  fc.assert(
    fc.property(family, fc.nat(10_000), (name, neck) => {
      const { truth, readings, operator } = surveyed(name, neck);
      expect(readings.rockers.length).toBeGreaterThan(50);
      for (const { line, frets, deltaMm } of readings.rockers) {
        const delta = middleOverOuter(truth, line, frets, operator.rocker).deltaMm;
        expect(deltaMm.low - 1e-12 <= delta && delta <= deltaMm.high + 1e-12).toBe(true);
      }
    }),
    { seed: SEED, numRuns: 40 },
  );
});

test("hands with one error a reading write an interval as often as the likelihood says", () => {
  const stream = inventedStream(SEED, "leaf", 0);
  const operator = inventedOperator(stream, { leafToleranceMm: 0, feelOf: "each reading" });
  const trueGapMm = 4.1 * 0.0254;
  const n = 20_000;
  const written = Array.from({ length: n }, () => readGap(trueGapMm, operator, stream).written);
  const beyond = 0.1 * 0.0254 / 0.005; // standard deviations from the true gap down to the 4 leaf
  const expected = { "3": 1 - normalBelow(beyond), "4": normalBelow(beyond) };
  for (const [leaf, probability] of Object.entries(expected)) {
    const share = written.filter((one) => one === leaf).length / n;
    expect(Math.abs(share - probability)).toBeLessThan(4 * Math.sqrt((probability * (1 - probability)) / n));
  }
});

/** Standard normal distribution function, by its series (Abramowitz and Stegun 26.2.10). */
function normalBelow(z: number): number {
  let term = z;
  let sum = z;
  for (let k = 1; k < 60; k += 1) {
    term *= (-z * z) / (2 * k);
    sum += term / (2 * k + 1);
  }
  return 0.5 + sum / Math.sqrt(2 * Math.PI);
}

test.each([
  [0, "touch"], [0.02, "light"], [0.0382, "1.5"], [0.1, "3"], [0.61, "24"], [1.03, "40..41.5"], [1.1, "43..44"], [2.1, ">80"],
])("exact hands write a gap of %f mm as %s", (gapMm, written) => {
  const stream = inventedStream(SEED, "written", 0);
  expect(readGap(gapMm, inventedOperator(stream, exactHands), stream).written).toBe(written);
});

test("one who does not look for light writes 0", () => {
  const stream = inventedStream(SEED, "blind", 0);
  const operator = inventedOperator(stream, { ...exactHands, looksForLight: false });
  expect([0, 0.02].map((gapMm) => readGap(gapMm, operator, stream).written)).toEqual(["0", "0"]);
});

test("an edge is within its tolerance, and nothing at its ends", () => {
  const stream = inventedStream(SEED, "edges", 0);
  for (let k = 0; k < 200; k += 1) {
    const { edge } = inventedOperator(stream);
    for (let uMm = -225; uMm <= 225; uMm += 25) expect(Math.abs(edgeErrorMm(edge, uMm))).toBeLessThan(0.0201);
    expect(edgeErrorMm(edge, 225) + edgeErrorMm(edge, -225)).toBe(0);
    expect(Math.abs(edgeErrorMm(edge, 0) - edge.evenMm)).toBeLessThan(1e-15);
  }
});

test("the edge rocks on a clear back bow and is pressed down at both ends in turn; not on forward bow", () => {
  const necks = Array.from({ length: 120 }, (_, k) => surveyed("atTheBench", k, { ...FULL_PLAN, settingsPerLine: 1 }));
  const pressed = ({ readings }: (typeof necks)[number]): number => readings.settings.filter((setting) => setting.pressedAtFret !== undefined).length;
  const backBow = necks.filter(({ truth }) => truth.bend.bowMm < -0.15);
  const forwardBow = necks.filter(({ truth }) => truth.bend.bowMm > 0.15);
  expect(Math.min(backBow.length, forwardBow.length)).toBeGreaterThan(15);
  expect(backBow.filter((neck) => pressed(neck) > 0).length / backBow.length).toBeGreaterThan(0.5);
  expect(forwardBow.filter((neck) => pressed(neck) > 0).length).toBe(0);
  for (const neck of necks) {
    expect(pressed(neck) % 2).toBe(0);
    for (const setting of neck.readings.settings.filter((one) => one.pressedAtFret === undefined)) {
      const touching = setting.gaps.filter((gap) => gap.trueGapMm < 1e-9).map((gap) => gap.xMm);
      expect(Math.max(...touching) - Math.min(...touching)).toBeGreaterThanOrEqual(neck.operator.rocksBelowMm);
    }
  }
});

test("three readings are three readings, on a neck that does not rock the edge", () => {
  const { truth, readings } = Array.from({ length: 50 }, (_, k) => surveyed("smooth", k, THREE_READINGS)).find((neck) => neck.truth.bend.bowMm > 0.2) ?? expect.fail("no such neck");
  expect(readings.settings.map((setting) => setting.gaps.map((gap) => gap.fret))).toEqual([[truth.neck.zeroFret ? 0 : 1, expect.any(Number), truth.neck.bodyJoint]]);
  expect(readings.rockers).toEqual([]);
});

test("at the bench a fifth of the readings are missing", () => {
  const stream = inventedStream(SEED, "plans", 0);
  const plan = Array.from({ length: 40 }, () => planFor("atTheBench", stream)).find((one) => one.rocker) ?? expect.fail("no such plan");
  const taken = Array.from({ length: 40 }, (_, k) => surveyed("smooth", k, { ...FULL_PLAN, missingShare: plan.missingShare }).readings.rockers.length);
  const all = Array.from({ length: 40 }, (_, k) => surveyed("smooth", k).readings.rockers.length);
  const share = taken.reduce((a, b) => a + b, 0) / all.reduce((a, b) => a + b, 0);
  expect(Math.abs(share - 0.8)).toBeLessThan(0.03);
});

test("the sheet has every reading, and the CSV a row for each", () => {
  const { truth, operator, readings } = surveyed("smooth", 5);
  const sheet = inventedSheet(truth.neck, operator, readings);
  const gaps = sheet.settings.flatMap((setting) => setting.readings).length;
  const single = sheet.rockers.filter((rocker) => !rocker.written.includes(",")).length;
  const csv = inventedCsv(readings, { neck: "A-1", stage: "fretted, \"dry\"", date: "2024-03-01", state: { rod: "neutral", humidity: "45" } });
  const rows = csv.trimEnd().split("\n");
  expect(rows.length - 1).toBe(gaps + single + 3 * (sheet.rockers.length - single));
  expect(rows[0]).toBe("neck,stage,date,surface,line,path,tool,setting,at,gap,unit,note,rod,strings,support,hoursSinceGlue,humidity,temperature,fretState");
  expect(rows[1]).toMatch(/^A-1,"fretted, ""dry""",2024-03-01,fretTops,bass,,straightedge,bass 1,\d+,[^,]+,thou,,neutral,,,,45,,$/);
});

test("a survey is the same whenever it is made", () => {
  const once = inventedSheetOf(12);
  expect(inventedSheetOf(12)).toEqual(once);
});

function inventedSheetOf(neck: number): ReturnType<typeof inventedSheet> {
  const { truth, operator, readings } = surveyed("atTheBench", neck, FULL_PLAN, {});
  return inventedSheet(truth.neck, operator, readings);
}
