import { describe, expect, test } from "vitest";
import { fretReport } from "neck-survey";
import type { FretFinding, FretReport } from "neck-survey";
import { neckWith, surveyed, TWO_HIGH, withBeside } from "./bench.js";

function finding(report: FretReport, fret: number): FretFinding {
  const found = report.frets.find((one) => one.fret === fret);
  if (found === undefined) throw new RangeError(`fret ${fret} is not in the report`);
  return found;
}

const survey = surveyed(TWO_HIGH);
const plain = fretReport(survey);

describe("the fret report", () => {
  test("tells a lifted end from a fret that is up all across, how high, how sure, and asks for the look that decides", () => {
    expect(finding(plain, 7)).toMatchObject({ class: "lifted at one end", off: ["treble"], where: "treble end", action: { do: "look under the crown", lines: ["treble"] } });
    expect(finding(plain, 14)).toMatchObject({ class: "high", where: "all across", action: { do: "look under the crown" } });
    expect(plain.words().frets[0]).toMatch(/^Fret 7, treble end: almost surely high by 0\.06 mm, give or take 0\.0\d \(2\.\d thou, give or take 0\.\d\)\. Slide a thin leaf under the crown, treble end, then decide: tap or level\.$/);
    expect(plain.frets.filter(({ action }) => action.do !== "leave").map(({ fret }) => fret)).toEqual([7, 14]);
  });

  test("gives every fret and line read its height, its probability over the limit and the ends of the curve", () => {
    expect(plain.frets.flatMap(({ lines }) => lines)).toHaveLength(66);
    expect(plain.frets.filter(({ endOfCurve }) => endOfCurve).map(({ fret }) => fret)).toEqual([1, 2, 21, 22]);
    expect(finding(plain, 7).lines.map(({ line, stands }) => [line, stands])).toEqual([["bass", "as intended"], ["centre", "as intended"], ["treble", "high"]]);
    expect(finding(plain, 9).lines.every(({ probabilityHigh }) => probabilityHigh < 0.05)).toBe(true);
  });

  test("is checked by a plain outlier test, which picks out the same frets and is kept out of the words", () => {
    expect(plain.standOuts).toEqual([
      { status: "tested", line: "bass", test: "generalised ESD, 1 %", frets: [14] },
      { status: "tested", line: "centre", test: "generalised ESD, 1 %", frets: [14] },
      { status: "tested", line: "treble", test: "generalised ESD, 1 %", frets: [7, 14] },
    ]);
    expect(plain.describe()).not.toMatch(/outlier|ESD|z-score/);
  });

  test("prints the unit first that the user picked", () => {
    expect(plain.describe("thou first")).toMatch(/high by 2\.\d thou, give or take 0\.\d \(0\.06 mm/);
  });
});

describe("a look under the crown and the seating log decide", () => {
  const looked = (beside: string): FretReport => fretReport(withBeside(survey, beside));

  test("a gap: seat; no gap: level; moved frets first, levelling last", () => {
    const report = looked("surface: underCrown\nfret centre treble\n7 - 2.5\n14 touch -\n");
    expect(finding(report, 7).action).toMatchObject({ do: "seat", lines: ["treble"], leavesHigh: false });
    expect(finding(report, 14).action).toEqual({ do: "level", why: "no gap under the crown" });
    expect(report.work.map((step) => step.do)).toEqual(["seat", "rock again", "level"]);
    expect(report.words().cautions.join(" ")).toMatch(/strings off.*dust harms lungs.*Local rules/);
  });

  test("light under the crown is a gap, too small to win all: what is left is levelled", () => {
    const { action } = finding(looked("surface: underCrown\nfret treble\n7 light\n14 light\n"), 14);
    expect(action).toMatchObject({ do: "seat", lines: ["treble"] });
  });

  test("the thinnest leaf that does not go leaves room for a thinner gap, which is looked for before the fret is filed; and a look at another place than the lifted end decides nothing", () => {
    const report = looked("surface: underCrown\nfret bass treble\n7 2 -\n14 - 0\n");
    expect(finding(report, 7).action.do).toBe("look under the crown");
    expect(finding(report, 14).action).toMatchObject({ do: "level", why: "no leaf goes" });
    expect(report.describe()).toMatch(/No leaf goes under the crown, which leaves room for up to 0\.04 mm \(1\.\d thou\) of air: look for light under it or try something thinner before you file\./);
    expect(report.describe()).not.toContain("tapping cannot lower it");
    expect(report.describe()).toContain("Level fret 14 last, from a fresh survey");
  });

  test("a fret that came up again is pulled and refitted, and named; one tapped to still is rocked again", () => {
    const report = looked("7 treble: rocks 2 > tapped > still > next day > rocks 2 > tapped > rocks 2\n14 centre: rocks 3 > tapped > still\n");
    expect(finding(report, 7).action).toEqual({ do: "pull and refit", outcome: "came up again" });
    expect(finding(report, 14).action).toMatchObject({ do: "read", why: "tapped since" });
    expect(report.describe()).toContain("Pull it and refit it: it came up again");
    expect(report.describe()).toContain("Fret 14, centre: rocks 3 > tapped > still: stayed down.");
    expect(report.describe()).toContain("fly when nipped");
    const once = looked("7 treble: rocks 2 > tapped > still > next day > rocks 2\n");
    expect(finding(once, 7).action.do).toBe("look under the crown");
    expect(once.describe()).toContain("came up again (1 try)");
  });

  test("says that a tang cut back does not hold its end", () => {
    const report = fretReport({ ...survey, neck: neckWith({ tangs: { cutBack: "2 mm" } }) });
    expect(report.words().frets[0]).toContain("The tang is cut back from the end, so the slot does not hold it there: over-bend or glue must.");
    expect(report.words().frets[1]).not.toContain("cut back");
  });
});

test("a low fret that may be pulled and refitted carries that caution, once", () => {
  const words = fretReport(surveyed(TWO_HIGH.replace("12    8      9       8", "11    16     16      16\n12    8      9       8").replace(/rocked[^]*/, "rocked frets 2-21 on bass, centre, treble: still\n"))).describe();
  expect(words).toContain("pull it and refit it");
  expect(words.split("When you pull and refit").length - 1).toBe(1);
});

describe("few readings", () => {
  test("three readings say hardly anything of single frets, and name the rocking that would", () => {
    const report = fretReport(surveyed("fret centre\n1 touch\n7 9\n16 touch"));
    expect(report.words().headline).toContain("these readings hardly say how any fret stands");
    expect(report.describe()).toContain("Fret by fret needs more readings");
    expect(report.words().work).toEqual([]);
    expect(report.describe()).not.toMatch(/Fret 7[:,]/);
    expect(finding(report, 1).action).toEqual({ do: "leave", why: "hardly read" });
    expect(report.describe()).toContain("Not read on the centre line: frets 2 to 6, 8 to 15 and 17 to 22.");
  });

  test("a pass of the rocker alone finds the fret that rocks", () => {
    const report = fretReport(surveyed("rocked frets 2-21 on bass, centre, treble: still except 7 treble rocks 3"));
    expect(report.frets.filter(({ action }) => action.do !== "leave").map(({ fret }) => fret)).toEqual([7]);
    expect(finding(report, 7).class).toBe("lifted at one end");
  });

  test("no shape: says what to read, and advises nothing", () => {
    const report = fretReport(surveyed("fret centre\n1 touch"));
    expect(report.frets).toEqual([]);
    expect(report.describe()).toMatch(/nothing was read of its frets that says how they stand/);
  });

  test("the limit is the shop's where it is stated, and said to be common practice where it is not", () => {
    expect(plain.describe()).toContain("The limit, 0.03 mm (1.2 thou), is common practice, no source.");
    const strict = fretReport({ ...survey, neck: neckWith({ limits: { fretHigh: "0.10 mm" } }) });
    expect(strict.limitMm).toBe(0.1);
    expect(strict.frets.every(({ action }) => action.do === "leave")).toBe(true);
    expect(strict.describe()).toContain("The limit, 0.10 mm (3.9 thou), is the one stated for this neck.");
  });
});

describe("looks under crowns that are adjusted with the other readings", () => {
  const NO_AIR = "surface: underCrown\nfret bass centre treble\n14 touch touch touch\n7 - - touch\n";

  test.each([["none seen", NO_AIR], ["the thinnest leaf refused", NO_AIR.replaceAll("touch", "0")]])("no air (%s) leaves a fret as high as it rocks, and blames no neighbour", (_, text) => {
    const report = fretReport(surveyed(TWO_HIGH + text));
    for (const fret of [7, 14]) {
      expect(finding(report, fret).action.do).toBe("level");
      expect(Math.abs(finding(report, fret).high.value - finding(plain, fret).high.value)).toBeLessThan(0.005);
    }
    expect(report.frets.filter(({ class: stands }) => stands !== "as intended").map(({ fret }) => fret)).toEqual([7, 14]);
  });

  test("a leaf thicker than the fret stands high moves no neighbour", () => {
    const report = fretReport(surveyed(`${TWO_HIGH}surface: underCrown\nfret treble\n7 5\n`));
    expect(finding(report, 7).action.do).toBe("seat");
    expect(report.frets.filter(({ action }) => action.do !== "leave").map(({ fret }) => fret)).toEqual([7, 14]);
  });
});

describe("on a twisted neck", () => {
  /** As the survey of the same readings would be, with sighting bars laid at both ends of it. */
  const twisted = (risenMm: number): FretReport => fretReport(surveyed(`${TWO_HIGH}\nsightingBars treble\n1 0\n22 ${risenMm}±0.2mm\n`));

  test("beyond the limit the frets wait for the board, and none is told to be left or worked on first", () => {
    const report = twisted(4);
    expect(report.words().frets[0]).toBe("Do nothing to the frets until the twist is settled: it is over the limit, and what is planed out of the board is planed with the frets out.");
    expect(report.describe()).toContain("Once the twist is settled, in this order:");
    expect(report.describe()).not.toContain("Leave them.");
    expect(report.frets.filter(({ action }) => action.do !== "leave").map(({ fret }) => fret)).toEqual([7, 14]);
  });

  test("within the limit the report is as without the bars", () => {
    const told = twisted(0).describe();
    expect(told).not.toContain("twist");
    expect(told).toContain("In this order:");
    expect(told).toContain("Leave them.");
  });
});
