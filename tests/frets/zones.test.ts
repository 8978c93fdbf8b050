import { describe, expect, test } from "vitest";
import { adjust, fretReport, fretZones, verdict } from "neck-survey";
import type { EdgeSetting, FretReport } from "neck-survey";
import { NECK, along, bowed, exact, interval, sheet, sweep } from "../survey/bench.js";
import type { Truth } from "../survey/bench.js";

/** Frets 8 to 12 stand 0.07 mm up on a neck in forward bow. */
const raised: Truth = (line, fret) => bowed(0.25)(line, fret) + (fret >= 8 && fret <= 12 ? 0.07 : 0);

function looks(written: (fret: number) => ReturnType<typeof exact>): EdgeSetting {
  return { ...along("centre", [8, 10, 12].map(written)), surface: "underCrown", label: "first look under the crowns, centre" };
}

const survey = adjust(NECK, sheet(NECK.lines.map((line) => sweep(raised, line))));

/** The zone as the fret tops alone show it, with looks beside them. */
function report(...beside: readonly EdgeSetting[]): FretReport {
  return fretReport({ ...survey, sheet: { ...survey.sheet, settings: [...survey.sheet.settings, ...beside] } });
}

describe("a zone of frets that stand up together", () => {
  test("is told apart from single frets, and the look that tells the reasons apart comes first", () => {
    const open = report();
    expect(open.zones[0]).toMatchObject({ fromFret: 8, toFret: 12, reason: "open", lookAt: [8, 10, 12] });
    expect(open.frets.filter(({ fret }) => fret >= 8 && fret <= 12).every(({ action }) => action.do === "look into the zone")).toBe(true);
    expect(open.work).toEqual([{ do: "look into the zone", frets: [8, 9, 10, 11, 12] }]);
    expect(open.describe()).toContain("frets 8 to 12 stand up together");
  });

  test("a fret right beside it that stands up too is told with the zone, not tapped or filed by itself", () => {
    // fret 12 a little more, so that it stands up whichever reason the zone has
    const wider: Truth = (line, fret) => bowed(0.25)(line, fret) + (fret >= 8 && fret <= 12 ? 0.12 : 0) + (fret === 12 ? 0.06 : 0);
    const whole = adjust(NECK, sheet(NECK.lines.map((line) => sweep(wider, line))));
    const split = { ...whole, zones: whole.zones.map((zone) => ({ ...zone, toFret: 11 })) };
    const frets = fretReport(split);
    expect(frets.zones[0]).toMatchObject({ toFret: 11, reason: "open", beside: [12] });
    expect(frets.frets.find(({ fret }) => fret === 12)?.action.do).toBe("look into the zone");
    expect(frets.work).toEqual([{ do: "look into the zone", frets: [8, 9, 10, 11, 12] }]);
    const words = frets.describe();
    expect(words).toContain("Fret 12 beside them stands up too: find out first why they do.");
    expect(words).toContain("Do not tap or file any of them yet.");
    expect(words).not.toContain("not tapped a third time");
    expect(words).not.toMatch(/Fret 12: |Fret 12, /);
    expect(verdict(split).describe()).not.toContain("Fret 12 stands above");
  });

  test("the relief beside it is told as less sure than its give or take", () => {
    expect(verdict(survey).howSure.join("\n")).toContain("Beside frets 8 to 12, which stand up together, take the relief for less sure than it says (about 9 times in 10 by our study).");
  });

  test("gaps under its crowns: these frets are not seated; they are seated where the gap was seen", () => {
    const frets = report(looks((fret) => interval("centre", fret, 0.06, 0.08)));
    expect(frets.zones[0]).toMatchObject({ reason: "frets", from: "looks under the crowns" });
    expect(frets.frets.find(({ fret }) => fret === 10)?.action.do).toBe("seat");
    expect(frets.frets.find(({ fret }) => fret === 9)?.action.do).toBe("look under the crown");
  });

  test("no gap under any: the board is raised, and nothing is tapped", () => {
    const board = report(looks((fret) => exact("centre", fret, 0)));
    expect(board.zones[0]).toMatchObject({ reason: "board", from: "looks under the crowns" });
    expect(board.frets.filter(({ action }) => action.do === "level").map(({ fret }) => fret)).toEqual([8, 9, 10, 11, 12]);
    expect(fretZones(board.survey)[0]?.describe()).toContain("The board is raised there, the frets are seated: no leaf goes under their crowns.");
  });
});

test("where only crowns were read and no zone is told, the report says that a zone can pass for the neck line, and what would tell; with wood read it does not", () => {
  const even = adjust(NECK, sheet(NECK.lines.map((line) => sweep(bowed(0.2), line))));
  const said = /four or more neighbouring frets that stand up a little together can pass for the neck line.*notched edge on the bare wood/;
  expect(even.zones).toEqual([]);
  expect(fretReport(even).describe()).toMatch(said);
  const wood: EdgeSetting = { ...along("centre", [interval("centre", 3, 0.5, 0.52)]), surface: "wood" };
  expect(fretReport({ ...even, sheet: { ...even.sheet, settings: [...even.sheet.settings, wood] } }).describe()).not.toMatch(said);
  expect(report().describe()).not.toMatch(said);
});
