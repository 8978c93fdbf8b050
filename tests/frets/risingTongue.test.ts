import { describe, expect, test } from "vitest";
import { fretReport, verdict } from "neck-survey";
import { risingTongue } from "../../src/frets/risingTongue.js";
import { surveyed } from "./bench.js";

/** Invented gaps, in thou, under an edge on frets 1 and 22. */
const lines = (gaps: Readonly<Record<number, string>>): string =>
  `rod: neutral\nstrings: off\nedge: 24 in, straight within 0.02 mm\nfret bass centre treble\n${Object.entries(gaps).map(([fret, gap]) => `${fret} ${gap} ${gap} ${gap}`).join("\n")}\n`;

const RISES = surveyed(lines({ 1: "touch", 4: "12", 7: "18", 10: "20", 12: "20", 14: "18", 16: "15", 18: "10", 20: "5", 22: "touch" }));
/** A parabola over all frets, 0.25 mm (10 thou) deep. */
const EVEN = surveyed(lines({ 1: "touch", 3: "5", 5: "8", 8: "10", 10: "10", 12: "8", 14: "7", 16: "5", 18: "3", 20: "2", 22: "touch" }));

describe("a tongue that rises", () => {
  test("is told with the fret, by how much it rises beyond the neck's bow, and what does not cure it", () => {
    const tongue = risingTongue(RISES);
    // 15 thou under fret 16 of an edge on fret 1 and 22: the line of frets 1 and 16 reaches 18 thou under fret 22
    expect(tongue?.fall.value).toBeCloseTo(-0.46, 1);
    expect(tongue?.at.label).toBe("22");
    expect(verdict(RISES).describe()).toMatch(/The tongue rises beyond the body joint \(fret 16\): at fret 22, \w+ line, the neck line stands 0\.4\d mm, .* more than the bow of the neck carried on would lift it\./);
    expect(verdict(RISES).describe()).toContain("The rod does not reach the tongue");
    expect(fretReport(RISES).describe()).toContain("Frets 18, 20 and 22: the tongue rises there");
  });

  test("is not what an even bow lifts: that is the bow's", () => {
    expect(risingTongue(EVEN)).toBeUndefined();
    expect(verdict(EVEN).describe()).not.toContain("tongue");
    expect(fretReport(EVEN).describe()).not.toContain("tongue");
  });

  test("is not asked for where nothing was read beyond the joint", () => {
    const short = surveyed("fret centre\n1 touch\n4 6\n8 9\n12 6\n16 touch\n");
    expect(risingTongue(short)).toBeUndefined();
  });
});
