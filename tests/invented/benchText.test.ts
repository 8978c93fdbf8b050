import { expect, test } from "vitest";
import { inventedBenchText } from "../../src/invented/benchText.js";
import { inventedNeck } from "../../src/invented/neck.js";
import { inventedOperator } from "../../src/invented/operator.js";
import { FULL_PLAN } from "../../src/invented/plan.js";
import { inventedReadings } from "../../src/invented/readings.js";
import { inventedSheet } from "../../src/invented/sheet.js";
import { inventedStream } from "../../src/invented/stream.js";
import type { InventedFamily } from "../../src/invented/truth.js";
import { readBenchText } from "../../src/readings/benchText.js";
import { valueOrThrow } from "../../src/units/problem.js";

const SEED = 5;
const plan = { ...FULL_PLAN, leafUnderMiddle: false, missingShare: 0.1 };

test.each(["smooth", "kinksAndZones", "atTheBench"] satisfies InventedFamily[])("what an operator writes at the bench reads back as what was meant, family %s", (family) => {
  for (let number = 0; number < 8; number += 1) {
    const { neck, operator, readings } = made(family, number, plan);
    const meant = inventedSheet(neck, operator, readings);
    const read = valueOrThrow(readBenchText(neck, inventedBenchText(readings, { stage: "invented" })), "bench text");
    expect(numbered(gapsOf(read))).toEqual(numbered(gapsOf(meant)));
    expect(numbered(read.rockers.filter((rocker) => rocker.written !== "still").map(rockerOf))).toEqual(numbered(meant.rockers.filter((rocker) => rocker.written !== "still").map(rockerOf)));
    expect(read.rockers.length).toBe(meant.rockers.length);
    expect(read.feelMm).toBe(meant.feelMm);
  }
});

type Sheet = ReturnType<typeof inventedSheet>;

function gapsOf(sheet: Sheet): unknown[] {
  return sheet.settings.flatMap((setting) => setting.readings.map((reading) => [setting.tool.lengthMm, setting.tool.straightnessToleranceMm, reading.line, reading.place.fret, reading.gap])).map((row) => JSON.stringify(row, rounded)).sort();
}

function rockerOf({ line, frets, deltaMm, endsUMm, tool }: Sheet["rockers"][number]): unknown {
  return { line, frets, deltaMm, endsUMm, lengthMm: tool.lengthMm };
}

function numbered(rows: readonly unknown[]): string[] {
  return rows.map((row) => JSON.stringify(row, rounded)).sort();
}

function rounded(_: string, value: unknown): unknown {
  return typeof value === "number" && Number.isFinite(value) ? Number(value.toFixed(9)) : value;
}

function made(family: InventedFamily, number: number, withPlan: typeof plan): { neck: ReturnType<typeof inventedNeck>["neck"]; operator: ReturnType<typeof inventedOperator>; readings: ReturnType<typeof inventedReadings> } {
  const truth = inventedNeck(inventedStream(SEED, "text/neck", number), family);
  const hand = inventedStream(SEED, "text/operator", number);
  const operator = inventedOperator(hand);
  return { neck: truth.neck, operator, readings: inventedReadings(truth, operator, hand, withPlan) };
}

test("a pass refuses three gaps under one rocker", () => {
  const { readings } = made("kinksAndZones", 0, FULL_PLAN);
  const gap = readings.rockers.find((finding) => typeof finding.written !== "string") ?? expect.fail("no such finding");
  expect(() => inventedBenchText(readings, {})).toThrow(`Cannot write the rocker at fret ${gap.frets[1]}, ${gap.line}, in a pass`);
});
