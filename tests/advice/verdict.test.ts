import { describe, expect, test } from "vitest";
import { adjust, verdict } from "neck-survey";
import { NECK, THOU, along, bowed, exact, interval, sheet, sweep } from "../survey/bench.js";
import type { Truth } from "../survey/bench.js";

describe("verdict", () => {
  const three = verdict(adjust(NECK, sheet([along("centre", [exact("centre", 1, 0), interval("centre", 8, 8 * THOU, 9 * THOU), exact("centre", 16, 0)])])));

  test("says where, how much and which way, how sure, and what to read next, in this order", () => {
    const lines = three.describe().split("\n");
    expect(lines[0]).toBe("test neck: forward bow (middle low).");
    expect(lines[1]).toMatch(/^Centre line, frets 1 to 16: forward bow \(middle low\)/);
    expect(lines.find((line) => line.startsWith("How sure"))).toMatch(/^How sure: the truth lies within the give or take 19 times in 20\./);
    expect(lines.at(-1)).toMatch(/^Read next: slide a leaf under the same edge at frets \d+ and \d+, centre line\./);
  });

  test("prints the unit first that the user picked, and always both", () => {
    const thouFirst = verdict(adjust(NECK, sheet([along("centre", [exact("centre", 1, 0), interval("centre", 8, 8 * THOU, 9 * THOU), exact("centre", 16, 0)])])), "thou first");
    expect(thouFirst.where[0]).toMatch(/\d\.\d thou, give or take \d\.\d \(0\.\d\d mm, give or take 0\.\d\d\)/);
    expect(three.where[0]).toMatch(/0\.\d\d mm, give or take 0\.\d\d \(\d\.\d thou, give or take \d\.\d\)/);
  });

  test("calls light under the edge no leaf that went", () => {
    const lit = verdict(adjust(NECK, sheet([along("centre", [exact("centre", 1, 0), interval("centre", 8, 0.003, 1.5 * THOU), exact("centre", 16, 0)])])));
    expect(three.howSure.join(" ")).toContain("A leaf that goes is the least that the gap can be");
    expect(lit.howSure.join(" ")).not.toContain("A leaf that goes");
  });

  test("says that a slip would go unseen where nothing checks the readings, and not where something does", () => {
    expect(three.howSure.join(" ")).toContain('No other reading checks fret 1 centre ("touch")');
    const swept = verdict(adjust(NECK, sheet(NECK.lines.map((line) => sweep(bowed(0.2), line)))));
    expect(swept.headline).toBe("test neck: forward bow (middle low) on all 3 lines read.");
  });

  test("without a shape says so and asks for readings", () => {
    const nothing = verdict(adjust(NECK, sheet([along("centre", [exact("centre", 1, 0)])])));
    expect(nothing.headline).toBe("test neck: these readings do not yet determine its shape.");
    expect(nothing.describe()).toContain("lay the edge along the centre line on frets 1 and 16");
    expect(nothing.readNext).toEqual([]); // said once, with the line it is about
  });

  test("names the frets that stand above the neck line, on which lines and by how much", () => {
    const truth: Truth = (line, fret) => bowed(0.2)(line, fret) + (fret === 9 ? 0.08 : 0) + (line === "treble" && fret === 14 ? 0.08 : 0);
    const { where } = verdict(adjust(NECK, sheet(NECK.lines.map((line) => sweep(truth, line)))));
    expect(where.slice(3)).toEqual([
      expect.stringMatching(/^Fret 9 stands above the neck line on all lines read: 0\.0[78] mm, give or take 0\.0\d /),
      expect.stringMatching(/^Fret 14 (probably )?stands above the neck line on the treble line: 0\.0[678] mm, give or take 0\.0\d /),
      "What to do with them is in the fret report; look under the crown before you tap or file.",
    ]);
  });
});
