import { describe, expect, test } from "vitest";
import { adjust, fretReport } from "neck-survey";
import type { FretFinding } from "neck-survey";
import { inventedNeck } from "../../src/invented/neck.js";
import { inventedOperator } from "../../src/invented/operator.js";
import { planFor } from "../../src/invented/plan.js";
import { inventedReadings } from "../../src/invented/readings.js";
import { inventedSheet } from "../../src/invented/sheet.js";
import { inventedStream } from "../../src/invented/stream.js";
import { trueHighMm } from "../../src/invented/truth.js";

const SEED = 5;
const NECKS = [0, 1, 2, 3];

type Judged = { readonly finding: FretFinding; readonly heightsMm: readonly number[] };

/** Every fret of a few invented necks, with what is advised and its true heights on the lines read. */
function judged(number: number): readonly Judged[] {
  const truth = inventedNeck(inventedStream(SEED, "advice/neck", number), "smooth");
  const hand = inventedStream(SEED, "advice/operator", number);
  const operator = inventedOperator(hand);
  const sheet = inventedSheet(truth.neck, operator, inventedReadings(truth, operator, hand, planFor("smooth", hand)));
  return fretReport(adjust(truth.neck, sheet)).frets.map((finding) => ({ finding, heightsMm: finding.lines.map(({ line }) => trueHighMm(truth, line, finding.fret)) }));
}

describe(`advice on ${NECKS.length} invented necks (seed ${SEED}; the whole study: tests/study/frets.mjs)`, () => {
  const all = NECKS.flatMap(judged);
  const high = all.filter(({ heightsMm }) => Math.max(...heightsMm) >= 0.05);
  const level = all.filter(({ heightsMm }) => heightsMm.every((mm) => Math.abs(mm) <= 0.015));

  test("a fret that is clearly high is never left, one that is clearly as intended is never worked on", () => {
    expect(high.length).toBeGreaterThan(3);
    expect(level.length).toBeGreaterThan(50);
    expect(high.filter(({ finding }) => finding.action.do === "leave")).toEqual([]);
    expect(level.filter(({ finding }) => finding.action.do !== "leave" && finding.action.do !== "read")).toEqual([]);
  });

  test("no gap was seen, so nothing is to be tapped", () => {
    expect(all.filter(({ finding }) => finding.action.do === "seat")).toEqual([]);
  });
});
