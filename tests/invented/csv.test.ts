import { expect, test } from "vitest";
import { inventedCsv } from "../../src/invented/csv.js";
import { demoFiles } from "../../src/invented/demo.js";
import { inventedNeck } from "../../src/invented/neck.js";
import { inventedOperator } from "../../src/invented/operator.js";
import { FULL_PLAN, planFor } from "../../src/invented/plan.js";
import { inventedReadings } from "../../src/invented/readings.js";
import { inventedSheet } from "../../src/invented/sheet.js";
import { inventedStream } from "../../src/invented/stream.js";
import { readNeck } from "../../src/neck/neckFile.js";
import { readReadingsCsv } from "../../src/readings/readingsCsv.js";
import { valueOrThrow } from "../../src/units/problem.js";
import { meaningOf } from "./compared.js";

const SEED = 6;

test.each(["smooth", "kinksAndZones", "atTheBench"] as const)("a tidy CSV reads back as what was meant, family %s", (family) => {
  for (let number = 0; number < 10; number += 1) {
    const truth = inventedNeck(inventedStream(SEED, "csv/neck", number), family);
    const hand = inventedStream(SEED, "csv/operator", number);
    const operator = inventedOperator(hand, { looksForLight: number % 2 === 0 });
    const readings = inventedReadings(truth, operator, hand, number % 3 === 0 ? FULL_PLAN : planFor(family, hand));
    const sheets = valueOrThrow(readReadingsCsv(truth.neck, inventedCsv(readings, { neck: truth.neck.name, stage: "invented", date: "2026-03-02" })), "CSV");
    expect(sheets.length).toBe(1);
    for (const sheet of sheets) expect(meaningOf(sheet)).toEqual(meaningOf(inventedSheet(truth.neck, operator, readings)));
  }
});

test("the demonstration is read without a problem, two surveys with all their state", () => {
  const text = (ending: string): string => demoFiles().find((file) => file.path.endsWith(ending))?.text ?? "";
  const neck = valueOrThrow(readNeck(text("neck.json")), "neck");
  const sheets = ["01-fretted-and-glued.csv", "02-a-week-later.csv"].flatMap((file) => valueOrThrow(readReadingsCsv(neck, text(file)), file));
  expect(sheets.map(({ stage, date, state }) => ({ stage, date, state }))).toMatchObject([
    { stage: "fretted and glued", date: "2026-03-02", state: { rod: "neutral", strings: "off", hoursSinceGlue: 20, humidityPercent: 46, temperatureC: 20, fretState: "pressed" } },
    { stage: "a week later", date: "2026-03-09", state: { hoursSinceGlue: 188, humidityPercent: 44 } },
  ]);
  expect(sheets.flatMap((sheet) => sheet.notes)).toEqual([]);
});
