import { describe, expect, test } from "vitest";
import { fretReport, unsplitBows, verdict } from "neck-survey";
import type { FretFinding, Survey } from "neck-survey";
import { surveyed } from "./bench.js";

function fret(survey: Survey, number: number): FretFinding {
  const found = fretReport(survey).frets.find((one) => one.fret === number);
  if (found === undefined) throw new RangeError(`fret ${number} is not in the report`);
  return found;
}

const EVEN = "fret treble\n1 touch\n3 3\n5 5\n7 6\n9 6\n12 5\n16 2\n19 light\n22 touch\n";

describe("a bow that no fret makes", () => {
  const balanced = (ends: number): Survey => surveyed(`fret centre\n1 ${ends}\n10 touch\n22 ${ends}\n`);

  test("of three places: a fret that stood up by a millimetre would be seen, and the bow is told as one", () => {
    expect(unsplitBows(balanced(50))).toEqual([]);
    expect(verdict(balanced(50)).headline).toBe("test neck: back bow (middle high).");
  });

  test("a small one is told with the frets that it is counted over", () => {
    const [bow] = unsplitBows(balanced(8));
    expect(bow?.over).toEqual([1, 22]);
    expect(bow?.describe()).toContain("over frets 1 to 22, or it is straight and fret 10 stands up by as much");
  });
});

describe("readings that contradict each other", () => {
  const slip = `${EVEN}rocked frets 3-12 on treble: still except 7 treble rocks 4\n`;

  test("a rocking set aside as a slip is told with its fret, and read again before the fret is left", () => {
    const survey = surveyed(slip);
    expect(survey.blunders.map(({ at, line }) => `${at} ${line}`)).toEqual(["7 treble"]);
    expect(fret(survey, 7).action).toMatchObject({ do: "read", why: "contradictory", reading: { tool: "rocker", line: "treble" } });
    expect(fretReport(survey).describe()).toMatch(/Fret 7: contradictory, "rocks 4 thou" on the treble line was set aside as a slip: .* once more, before anything else\./);
  });

  test("and so is a log that has a fret up where the readings do not", () => {
    const log = "7 treble: rocks 4 > tapped > rocks 4 > tapped > rocks 3\n";
    expect(fretReport(surveyed(slip + log)).describe()).toContain("yet the seating log has it up too");
    const still = surveyed(`${EVEN}rocked frets 3-12 on treble: still\n${log}`);
    expect(fret(still, 7).action).toMatchObject({ do: "read", why: "the log says otherwise", reading: { line: "treble" } });
    expect(fret(surveyed(`${EVEN}rocked frets 3-12 on treble: still\n`), 7).action.do).toBe("leave");
  });

  test("a fret that rocks without a leaf asks for the leaf", () => {
    const survey = surveyed(`${EVEN}rocked frets 10-18 on treble: still except 14 rocks\n`);
    expect(fret(survey, 14).action).toMatchObject({ do: "read", why: "rocks, no leaf", reading: { at: { fret: 14 } } });
    expect(fretReport(survey).describe()).toContain("Fret 14: rocks on the treble line, so it is high there by an unknown amount: no leaf was read. Rock it again and slide a leaf under the raised end, treble line.");
    expect(fretReport(survey).describe()).not.toMatch(/Fret 14: [^\n]*(?:level with|over|under) the neck line/);
    expect(fretReport(survey).words().headline).toContain("fret 14 rocks, by how much was not read");
  });

  test("a fret on which only a foot of the tool stood is not read, so it is neither open nor read once more", () => {
    const survey = surveyed("dialBar: 100 mm\ndialBar centre\n4 0.02mm\n7 0.02mm\n10 0.02mm\n");
    expect(survey.heights.map(({ place }) => place.fret)).toContain(2);
    expect(fretReport(survey).frets.map((one) => one.fret)).toEqual([4, 7, 10]);
    expect(fretReport(survey).describe()).not.toMatch(/once more|Fret 2:/);
    expect(fretReport(survey).describe()).toContain("Not read on the centre line: frets 1 to 3, 5, 6, 8, 9 and 11 to 22.");
    const stoodUp = surveyed(`dialBar: 100 mm\ndialBar centre\n4 -0.15mm\n8 -0.15mm\n${[2, 5, 7, 10, 12, 14, 16, 19].map((at) => `${at} 0mm`).join("\n")}\n`);
    expect(fretReport(stoodUp).describe()).toMatch(/fret 6 is to be read\. .*\nFret 6, centre line: not read itself; what was read beside it has it almost surely over the limit\. Rock a short edge over fret 6/);
  });
});

