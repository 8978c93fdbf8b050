import { describe, expect, test } from "vitest";
import { adjust, readNextFor } from "neck-survey";
import type { ReadNext } from "neck-survey";
import { NECK, THOU, along, bowed, exact, interval, lineNamed, sheet, sweep } from "../survey/bench.js";
import { readSurvey } from "./known.js";

const three = (lowThou: number): ReturnType<typeof adjust> => adjust(NECK, sheet([along("centre", [exact("centre", 1, 0), interval("centre", 8, lowThou * THOU, (lowThou + 1) * THOU), exact("centre", 16, 0)])]));
const full = adjust(NECK, sheet([sweep(bowed(0.2), lineNamed("centre"))]));

function only<S extends ReadNext["status"]>(found: ReadNext, status: S): Extract<ReadNext, { status: S }> {
  if (found.status !== status) throw new RangeError(`expected ${status}, got ${found.status}: ${found.describe()}`);
  return found as Extract<ReadNext, { status: S }>;
}

describe("readNextFor", () => {
  test("the relief of three readings: a place, a tool and what it gains", () => {
    const found = only(readNextFor(three(8), { about: "relief", line: "centre" }), "read");
    expect(found.thenMm).toBeLessThan(found.nowMm);
    expect(found.reading.line).toBe("centre");
    expect(found.decision).toBeUndefined();
    expect(found.describe()).toMatch(/^Read next: (rock a short edge over|slide a leaf under the same edge at) fret \d+, centre line\. The give or take of the relief of the centre line would go from 0\.\d\d mm \(.* thou\) to about 0\.\d\d mm \(.* thou\)\.$/);
  });

  test("taking the reading that is advised gains about what was said", () => {
    const before = three(8);
    const advised = only(readNextFor(before, { about: "relief", line: "centre" }), "read");
    if (advised.reading.tool !== "straightedge" || advised.reading.at.fret === undefined) throw new RangeError("expected a gap under the edge");
    const low = Math.floor((0.2159 * (1 - ((advised.reading.at.fret - 8) / 8) ** 2)) / THOU);
    const readings = [exact("centre", 1, 0), interval("centre", 8, 8 * THOU, 9 * THOU), interval("centre", advised.reading.at.fret, low * THOU, (low + 1) * THOU), exact("centre", 16, 0)];
    const after = readNextFor(adjust(NECK, sheet([along("centre", readings)])), { about: "relief", line: "centre" });
    if (!("nowMm" in after)) throw new RangeError("expected a give or take");
    expect(after.nowMm).toBeLessThan(advised.nowMm);
    expect(Math.abs(after.nowMm - advised.thenMm)).toBeLessThan(0.5 * advised.thenMm);
  });

  test("a fret that nothing was read at is asked for on the spot, and the decision that hangs on it is told", () => {
    const found = only(readNextFor(three(8), { about: "fret", line: "centre", fret: 5 }), "read");
    expect(Math.abs((found.reading.at.fret ?? 0) - 5)).toBeLessThanOrEqual(1);
    expect(found.decision?.choice).toBe("not high");
    expect(found.describe()).toContain("the height of fret 5 on the centre line");
    expect(found.describe()).toContain("It changes the decision");
  });

  test("where the readings leave no doubt, no further reading changes the decision", () => {
    const high = readSurvey({ lineMm: () => 0, highMm: (fret) => (fret === 9 ? 0.12 : 0) });
    const found = only(readNextFor(high, { about: "fret", line: "centre", fret: 9 }), "decided");
    expect(found.decision.choice).toBe("high");
    expect(found.decision.probability).toBeGreaterThan(0.99);
    expect(found.describe()).toBe("Centre line: fret 9 is high. No further reading is likely to change that.");
  });

  test("the rod: which way, from the limits wanted", () => {
    const asked = (low: number, high: number): ReadNext => readNextFor(full, { about: "rod", line: "centre", wantedMm: { low, high } });
    expect(only(asked(0.5, 0.6), "decided").describe()).toBe("Centre line: the rod would have to be turned for more relief, toward forward bow (middle low), to come to what is wanted: 0.50 mm (19.7 thou) to 0.60 mm (23.6 thou) forward bow (middle low). No further reading is likely to change that.");
    expect(only(asked(-0.6, -0.5), "decided").decision.choice).toBe("less relief");
    expect(only(asked(-0.5, 0.6), "decided").decision.choice).toBe("leave it");
    expect(only(readNextFor(full, { about: "rod", line: "centre" }), "decided").describe()).toMatch(/straight within 0\.10 mm \(3\.9 thou\) either way, as a neck that goes out bare is to be\. If it will be strung, ask rod advice\./);
    const open = asked(0.1, 0.1 + 0.2);
    expect(open.status === "undetermined" ? undefined : open.decision?.probability).toBeDefined();
  });

  test("a wanted relief that is reversed or no number is refused with what to write", () => {
    for (const [low, high] of [[0.4, 0.1], [NaN, 0.1], [0.1, NaN], [0.1, Infinity]] as const) {
      expect(() => readNextFor(full, { about: "rod", line: "centre", wantedMm: { low, high } })).toThrow(`expected a wanted relief from its least to its most in mm, got ${low} to ${high} (write { low: 0.1, high: 0.3 }; back bow is below 0)`);
    }
  });

  test("a line that was not read is told what to read; an unknown line is refused", () => {
    const twoLines = readNextFor(three(8), { about: "fret", line: "bass", fret: 5 });
    expect(only(twoLines, "undetermined").need).toBe("rock a short edge over fret 5 on the bass line, and read gaps on both sides of it");
    expect(() => readNextFor(full, { about: "relief", line: "left" })).toThrow("Cannot answer for line left: the lines of this neck are bass, centre, treble");
  });
});
