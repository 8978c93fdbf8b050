import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readBenchText } from "../../src/readings/benchText.js";
import type { ReadOptions } from "../../src/readings/options.js";
import type { GapReading, SurveySheet } from "../../src/readings/reading.js";
import { readReadingFiles } from "../../src/readings/readingFiles.js";
import { readReadingsCsv } from "../../src/readings/readingsCsv.js";
import { complaints, NECK, read } from "./necks.js";

const SEED = 20_260_504;
const HEAD = "neck,stage,date,surface,line,path,tool,setting,at,gap,unit,note";

function sheetsOf(text: string, options: ReadOptions = {}): readonly SurveySheet[] {
  return read(readReadingsCsv(NECK, text, { source: "r.csv", ...options }));
}

function told(text: string): readonly string[] {
  return complaints(readReadingsCsv(NECK, text, { source: "r.csv" }));
}

function rows(...lines: readonly string[]): string {
  return [HEAD, ...lines].join("\n");
}

describe("a tidy CSV", () => {
  test("one row a reading; a setting is the same stage, date, surface, line, tool and setting", () => {
    const [sheet] = sheetsOf(rows("Ash,after glue-up,2026-05-04,fretTops,bass,,straightedge,1,1,touch,,", "Ash,after glue-up,2026-05-04,,bass,,,1,7,4,thou,a note", "Ash,after glue-up,2026-05-04,,bass,,,2,7,3,,", "Ash,after glue-up,2026-05-04,,treble,,,1,7,0.10,mm,"));
    expect(sheet?.settings.map((setting) => [setting.label, setting.readings.length])).toEqual([["first setting of the edge, bass", 2], ["second setting of the edge, bass", 1], ["first setting of the edge, treble", 1]]);
    expect(sheet?.settings[0]?.readings[1]).toMatchObject({ written: "4 thou", note: "a note", origin: { source: "r.csv", row: 3, column: "gap" } });
    expect(sheet?.notes).toContain("r.csv, row 3: a note");
    expect(sheet?.settings[2]?.readings[0]?.gap).toMatchObject({ lowMm: 0.1, highMm: 0.15 });
  });

  test("BOM, CRLF, semicolons with decimal commas, tabs, quoted cells and a sep= line", () => {
    const plain = rows("Ash,s,2026-05-04,,bass,,,,1,touch,,", 'Ash,s,2026-05-04,,bass,,,,7,"0,10",mm,"one; two, ""three"""', "Ash,s,2026-05-04,,bass,,,,16,touch,,");
    const semicolons = 'neck;stage;date;surface;line;path;tool;setting;at;gap;unit;note\nAsh;s;2026-05-04;;bass;;;;1;touch;;\nAsh;s;2026-05-04;;bass;;;;7;0,10;mm;"one; two, ""three"""\nAsh;s;2026-05-04;;bass;;;;16;touch;;';
    const expected = sheetsOf(plain);
    expect(expected[0]?.settings[0]?.readings[1]?.note).toBe('one; two, "three"');
    expect(sheetsOf(semicolons)).toEqual(expected);
    expect(sheetsOf(semicolons.replaceAll(";", "\t").replace('"one\t two, ""three"""', '"one; two, ""three"""'))).toEqual(expected);
    expect(sheetsOf(`\uFEFF${plain.replaceAll("\n", "\r\n")}\r\n`)).toEqual(expected);
    expect(sheetsOf(`sep=;\n${semicolons}`)[0]?.settings[0]?.readings[0]?.origin.row).toBe(3);
  });

  test.each([0, 0.0001, 0.5, NaN, -1])("a feel of %s mm given beside it is refused, as bench text refuses it", (feelMm) => {
    const text = "line,at,gap\ncentre,1,touch\ncentre,7,4";
    const complained = complaints(readReadingsCsv(NECK, text, { feelMm }));
    expect(complained).toEqual([`options, column feelMm: found ${feelMm}; expected the feel of a hand from 0.0005 to 0.1 mm, as 0.005 mm`]);
    expect(complaints(readBenchText(NECK, "fret centre\n1 touch\n7 4", { feelMm }))).toEqual(complained);
  });

  test("one sheet for each stage and date, in the order of the file", () => {
    const sheets = sheetsOf(rows("Ash,b,2026-05-05,,bass,,,,7,4,,", "Ash,a,2026-05-04,,bass,,,,7,4,,", "Ash,b,2026-05-05,,bass,,,,16,touch,,"));
    expect(sheets.map((sheet) => [sheet.stage, sheet.date, sheet.settings[0]?.readings.length])).toEqual([["b", "2026-05-05", 2], ["a", "2026-05-04", 1]]);
  });

  test("the state: blank means as in the row above, and each survey has its own", () => {
    const text = `line,stage,at,gap,rod,strings,support,hoursSinceGlue,humidity,temperature,fretState\nbass,a,1,touch,neutral,off,in a jig,24,45 %,20,pressed\nbass,a,7,4,,,,,,,\nbass,b,7,4,slack,,,,,,`;
    const [first, second] = sheetsOf(text);
    expect(first?.state).toEqual({ rod: "neutral", strings: "off", support: "in a jig", hoursSinceGlue: 24, humidityPercent: 45, temperatureC: 20, fretState: "pressed" });
    expect(second?.state).toEqual({ rod: "slack" });
  });

  test("stage and day that are blank are as in the row above, and that is listed", () => {
    const [sheet] = sheetsOf(rows("Ash,s,2026-05-04,,bass,,,,1,touch,,", ",,,,bass,,,,7,4,,"));
    expect(sheet?.settings[0]?.readings).toHaveLength(2);
    expect(sheet?.assumed).toContain("stage: where blank, taken as in the row above");
  });

  test("across one fret, and along a diagonal", () => {
    const [sheet] = sheetsOf(rows("Ash,s,,,bass,across,,,7,touch,,", "Ash,s,,,treble,across,,,7,2,,", "Ash,s,,,bass,across,,,9,touch,,", "Ash,s,,,,diagonal bass@1 treble@16,,,1,touch,,", "Ash,s,,,,diagonal bass@1 treble@16,,,7,3,,"));
    expect(sheet?.settings.map((setting) => [setting.label, setting.path.kind, setting.readings.length])).toEqual([
      ["first setting of the edge, across at fret 7", "across", 2], ["first setting of the edge, across at fret 9", "across", 1], ["first setting of the edge, from bass at fret 1 to treble at fret 16", "diagonal", 2],
    ]);
  });

  test("every surface and every tool", () => {
    const [sheet] = sheetsOf(rows(
      "Ash,s,,wood,bass,,notched,,3.5,4,,", "Ash,s,,underCrown,bass,,,,7,<1.5,,", "Ash,s,,underside,bass,,benchPlate,,@123.4mm,40,,", "Ash,s,,glueFace,centre,,straightedge,,@50mm,0,,",
      "Ash,s,,,bass,,dialBar,,7,-0.02±0.01,mm,", "Ash,s,,,bass,,tautString,,7,10+6,,", "Ash,s,,,bass,,endBlocks,,7,20.1±0.1,mm,", "Ash,s,,,bass,across,sightingBars,,7,1.0±0.5,mm,", "Ash,s,,,bass,,crownGauge,,7,1.10±0.02,mm,", "Ash,s,,,centre,across,radiusGauge,,7,light,,",
    ));
    expect(sheet?.settings.map((setting) => [setting.tool.kind, setting.surface])).toEqual([
      ["notched", "wood"], ["straightedge", "underCrown"], ["benchPlate", "underside"], ["straightedge", "glueFace"],
      ["dialBar", "fretTops"], ["tautString", "fretTops"], ["endBlocks", "fretTops"], ["sightingBars", "fretTops"], ["crownGauge", "fretTops"], ["radiusGauge", "fretTops"],
    ]);
  });

  test("tools of the user's own come by the options", () => {
    const tools = [{ name: "long-edge", kind: "straightedge", lengthMm: 600, straightnessToleranceMm: 0.01 }] as const;
    const [sheet] = sheetsOf("line,at,gap,tool\nbass,7,4,Long Edge", { tools });
    expect(sheet?.assumed).toContain("neck: where not named, taken as Ash");
    expect(sheet?.settings[0]?.tool).toBe(tools[0]);
  });

  test("a mark names the rocker by itself; three gaps of one setting are one rocker reading", () => {
    const [sheet] = sheetsOf(rows("Ash,s,,,bass,,,,7,rocks=2,,", "Ash,s,,,bass,,rocker,1,9,0,,", "Ash,s,,,bass,,rocker,1,10,0,,", "Ash,s,,,bass,,rocker,1,11,2,,far end"));
    expect(sheet?.rockers.map((rocker) => [rocker.frets, rocker.written])).toEqual([[[6, 7, 8], "rocks 2 thou"], [[9, 10, 11], "fret 9: 0, fret 10: 0, fret 11: 2 thou"]]);
    expect(sheet?.settings).toEqual([]);
  });

  test("rows that were not measured load, and a note on them is kept", () => {
    const [sheet] = sheetsOf(rows("Ash,s,,,bass,,,,1,touch,,", "Ash,s,,,bass,,,,7,-,,glue in the way", "Ash,s,,,bass,,,,9,,,"));
    expect(sheet?.settings[0]?.readings).toHaveLength(1);
    expect(sheet?.notes).toContain("r.csv, row 3: glue in the way");
  });
});

