import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { clearances, fretPlacesTable, fretReport, fretTable, show, tell } from "neck-survey/notebook";
import { frameColumns } from "../../src/notebook/frame.js";
import { reportJson } from "../../src/notebook/reportJson.js";
import { tableText } from "../../src/notebook/table.js";
import { neckWith, surveyed, TWO_HIGH } from "../frets/bench.js";

let printed = "";
const survey = surveyed(TWO_HIGH);
const report = fretReport(survey);

beforeEach(() => {
  printed = "";
  vi.spyOn(console, "log").mockImplementation((line: string) => {
    printed += `${line}\n`;
  });
});

afterEach(() => {
  vi.restoreAllMocks();
});

describe("the fret report in a notebook", () => {
  test("tell prints it word for word, and what was assumed", () => {
    tell(report);
    expect(printed.startsWith(report.describe())).toBe(true);
    expect(printed).toContain("Assumed, because it was not given:");
  });

  test("show draws the neck with its frets marked", () => {
    show(report);
    expect(printed).toContain("Marked: fret 7 treble");
  });

  test("the table has a row for every fret and line, numbers with fixed decimals, and says what to do", () => {
    const rows = tableText(frameColumns(fretTable(report))).split("\n");
    expect(rows).toHaveLength(67);
    expect(rows[0]).toMatch(/^fret +line +over the neck line mm +give or take mm +over the neck line thou +give or take thou +over the limit +the fret stands +what to do +note$/);
    expect(rows.find((row) => /^ +7 +treble/.test(row))).toMatch(/0\.06\d +0\.0\d\d +2\.\d +0\.\d +over 99 % +lifted at one end \(treble end\) +leaf under the crown$/);
    expect(tableText(frameColumns(fretTable(report, "thou first")))).toMatch(/^fret +line +over the neck line thou/);
  });

  test("tell takes clearances, with a sentence over all lines first", () => {
    tell(clearances(survey, { strings: { atNutMm: 0.4, atLastFretMm: 3 } }));
    expect(printed).toMatch(/^Pressed strings: clear of every fret, by as much as is wanted, on every line read\.\nString on the bass line: /);
    printed = "";
    tell(clearances(survey, { strings: { atNutMm: 0.4, atLastFretMm: 1 } }));
    expect(printed).toMatch(/^Pressed strings: too little clearance on the bass, centre and treble lines\./);
    printed = "";
    tell(clearances(survey));
    expect(printed).toMatch(/^Pressed strings: what they clear is not determined\./);
  });

  test("the report for other programs holds every fret with its class and what to do", () => {
    const { frets, fretAdvice } = reportJson([survey]);
    expect(frets).toHaveLength(22);
    expect(frets).toContainEqual(expect.objectContaining({ fret: 7, class: "lifted at one end", where: "treble end", action: "look under the crown" }));
    expect(fretAdvice).toEqual(report.describe().split("\n"));
  });

  test("the table of fret places shows mm and inches, and refuses half a cone in one sentence", () => {
    const rows = tableText(frameColumns(fretPlacesTable(neckWith()))).split("\n");
    expect(rows.find((row) => /^ +12 /.test(row))).toMatch(/^ +12 +317\.500 +12\.500 /);
    expect(() => fretPlacesTable(neckWith({ fingerboardRadius: { nut: "10 in", lastFret: "flat" } }))).toThrow("a cone does not become flat");
  });
});
