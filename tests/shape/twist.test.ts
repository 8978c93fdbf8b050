import { describe, expect, test } from "vitest";
import { adjust, twistOfNeck } from "neck-survey";
import type { Twist } from "neck-survey";
import { NECK, sheet } from "../survey/bench.js";
import { bars, board, lengthwise } from "../survey/board.js";

function twistOf(twistMm: number, withBars = true): Twist {
  const heights = board({ bowMm: 0.2, twistMm, crownMm: 0.04 });
  const edges = NECK.lines.map(({ name }) => lengthwise(heights, name, { uMm: 0.004 }));
  return twistOfNeck(adjust(NECK, sheet(withBars ? [...edges, bars(heights, 0.05)] : edges)));
}

describe("twistOfNeck", () => {
  test("tells which side is turned up, by how much, and whether that is within the limit", () => {
    const found = twistOf(0.6);
    if (found.status === "undetermined") throw new RangeError(found.need);
    expect(found.twist.low95).toBeLessThan(0.6);
    expect(found.twist.high95).toBeGreaterThan(0.6);
    expect(found.within).toBe("no");
    expect(found.describe()).toMatch(/^Twist from fret 1 to fret 22: turned up at the treble side toward fret 22 by 0\.\d\d mm, give or take 0\.\d\d \(.* thou.*\) over the board's width at fret 22; over the limit of 0\.30 mm \(11\.8 thou\)\.$/);
    expect(twistOf(-0.6).describe()).toContain("turned up at the bass side toward fret 22 by");
    expect(twistOf(0).describe()).toContain("none to be sure of, best estimate");
  });

  test("is undetermined along the neck, with the reading that would fix it", () => {
    expect(twistOf(0.6, false).describe()).toBe("Twist: not determined by these readings. To fix it: lay two sighting bars across, at fret 1 and at the last fret, or read gaps under the edge along both diagonals.");
  });
});