describe("what is wrong in a file is told, all of it at once", () => {
  test("every problem has its row and column", () => {
    expect(told("neck,line,at,gap,unit,rod\nOak,bass,3-Apr,8,mm,slack\nOak,basss,7,4.7,,neutral\nAsh,7,bass,4,,")).toEqual([
      'r.csv, row 2, column neck: found "Oak" (and in 1 more row); expected readings of the neck "Ash" (these may be the readings of another neck, or its name is misspelt)',
      'r.csv, row 2, column gap: found "8"; expected 8thou if thou were meant, or 0.08mm if hundredths of a mm were meant: 8mm is no leaf of the metric set (0.03mm to 1mm) nor a stack of up to three of them (write the unit after it, or once for all, unit: thou above a table or in the column unit of a CSV)',
      'r.csv, row 2, column at: found "3-Apr"; expected a fret from 1 to 22 (a spreadsheet may have changed it into a date: between frets 3 and 4 write 3.5, never 3-4)',
      'r.csv, row 3, column gap: found "4.7"; expected a leaf of the thou set or a stack of up to three of them (nearest leaves 4thou and 5thou) (write an interval as 4..5, or 4.2±0.3 for a dial or digital reading)',
      'r.csv, row 3, column line: found "basss"; expected a line of the neck: bass, centre, treble (write bass)',
      'r.csv, row 4, column at: found "bass"; expected a fret (line and at are swapped in this row)',
    ]);
  });

  test.each<readonly [string, string, RegExp]>([
    ["an empty file", "", /^r\.csv: found an empty file; expected headings \(neck,stage/],
    ["only headings", HEAD, /^r\.csv: found no reading; expected a gap in at least one row/],
    ["a title over the headings", "Readings of May,,\nline,at,gap\nbass,7,4", /row 1: found "Readings of May" with empty cells beside it; .*merged headings may stand above/],
    ["merged headings", "line,at,gap,,note\nbass,7,4,5,", /row 1, column 4: found an empty heading; expected a heading over every column \(merged headings/],
    ["a heading that is unknown", "line,at,gap,stge\nbass,7,4,s", /row 1, column 4: found the heading "stge"; .*\(write stage\)/],
    ["a heading twice", "line,at,gap,at\nbass,7,4,8", /row 1, column 4: found a second column "at"; expected each column once/],
    ["a missing heading", "line,fret,gap\nbass,7,4", /column at: found no such column|column 2: found the heading "fret"/],
    ["a decimal comma between commas", "line,at,gap,unit\nbass,7,0,10,mm", /row 2: found 5 cells; expected 4, as many as there are headings \(a decimal comma/],
    ["a quotation mark left open", 'line,at,gap,note\nbass,7,4,"open', /found a quotation mark that is not closed/],
    ["a contradicting state", "line,at,gap,rod\nbass,1,touch,slack\nbass,7,4,neutral", /row 3, column rod: found "neutral"; expected "slack", as in r\.csv, row 2: a survey is of one state \(give readings in another state another stage or date\)/],
    ["a place twice", "line,at,gap\nbass,7,4\nbass,7,5", /row 3, column gap: found "5 thou"; expected one value for 7 bass in one setting, where 4 thou in r\.csv, row 2 stands already \(give a second setting-down its own number/],
    ["a tool that is none", "line,at,gap,tool\nbass,7,4,roker", /column tool: found "roker"; .*\(write rocker\)/],
    ["a surface that is none", "line,at,gap,surface\nbass,7,4,top", /column surface: found "top"; expected a surface: fretTops, wood/],
    ["a path that is none", "line,at,gap,path\nbass,7,4,zigzag", /column path: found "zigzag"; expected nothing \(along the line\), across, or "diagonal/],
    ["a diagonal that is none", "line,at,gap,path\nbass,7,4,diagonal bass@1 bass@9", /column path: .*from one line and place of the neck to another line and another place/],
    ["a unit that is none", "line,at,gap,unit\nbass,7,4,in", /column unit: found "in"; expected thou or mm, or nothing for thou \(write the gap as 0\.004in/],
    ["a day of a spreadsheet", "line,at,gap,date\nbass,7,4,04\\05\\2026", /column date: .*expected a day as year-month-day/],
    ["a day as a number", "line,at,gap,date\nbass,7,4,46146", /column date: found "46146"; expected a day as year-month-day, as 2026-05-04 \(a spreadsheet may have changed it/],
    ["a line left out", "line,at,gap\n,7,4", /column line: found nothing; expected a line of the neck: bass, centre, treble \(name the line of this row\)/],
    ["a rocker on the wood", "line,at,gap,surface\nbass,7,still,wood", /column surface: found "wood"; expected fretTops, or nothing: a rocker stands on fret tops/],
    ["a rocker across", "line,at,gap,path\nbass,7,still,across", /column path: found "across"; expected nothing: a rocker stands along the line/],
    ["a mark under an edge", "line,at,gap,tool\nbass,7,still,straightedge", /column gap: found "still"; expected a gap under the edge/],
    ["two gaps of a rocker", "line,at,gap,tool\nbass,6,0,rocker\nbass,7,2,rocker", /expected a mark at the middle fret .*or three gaps at three neighbouring frets in one setting; found 2 at 6 bass, 7 bass/],
    ["three gaps under a rocker, two open", "line,at,gap,tool\nbass,6,2,rocker\nbass,7,0,rocker\nbass,8,2,rocker", /row 3, column gap: found "0"; expected one gap at most: a rocker stands on two of its three frets/],
    ["a gap below zero under an edge", "line,at,gap\nbass,7,-4.2±0.3", /column gap: found "-4\.2±0\.3 thou"; expected a gap of 0 or more under the edge/],
    ["a gap far too wide", "line,at,gap,unit\nbass,7,8±0.1,mm", /column gap: found "8±0\.1 mm"; expected no more than 5\.00 mm \(196\.9 thou\) under the edge/],
  ])("%s", (_, text, expected) => {
    expect(told(text)).toContainEqual(expect.stringMatching(expected));
  });

  test("the same row twice is counted once and noted", () => {
    const [sheet] = sheetsOf("line,at,gap\nbass,7,4\nbass,7,4thou");
    expect(sheet?.settings[0]?.readings).toHaveLength(1);
    expect(sheet?.notes).toContain("r.csv, row 3: 7 bass was read once more in the same setting and says the same (4thou); it is counted once");
  });
});

test("a file of more rows than any neck has is refused before it takes long", () => {
  const text = ["line,at,gap", ...Array.from({ length: 10_001 }, () => "bass,7,4")].join("\n");
  expect(told(text)).toEqual(["r.csv, row 10002: found 10001 rows of readings; expected up to 10000: no neck has so many (give each neck a file of its own)"]);
  expect(complaints(readBenchText(NECK, "7 4 4 4\n".repeat(10_001)))).toEqual([expect.stringMatching(/^table, row 10001: found 10002 lines; expected up to 10000/)]);
});

describe("several files", () => {
  test("a second sheet continues the first where stage and date agree, CSV and bench text alike", () => {
    const sheets = read(readReadingFiles(NECK, [
      { source: "a.csv", text: "line,stage,date,at,gap,rod\nbass,s,2026-05-04,1,touch,slack\nbass,s,2026-05-04,16,touch,\nbass,t,2026-05-05,7,4,neutral" },
      { source: "b.txt", text: "stage: s\ndate: 2026-05-04\nfret bass\n7 4\nrocked frets 2-3 on bass: still" },
      { source: "c", text: "line,stage,date,at,gap\nbass,s,2026-05-04,7,5" },
    ]));
    expect(sheets.map((sheet) => [sheet.stage, sheet.settings.map((setting) => setting.readings.length), sheet.rockers.length])).toEqual([["s", [3, 1], 2], ["t", [1], 0]]);
    expect(sheets[0]?.state).toEqual({ rod: "slack" });
    expect(sheets[0]?.settings[0]?.readings.map((reading) => reading.origin.source)).toEqual(["a.csv", "a.csv", "c"]);
  });

  test("problems of all files are told at once, a contradiction between two of them too", () => {
    const told2 = complaints(readReadingFiles(NECK, [{ source: "a.csv", text: "line,at,gap\nbass,7,x" }, { source: "b.txt", text: "fret bass\n7 y" }]));
    expect(told2.map((text) => text.slice(0, 12))).toEqual(["a.csv, row 2", "b.txt, row 2"]);
    const state = complaints(readReadingFiles(NECK, [{ source: "a.csv", text: "line,at,gap,rod\nbass,7,4,slack" }, { source: "b.txt", text: "rod: neutral\nfret bass\n7 4" }]));
    expect(state).toEqual(['b.txt, row 1, column rod: found "neutral"; expected "slack", as in a.csv, row 2: a survey is of one state (give readings in another state another stage or date)']);
    expect(complaints(readReadingFiles(NECK, []))).toEqual(["readings: found no file; expected one file of readings or more"]);
  });
});

function said(sheet: SurveySheet | undefined): readonly string[] {
  return (sheet?.settings ?? []).flatMap((setting) => setting.readings.map(saidBy)).sort();
}

function saidBy(reading: GapReading): string {
  return JSON.stringify([reading.line, reading.place, reading.gap, reading.written]);
}

describe("properties", () => {
  const cell = fc.constantFrom("4", "10+6", "4..5", "<1.5", ">40", "0", "touch", "light", "0.10mm", "4.2±0.3", "2.5", "17");
  const readings = fc.uniqueArray(fc.record({ line: fc.constantFrom("bass", "centre", "treble"), at: fc.integer({ min: 1, max: 22 }), gap: cell }), { minLength: 1, maxLength: 40, selector: (reading) => `${reading.line} ${reading.at}` });

  test(`no reading is lost, and rows may stand in any order (seed ${SEED})`, () => {
    fc.assert(
      fc.property(readings, (list) => {
        const lines = list.map((reading) => `${reading.line},${reading.at},"${reading.gap}"`);
        const [sheet] = sheetsOf(["line,at,gap", ...lines].join("\n"));
        const [turned] = sheetsOf(["line,at,gap", ...lines.slice().reverse()].join("\n"));
        expect(said(sheet)).toHaveLength(list.length);
        expect(said(turned)).toEqual(said(sheet));
      }),
      { seed: SEED },
    );
  });

  test(`a bench table and a CSV of the same readings say the same (seed ${SEED})`, () => {
    fc.assert(
      fc.property(readings, (list) => {
        const frets = [...new Set(list.map((reading) => reading.at))].sort((a, b) => a - b);
        const at = (fret: number, line: string): string => list.find((reading) => reading.at === fret && reading.line === line)?.gap ?? "-";
        const text = ["fret bass centre treble", ...frets.map((fret) => [fret, at(fret, "bass"), at(fret, "centre"), at(fret, "treble")].join(" "))].join("\n");
        const [csv] = sheetsOf(["line;at;gap", ...list.map((reading) => `${reading.line};${reading.at};${reading.gap}`)].join("\n"));
        expect(said(read(readBenchText(NECK, text)))).toEqual(said(csv));
      }),
      { seed: SEED },
    );
  });

  test(`one wrong cell in any row refuses the whole table and names its row (seed ${SEED})`, () => {
    fc.assert(
      fc.property(readings, fc.nat(), (list, pick) => {
        const wrong = pick % list.length;
        const lines = list.map((reading, index) => `${reading.line},${reading.at},"${index === wrong ? "3-4" : reading.gap}"`);
        expect(told(["line,at,gap", ...lines].join("\n"))).toEqual([expect.stringContaining(`row ${wrong + 2}, column gap: found "3-4"`)]);
      }),
      { seed: SEED },
    );
  });

  test(`any text gives sheets or located problems (seed ${SEED})`, () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 200 }), (text) => {
        for (const outcome of [readReadingsCsv(NECK, text), readBenchText(NECK, text), readReadingFiles(NECK, [{ source: "x", text: `line,at,gap\n${text}` }])]) {
          if (outcome.status === "refused") for (const problem of outcome.problems) expect(problem.expected.length * problem.found.length * problem.source.length).toBeGreaterThan(0);
        }
      }),
      { seed: SEED, numRuns: 1000 },
    );
  });
});

test.each(["fret,bass,centre,treble\n1,touch,touch,touch\n7,9,9,9", "fret;bass\n7;4", "straightedge,centre\n7,4"])("a bench table saved as a CSV is one mistake: %j", (text) => {
  const found = readReadingsCsv(NECK, text);
  expect(found.status === "refused" ? found.problems.map(({ repair }) => repair) : []).toEqual([expect.stringMatching(/^this is a bench table, .*\.txt/)]);
});