describe("a gap that is set aside as a slip", () => {
  const rows = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 13, 14, 15, 16].map((at) => `${at} ${at === 1 || at === 16 ? "touch" : Math.round(8 * (1 - ((at - 8) / 8) ** 2)) + 1}`);
  const text = `fret centre\n${rows.join("\n")}\n11 25\n`;
  const survey = surveyed(text);

  test("is one job: verdict and fret report ask for the same gap, and it is the next reading", () => {
    expect(survey.blunders).toMatchObject([{ at: "11", read: "gap" }]);
    expect(verdict(survey).readNext[0]).toMatch(/^Read next: the gap at fret 11, centre, once more\. Expect about 0\.\d\d mm \(\d\.\d thou\)\.$/);
    expect(verdict(survey).readNext.filter((one) => one.startsWith("Read next"))).toHaveLength(1);
    expect(fretReport(survey).describe()).toContain("Read it again first: the gap at fret 11, centre, once more, before anything else.");
    expect(fretReport(survey).describe()).not.toContain("Rock a short edge over fret 11");
  });
});

describe("three places of a line", () => {
  const BACK = "fret centre\n1 touch\n7 touch\n16 18\n\n1 18\n7 touch\n16 touch\n";

  test("cannot split a back bow from a high fret: both are told, no fret is named, and the fret is rocked first", () => {
    const survey = surveyed(BACK);
    expect(unsplitBows(survey)).toMatchObject([{ fret: 7, lines: ["centre"] }]);
    const words = verdict(survey).describe();
    expect(words).toMatch(/^test neck: back bow \(middle high\), or a high fret\.\n/);
    expect(words).toMatch(/either the neck is in back bow \(middle high\) by up to 0\.2\d mm.*or it is straight and fret 7 stands up by as much.*Rock fret 7 first/);
    expect(words).not.toContain("stands above the neck line");
    expect(words).toMatch(/Read next: rock a short edge over fret 7, centre line/);
    expect(fret(survey, 7).action).toMatchObject({ do: "read", why: "bow or high" });
    expect(fretReport(survey).describe()).not.toMatch(/leaf under the crown|almost surely|very likely/);
  });

  test("are enough for a forward bow, and so is a rocking for a back bow", () => {
    expect(unsplitBows(surveyed("fret centre\n1 touch\n7 9\n16 touch\n"))).toEqual([]);
    expect(unsplitBows(surveyed(`${BACK}rocked frets 7-7 on centre: still\n`))).toEqual([]);
  });

  test("are sharpened by two gaps halfway, not by the one that buys nothing", () => {
    const line = verdict(surveyed("fret centre\n1 touch\n7 9\n16 touch\n")).readNext.at(-1) ?? "";
    expect(line).toMatch(/^Read next: slide a leaf under the same edge at frets 4 and 11, centre line\. The give or take of its relief would go from 0\.0[89] mm .* to about 0\.0[3-6] mm/);
  });
});

describe("a hump at the body joint", () => {
  const HUMP = "fret centre\n1 touch\n3 10\n5 17\n7 20\n9 20\n12 14\n14 6\n15 3\n16 touch\n17 2\n19 10\n21 18\n22 20\n";

  test("is named before anyone files the frets that rise with it", () => {
    const survey = surveyed(HUMP);
    expect(fret(survey, 16).action).toEqual({ do: "look at the joint" });
    const report = fretReport(survey).describe();
    expect(report).toMatch(/a joint hump, 0\.\d\d mm/);
    expect(report).toContain("a hump of the neck is not cured by filing single frets of it");
    expect(report).not.toMatch(/Fret 16.*tap or level/);
    expect(verdict(survey).describe()).toMatch(/a joint hump, .*\nFrets 15 to 17 rise with the body joint/);
  });

  test("control: a single high fret at the joint of an even neck is no hump", () => {
    const high = `${EVEN.replace("16 2", "16 light")}rocked frets 13-19 on treble: still except 16 treble rocks 4\n`;
    expect(fret(surveyed(high), 16).action.do).toBe("look under the crown");
  });
});
