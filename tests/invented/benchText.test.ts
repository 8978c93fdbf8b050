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
import type { SurveySheet } from "../../src/readings/reading.js";
import { valueOrThrow } from "../../src/units/problem.js";
import { meaningOf } from "./compared.js";

const SEED = 5;
const plan = { ...FULL_PLAN, leafUnderMiddle: false, missingShare: 0.1 };

test.each(["smooth", "kinksAndZones", "atTheBench"] satisfies InventedFamily[])("what an operator writes at the bench reads back as what was meant, family %s", (family) => {
  for (let number = 0; number < 8; number += 1) {
    const { neck, operator, readings } = made(family, number, plan);
    const meant = inventedSheet(neck, operator, readings);
    const read = valueOrThrow(readBenchText(neck, inventedBenchText(readings, { stage: "invented" })), "bench text");
    expect(inAnyOrder(meaningOf(read).gaps)).toEqual(inAnyOrder(meaningOf(meant).gaps));
    // `still` in a pass is read as more than was tried: the bounds of the others must agree.
    expect(meaningOf(rocking(read)).rockers).toEqual(meaningOf(rocking(meant)).rockers);
    expect(read.rockers.length).toBe(meant.rockers.length);
  }
});

/** Tables part settings by number, sheets by line: the number of the setting is left out. */
function inAnyOrder(gaps: readonly string[]): string[] {
  return gaps.map((gap) => gap.replace(/^\[\d+/, "[")).sort();
}

function rocking(sheet: SurveySheet): SurveySheet {
  return { ...sheet, rockers: sheet.rockers.filter((rocker) => rocker.written !== "still") };
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
