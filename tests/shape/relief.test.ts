import { describe, expect, test } from "vitest";
import { adjust, reliefs } from "neck-survey";
import type { Relief } from "neck-survey";
import { NECK, THOU, along, bowed, exact, interval, sheet, sweep } from "../survey/bench.js";

function only(relief: readonly Relief[]): Extract<Relief, { status: "determined" }> {
  const [first] = relief;
  if (first?.status !== "determined" || relief.length !== 1) throw new RangeError("expected one determined relief");
  return first;
}

function threeReadings(lowThou: number, neck = NECK): Extract<Relief, { status: "determined" }> {
  return only(reliefs(adjust(neck, sheet([along("centre", [exact("centre", 1, 0), interval("centre", 8, lowThou * THOU, (lowThou + 1) * THOU), exact("centre", 16, 0)])]))));
}

describe("reliefs", () => {
  test("three readings: forward bow is positive, its interval holds the gap read, and the place is named", () => {
    const found = threeReadings(8);
    expect(found.relief.low95).toBeGreaterThan(0.1);
    expect(found.relief.low95).toBeLessThan(8.5 * THOU);
    expect(found.relief.high95).toBeGreaterThan(8.5 * THOU);
    // three readings do not quite rule out a neck nine times as rough as is usual
    expect(found.probabilityForward).toBeGreaterThanOrEqual(0.999);
    expect(["7", "8", "9"]).toContain(found.at.label);
    expect(found.describe()).toMatch(/^Centre line, frets 1 to 16: forward bow \(middle low\), 0\.2\d mm, give or take 0\.\d\d \(\d\.\d thou, give or take \d\.\d\), most at fret [789]\.$/);
  });

  test("the same gap read under a middle that is high is back bow, in sign and words", () => {
    const truth = bowed(-0.2, 16);
    const readings = [1, 4, 8, 12, 16].map((fret) => exact("centre", fret, 0.3 - truth("centre", fret)));
    const found = only(reliefs(adjust(NECK, sheet([along("centre", readings)]))));
    expect(found.relief.value).toBeCloseTo(-0.2, 2);
    expect(found.relief.high95).toBeLessThan(0);
    expect(found.describe()).toContain("back bow (middle high), 0.20 mm");
  });

  test("a neck that the edge touches at both ends and in the middle is not called bowed", () => {
    const flat = only(reliefs(adjust(NECK, sheet([along("centre", [exact("centre", 1, 0), exact("centre", 8, 0), exact("centre", 16, 0)])]))));
    expect(flat.relief.low95).toBeLessThan(0);
    expect(flat.relief.high95).toBeGreaterThan(0);
    expect(flat.describe()).toContain("straight within what was read");
  });

  test("an edge that lies on both ends and lets no leaf in the middle leans toward forward bow", () => {
    const found = only(reliefs(adjust(NECK, sheet([along("centre", [exact("centre", 1, 0), interval("centre", 8, 0, 1.5 * THOU), exact("centre", 16, 0)])]))));
    expect(found.probabilityForward).toBeGreaterThan(0.75);
    expect(found.relief.value).toBeGreaterThan(0);
    expect(found.relief.value).toBeLessThan(0.06);
  });

  test("the chord ends at the body joint; without a joint it runs to the last fret read", () => {
    const truth = bowed(0.25);
    const lines = NECK.lines.map((line) => sweep(truth, line));
    const [toJoint] = reliefs(adjust(NECK, sheet(lines)));
    const { bodyJoint: _, ...jointless } = NECK;
    const [toEnd] = reliefs(adjust(jointless, sheet(lines)));
    expect(toJoint).toMatchObject({ from: { label: "1" }, to: { label: "16" } });
    expect(toEnd).toMatchObject({ from: { label: "1" }, to: { label: "22" } });
    if (toJoint?.status !== "determined" || toEnd?.status !== "determined") throw new RangeError("expected determined reliefs");
    expect(toEnd.relief.value).toBeCloseTo(0.25, 1);
    expect(toJoint.relief.value).toBeLessThan(toEnd.relief.value);
  });

  test("a line that cannot be determined says what to read", () => {
    const [found] = reliefs(adjust(NECK, sheet([along("treble", [exact("treble", 1, 0), exact("treble", 16, 0)])])));
    expect(found?.status).toBe("undetermined");
    expect(found?.describe()).toContain('Treble line: not determined by these readings. To fix it: lay the edge along the treble line on frets 1 and 16');
  });

  test("fret 1 and the joint need not be read themselves: the line is known between readings", () => {
    const truth = bowed(0.25);
    const inner = NECK.lines.slice(1, 2).map((line) => ({ ...sweep(truth, line), readings: sweep(truth, line).readings.filter(({ place: { fret } }) => fret !== 16 && fret !== 15) }));
    const found = only(reliefs(adjust(NECK, sheet(inner))));
    expect(found).toMatchObject({ from: { label: "1" }, to: { label: "16" }, reached: true });
    const short = only(reliefs(adjust(NECK, sheet([along("centre", [exact("centre", 3, 0), interval("centre", 8, 8 * THOU, 9 * THOU), exact("centre", 14, 0)])]))));
    expect(short).toMatchObject({ from: { label: "3" }, to: { label: "14" }, reached: false });
    expect(short.describe()).toContain("frets 3 to 14 (as far as was read)");
  });
});
