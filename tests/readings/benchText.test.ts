import { describe, expect, test } from "vitest";
import { readBenchText } from "../../src/readings/benchText.js";
import type { ReadOptions } from "../../src/readings/options.js";
import type { SurveySheet } from "../../src/readings/reading.js";
import { MM_PER_THOU } from "../../src/units/length.js";
import { complaints, NECK, read, ZERO_FRET_NECK } from "./necks.js";

function sheetOf(text: string, options: ReadOptions = {}): SurveySheet {
  return read(readBenchText(NECK, text, options));
}

function told(text: string, options: ReadOptions = {}): readonly string[] {
  return complaints(readBenchText(NECK, text, options));
}

function written(sheet: SurveySheet): readonly string[] {
  return sheet.settings.flatMap((setting) => setting.readings.map((reading) => `${setting.label}: ${reading.place.label} ${reading.written}`));
}

const HIDDEN = "leaves cannot tell what is below the thinnest of them: where it does not go, and where the rocker is still, any gap of up to 0.0381 mm (1.5 thou) is taken as possible";

const TABLE = "fret bass centre treble\n1 touch 0 touch\n7 4 4..5 light\n16 touch - touch\n";

describe("tables", () => {
  test("one row a fret, one column a line; what is not measured is no reading", () => {
    const sheet = sheetOf(TABLE);
    expect(written(sheet)).toEqual([
      "first setting of the edge, bass: 1 touch", "first setting of the edge, bass: 7 4 thou", "first setting of the edge, bass: 16 touch",
      "first setting of the edge, centre: 1 0", "first setting of the edge, centre: 7 4..5 thou",
      "first setting of the edge, treble: 1 touch", "first setting of the edge, treble: 7 light", "first setting of the edge, treble: 16 touch",
    ]);
    expect(sheet.settings[0]?.readings[1]?.origin).toEqual({ source: "table", row: 3, column: "bass" });
  });

  test("cells parted by tabs and by bars say the same as by blanks", () => {
    const tabs = TABLE.replaceAll(" ", "\t");
    const bars = TABLE.trim().split("\n").map((line) => `| ${line.replaceAll(" ", " | ")} |`);
    const [head = "", ...rows] = bars;
    const plain = written(sheetOf(TABLE));
    expect(written(sheetOf(tabs))).toEqual(plain);
    expect(written(sheetOf([head, "|---|:--:|---|--:|", ...rows].join("\n")))).toEqual(plain);
    expect(written(sheetOf(`\uFEFF${TABLE.replaceAll("\n", "\r\n")}`))).toEqual(plain);
  });

  test("an empty cell between tabs or bars is not measured; between blanks it must be written", () => {
    expect(written(sheetOf("fret\tbass\tcentre\n1\ttouch\t\n7\t\t4"))).toHaveLength(2);
    expect(told("fret bass centre\n1 touch touch\n7 4")).toEqual(['table, row 3: found 1 cell after the place ("4"); expected 2 cells (bass, centre) (write - for a place not measured)']);
  });

  test("columns in any order, some of them only; without a heading the neck's lines in order", () => {
    expect(sheetOf("fret treble bass\n1 touch 0").settings.map((setting) => setting.path)).toEqual([{ kind: "along", line: "treble" }, { kind: "along", line: "bass" }]);
    const plain = sheetOf("1 touch 0 touch");
    expect(plain.settings).toHaveLength(3);
    expect(plain.assumed).toContain("columns of the table: not named, taken as bass, centre, treble (add a heading line, for example: fret bass centre treble)");
  });

  test("a table without a heading, of other columns than the neck has lines, asks for its heading once", () => {
    expect(told("1 touch touch\n7 4 4\n16 touch touch")).toEqual(['table, row 1: found 2 cells after the place ("touch touch"); expected 3 cells (bass, centre, treble) (add a heading line, for example: fret bass centre treble)']);
  });

  test("a row may begin with the word fret, and a heading may have commas and capital letters", () => {
    const plain = written(sheetOf("fret bass centre treble\n3 4 4,5+-1 5\n7 4 - 5"));
    expect(written(sheetOf("Fret Bass, Centre, TREBLE\nfret 3  4  4,5+-1  5\nFRET 7 4 - 5"))).toEqual(plain);
    expect(written(sheetOf("| fret | bass | centre | treble |\n|---|---|---|---|\n| fret 3 | 4 | 4,5+-1 | 5 |\n| fret7 | 4 | | 5 |"))).toEqual(plain);
    expect(written(sheetOf("fret bass centre treble\nfret 3  4  4,5  5"))).toHaveLength(3);
  });

  test("a neck whose lines are numbered has headings of numbers", () => {
    const numbered = { ...NECK, lines: [{ name: "1", share: 0.1 }, { name: "6", share: 0.9 }] as const };
    expect(read(readBenchText(numbered, "fret 1 6\n7 4 5")).settings.map((setting) => setting.path)).toEqual([{ kind: "along", line: "1" }, { kind: "along", line: "6" }]);
  });

  test("a remark between rows is refused by itself and leaves the rows after it as they are", () => {
    expect(told("fret bass centre\n7 4 4\nlunch was good\n9 4 4")).toEqual(['table, row 3, column 1: found "lunch"; expected a heading as "fret bass centre treble" (or with a tool in place of fret), a row that begins with a fret, or a line as "rod: neutral" (begin a remark with #)']);
  });

  test("a blank line, or a new heading, begins a second setting", () => {
    const labels = ["first setting of the edge, bass", "second setting of the edge, bass"];
    expect(sheetOf("fret bass\n1 touch\n7 4\n\n9 3\n16 touch").settings.map((setting) => setting.label)).toEqual(labels);
    expect(sheetOf("fret bass\n1 touch\n7 4\nfret bass\n9 3\n16 touch").settings.map((setting) => setting.label)).toEqual(labels);
  });

  test("a heading may begin with the tool", () => {
    const sheet = sheetOf("tool long: straightedge, 600 mm, straight within 0.01 mm\nlong bass\n1 touch\n\nnotched fret centre\n1 touch\n\nrocker bass treble\n5 still rocks=2");
    expect(sheet.settings.map((setting) => setting.label)).toEqual(["first setting of the long, bass", "first setting of the notched edge, centre"]);
    expect(sheet.settings[0]?.tool).toEqual({ name: "long", kind: "straightedge", lengthMm: 600, straightnessToleranceMm: 0.01 });
    expect(sheet.rockers.map((rocker) => [rocker.line, rocker.frets, rocker.written])).toEqual([["bass", [4, 5, 6], "still"], ["treble", [4, 5, 6], "rocks 2 thou"]]);
  });

  test("the surface holds for the tables after it", () => {
    const sheet = sheetOf("fret bass\n1 touch\nsurface: wood\nfret bass\n1.5 touch\n@123.4mm 0,10mm");
    expect(sheet.settings.map((setting) => [setting.surface, setting.label])).toEqual([["fretTops", "first setting of the edge, bass"], ["wood", "first setting of the edge, bass, on the wood"]]);
  });
});

describe("the rocker pass and the seating log", () => {
  const PASS = "rocked frets 2-21 on bass, centre, treble: still except 7 treble rocks 2, 14 centre rocks";

  test("a pass by exception", () => {
    const { rockers } = sheetOf(PASS);
    expect(rockers).toHaveLength(60);
    expect(rockers.filter((rocker) => rocker.written !== "still").map((rocker) => [rocker.frets[1], rocker.line, rocker.written])).toEqual([[7, "treble", "rocks 2 thou"], [14, "centre", "rocks"]]);
  });

  test("lists of frets, all lines, and frets that were left out", () => {
    const { rockers } = sheetOf("rocked frets 2-4, 6 and 8 to 9 on all lines: still except 3 bass not measured");
    expect(rockers.map((rocker) => rocker.frets[1])).toEqual([2, 2, 2, 3, 3, 4, 4, 4, 6, 6, 6, 8, 8, 8, 9, 9, 9]);
  });

  test("one line needs no line in its exceptions, and a comma in a number is a decimal comma", () => {
    expect(sheetOf("rocked frets 5-7 on treble: still except 6 rocks 2,5").rockers.map((rocker) => rocker.written)).toEqual(["still", "rocks 2,5 thou", "still"]);
  });

  test("a fret at the end is noted, and refused where it is said to rock", () => {
    const sheet = sheetOf("rocked frets 1-22 on bass: still");
    expect(sheet.rockers).toHaveLength(20);
    expect(sheet.notes).toEqual([
      "table, row 1: fret 1 bass cannot be the middle of three frets (there is none before fret 1), so the rocker says nothing of it there",
      "table, row 1: fret 22 bass cannot be the middle of three frets (there is none beyond fret 22), so the rocker says nothing of it there",
    ]);
    expect(told("rocked frets 1-21 on bass: still except 1 bass rocks")).toEqual(['table, row 1, column rocked: found "rocks"; expected a middle fret from 2 to 21: a rocker stands on three frets, and there is none before fret 1 (name the middle fret of the three)']);
    expect(read(readBenchText(ZERO_FRET_NECK, "rocked fret 1 on bass: still")).rockers).toHaveLength(1);
  });

  test.each<readonly [string, RegExp]>([
    ["rocked frets 2-21: still", /expected a pass as "rocked frets 2-21 on bass/],
    ["rocked frets 2-23 on bass: still", /found "frets 2-23"; expected frets from 1 to 22/],
    ["rocked frets 9-2 on bass: still", /found "frets 9-2"; expected frets from 1 to 22/],
    ["rocked frets 2-9 on bas: still", /found "bas"; expected a line of the neck: bass, centre, treble \(write bass\)|found "bas"/],
    ["rocked frets 2-9 on bass: rocks", /expected a pass that was still/],
    ["rocked frets 2-9 on bass: still except 12 bass rocks", /found "12 bass rocks"; expected an exception inside its pass/],
    ["rocked frets 2-9 on bass, treble: still except 7 rocks", /expected the line of the exception/],
    ["rocked frets 2-9 on bass: still except 7 bass rocks 4.7", /expected a leaf of the thou set/],
    ["rocked frets 2-9 on bass: still except 7 bass rocks, 7 bass rocks 2", /expected each exception once/],
    ["rocked frets 2-9, 4 on bass: still", /expected each fret once/],
  ])("%s is refused", (text, expected) => {
    expect(told(text)).toEqual([expect.stringMatching(expected)]);
  });

  test("a leaf under the rocker that is far too thick is a wrong unit", () => {
    expect(told("rocked frets 5-7 on bass: still except 6 rocks 3±0.1mm")).toEqual([expect.stringMatching(/found "rocks 3±0\.1mm"; expected no more than 2\.00 mm \(78\.7 thou\) under the rocker/)]);
  });

  test("two passes that say different things of a fret are refused, the same thing is noted", () => {
    const told2 = told("rocked frets 5-7 on bass: still\nrocked fret 6 on bass: still except 6 rocks");
    expect(told2).toEqual([expect.stringMatching(/row 2, column rocked: found "rocks"; expected one value for 6 bass in one setting, where still in table, row 1 stands already/)]);
    const sheet = sheetOf("rocked frets 5-7 on bass: still\nrocked fret 6 on bass: still");
    expect(sheet.rockers).toHaveLength(3);
    expect(sheet.notes).toEqual(["table, row 2: 6 bass was read once more in the same setting and says the same (still); it is counted once"]);
  });

  test("seating", () => {
    expect(sheetOf("7 treble: rocks 2 > tapped > still").seating).toEqual([{ fret: 7, line: "treble", steps: ["rocks 2", "tapped", "still"], origin: { source: "table", row: 1, column: "seating" } }]);
    expect(told("7 treble: rocks 2")).toEqual([expect.stringMatching(/expected what was seen and done, parted by >/)]);
    expect(told("7 trebel: a > b")).toEqual([expect.stringMatching(/found "trebel"|found "7 trebel: a > b"; expected a line of the neck/)]);
    expect(told("23 treble: a > b")).toEqual([expect.stringMatching(/expected a fret from 1 to 22/)]);
  });
});

describe("state and settings", () => {
  test("everything stated is kept, and then nothing of it is assumed", () => {
    const sheet = sheetOf(
      `stage: after glue-up\ndate: 2026-05-04\nneck: ash\nrod: neutral\nstrings: off\nsupport: on its back on blocks\nhours since glue: 2 days\nhumidity: 45 %\ntemperature: 68 F\nfrets: pressed\nunit: mm\nleaves: 0.05 0.10 0.15 mm, tolerance 0.002 mm\nedge: 18 in, straight within 0.02 mm\nfeel: 0.004 mm\nsurface: fret tops\nnote: dirty hands\nfret bass\n1 touch\n7 0.1`,
    );
    expect(sheet).toMatchObject({ neck: "Ash", stage: "after glue-up", date: "2026-05-04", feelMm: 0.004 });
    expect(sheet.state).toEqual({ rod: "neutral", strings: "off", support: "on its back on blocks", hoursSinceGlue: 48, humidityPercent: 45, temperatureC: 20, fretState: "pressed" });
    expect(sheet.settings[0]?.tool.lengthMm).toBeCloseTo(457.2, 9);
    expect(sheet.settings[0]?.readings[1]?.gap).toEqual({ kind: "interval", lowMm: 0.1, highMm: 0.15, endsUMm: 0.002 / Math.sqrt(3) });
    expect(sheet.assumed).toEqual([]);
    expect(sheet.notes[0]).toBe("table, row 16: dirty hands");
  });

  test("everything not stated is listed as assumed", () => {
    expect(sheetOf("fret bass\n1 touch\n7 4").assumed).toEqual([
      "stage: not stated", "date: not stated", "rod: not stated, taken as neutral", "strings: not stated, taken as off", "support: not stated, taken as on its back on blocks",
      "frets: not stated, taken as pressed in and not levelled", "hours since glue, humidity, temperature: not stated, nothing is corrected for them",
      "numbers without a unit: taken in thou (common practice, no source)", "surface: not stated, taken as fret tops",
      "leaves: not stated, taken as the usual thou set (0.0381 to 1.016 mm, 1.5 to 40 thou, 27 leaves, each within 0.004 mm, 0.16 thou) (common practice, no source)",
      "edge: size not stated, taken as 450 mm (17.717 in) long and straight within 0.02 mm (0.79 thou) (common practice, no source)",
      "feel of the hand: not stated, taken as 0.005 mm (0.2 thou) (common practice, no source)",
    ]);
  });

  test("leaves marked in mm say the unit of plain numbers too, and that is told", () => {
    const sheet = sheetOf("leaves: 0.05 0.10 0.15 mm\nfret bass\n1 touch\n7 0,10");
    expect(sheet.settings[0]?.readings[1]?.gap).toMatchObject({ lowMm: 0.1, highMm: 0.15 });
    expect(sheet.assumed).toContain("numbers without a unit: taken in mm, as the leaves are marked");
  });

  test("options stand in for lines of the text, and must not contradict them", () => {
    const sheet = sheetOf("fret bass\n1 touch\n7 0.1", { unit: "mm", stage: "dry fit", date: "2026-05-04", state: { rod: "slack" }, feelMm: 0.003, source: "bench" });
    expect(sheet).toMatchObject({ stage: "dry fit", date: "2026-05-04", state: { rod: "slack" }, feelMm: 0.003 });
    expect(told("stage: after glue-up\nfret bass\n1 touch", { stage: "dry fit" })).toEqual(['table, row 1, column stage: found "after glue-up"; expected "dry fit", the stage given with the table (state it once)']);
    expect(told("rod: neutral\nfret bass\n1 touch", { state: { rod: "slack" } })).toEqual([expect.stringMatching(/column rod: found "neutral"; expected "slack"/)]);
  });

  test("an edge of usual size is taken as long as its readings need; a stated one is not", () => {
    const wide = "fret bass\n1 touch\n22 touch";
    expect(read(readBenchText({ ...NECK, scaleLengthMm: 864 }, wide)).settings[0]?.tool.lengthMm).toBe(600);
    expect(told(`edge: 300 mm\n${wide}`)).toEqual([expect.stringMatching(/expected readings no farther apart than the edge is long, 300 mm \(11\.811 in\); those of its setting span 421\.\d+ mm \(16\.\d+ in\)/)]);
  });

  test("a free board under an edge is warned about, on its side it is not", () => {
    const bench = "fret bass\n1 touch\n7 4\n16 touch";
    expect(sheetOf(`stage: fretted board, not glued\n${bench}`).notes).toEqual([expect.stringMatching(/^first setting of the edge, bass: a thin free board bends under an edge/)]);
    expect(sheetOf(`stage: fretted board, not glued\nsupport: on its side\n${bench}`).notes).toEqual([]);
    expect(sheetOf(`stage: fretted board, not glued\nbenchPlate bass\n1 touch\n7 40`).notes).toEqual([]);
    expect(sheetOf(`stage: after glue-up\n${bench}`).notes).toEqual([]);
  });

  test("an edge that touches nowhere it was read asks where it touches", () => {
    expect(sheetOf("fret bass\n1 touch\n7 4\n16 3").notes).toEqual(['first setting of the edge, bass: every reading from fret 7 to fret 16 is clear of the edge, yet unless you pressed it down at the other end it bears somewhere on that side: find where it touches and write "touch" there']);
    expect(sheetOf("fret bass\n1 3\n3 2\n16 touch").notes).toEqual([expect.stringMatching(/every reading from fret 1 to fret 3 is clear of the edge/)]);
    expect(sheetOf("fret bass\n1 touch\n2 touch\n7 4\n16 3").notes).toEqual([expect.stringMatching(/every reading from fret 7 to fret 16 is clear of the edge/)]);
    expect(sheetOf("fret bass\n1 touch\n7 4\n16 0").notes).toEqual([]);
  });

  test.each<readonly [string, string]>([
    ["pressed at the near end, bearing on the crest in the middle", "1 touch\n7 touch\n16 9"],
    ["pressed at the far end", "1 8\n7 touch\n16 touch"],
    ["pressed at the near end of an even back bow", "1 touch\n2 touch\n7 6\n16 28"],
    ["pressed at the near end of an even back bow, written from the far end", "16 28\n7 6\n2 touch\n1 touch"],
    ["pressed at the far end of an even back bow", "1 30\n7 7\n15 touch\n16 touch"],
    ["pressed on the last fret over a crest at the joint", "1 20\n7 9\n14 touch\n22 touch"],
    ["balanced on the crest", "1 4\n7 touch\n16 5"],
    ["balanced on the crest, no leaf going there", "1 4\n9 0\n16 5"],
  ])("an edge %s asks nothing", (_, rows) => {
    expect(sheetOf(`fret bass\n${rows}`).notes).toEqual([]);
  });

  test("what leaves cannot tell is listed as assumed where they did not go", () => {
    expect(sheetOf("fret bass\n1 touch\n7 4\n16 0").assumed).toContain(HIDDEN);
    expect(sheetOf("fret bass\n1 touch\n7 4").assumed).not.toContain(HIDDEN);
    expect(sheetOf("rocked frets 5-7 on bass: still").assumed).toContain(HIDDEN);
  });
});

describe("what is wrong in a text is told, all of it at once", () => {
  test("every problem has its row and column", () => {
    expect(told("stge: x\nrod: slack\nrod: neutral\nfret bass cente treble\n23 4 4 4\n3-4 4 -3 4\n7 4.7 4thous 4\nunit: feet")).toEqual([
      'table, row 1: found "stge: x"; expected a line as stage:, date:, rod:, strings:, support:, leaves: or edge: (write stage:)',
      'table, row 8, column unit: found "feet"; expected thou or mm',
      "table, row 4, column 3: found \"cente\"; expected a line of the neck: bass, centre, treble (write centre)",
      'table, row 5: found the place "23"; expected a fret from 1 to 22 (check the fret and the neck file)',
      'table, row 6: found the place "3-4"; expected a fret from 1 to 22 (a spreadsheet may have changed it into a date: between frets 3 and 4 write 3.5, never 3-4)',
      'table, row 6, column cente: found "-3"; expected a gap of 0 or more (an edge cannot sink into a fret; if the minus says that the middle is high, do not just drop it, which would make a hollow of it: that is back bow, so let the edge balance on the high middle, write "touch" where it rests and read the gaps at both ends)',
      'table, row 7, column bass: found "4.7"; expected a leaf of the thou set or a stack of up to three of them (nearest leaves 4thou and 5thou) (write an interval as 4..5, or 4.2±0.3 for a dial or digital reading)',
      expect.stringMatching(/^table, row 7, column cente: found "4thous"; .*write 4thou or 4mm\)$/),
    ]);
  });

  test.each<readonly [string, string, RegExp]>([
    ["an empty text", "", /^table: found no reading; expected a table as "fret bass centre treble"/],
    ["only a heading", "fret bass", /^table: found no reading/],
    ["a CSV", "fret,bass", /row 1, column 1: found "fret,bass"; .*part the cells by blanks, tabs or \|/],
    ["a rocker's line of another form", "rock 2-15 centre: still, 7 centre rocks 3\nfret centre\n1 touch", /^table, row 1: found "rock 2-15 centre: still, 7 centre rocks 3"; expected a pass of the rocker as "rocked frets 2-21 on .*begin it with the word rocked/],
    ["an edge of inches without the unit", "edge: 18\nfret bass\n7 4", /column edge: found "18"; expected a length .*with its unit.*\(add the unit: 18 in\)$/],
    ["the height of blocks for the length", "endBlocks: 10 mm\nendBlocks bass\n7 10.1±0.1mm", /column endBlocks: found "10 mm"; .*\(if that is the height of the blocks, write endBlocks: 450 mm, blocks 10 mm\)$/],
    ["a lawful minus on a dial", "dialBar bass\n4 -0.02", /expected a unit after -0\.02: -0\.02mm if mm was meant, -0\.02thou if thou was/],
    ["a lawful minus over the bars", "sightingBars treble\n1 0\n22 -0.6", /expected a unit after -0\.6: -0\.6mm if mm was meant/],
    ["a minus with ± under an edge", "fret bass\n7 -4±1", /expected a gap of 0 or more under the edge \(an edge cannot sink into a fret; .*that is back bow/],
    ["a blank inside a cell", "fret bass\n7 4 thou", /found 2 cells after the place \("4 thou"\); expected 1 cell \(bass\) \(no blank inside a cell: write 4thou/],
    ["a line twice", "fret bass bass\n7 4 4", /column 3: found "bass"; expected each line in one column/],
    ["merged headings", "| fret | bass | |\n|---|---|---|\n| 7 | 4 | 4 |", /column 3: found an empty heading; expected a line of the neck: .*merged across columns/],
    ["an unknown tool", "strait bass\n7 4", /column 1: found "strait"; expected a heading as "fret bass centre treble".*\(begin a remark with #\)/],
    ["a tool misspelt", "straigtedge bass\n7 4", /column 1: found "straigtedge"; .*\(write straightedge\)$/],
    ["a row without cells", "fret bass\n7", /^table, row 2: found no cell after the place; expected 1 cell \(bass\) \(write - for a place not measured\)$/],
    ["a key that is none", "colour: red\nfret bass\n7 4", /^table, row 1: found "colour: red"; expected a line as stage:, date:, rod:, strings:, support:, leaves: or edge: \(begin a remark with note:\)$/],
    ["the nut as a place", "fret bass\nnut touch\n7 4", /^table, row 2: found the place "nut"; expected a fret from 1 to 22 \(the nut is no fret top;/],
    ["a numbered row", "fret bass\n1. touch\n7 4", /^table, row 2: found the place "1\."; expected a fret from 1 to 22 \(write 1\)$/],
    ["a word for touch", "fret bass\n1 touches\n7 4", /column bass: found "touches"; .*\(write touch\)$/],
    ["a mark under the edge", "fret bass\n7 still", /column bass: found "still"; expected a gap under the edge \(still and rocks are marks of the rocker/],
    ["a gap under the rocker", "rocker bass\n7 2", /column bass: found "2"; expected a mark of the rocker at the middle fret: still, rocks or rocks=2 \(write rocks=2\)/],
    ["a fret twice", "fret bass\n7 4\n7 5", /row 3, column bass: found "5 thou"; expected one value for 7 bass in one setting, where 4 thou in table, row 2 stands already/],
    ["a gap that is no gap", "unit: mm\nfret bass\n7 8±0.1", /found "8±0\.1 mm"; expected no more than 5\.00 mm \(196\.9 thou\) under the edge \(check the unit/],
    ["inches as thou", "unit: mm\nfret bass\n7 4", /found "4"; expected 4thou if thou were meant, or 0\.04mm if hundredths of a mm were meant: 4mm is no leaf of the metric set \(0\.03mm to 1mm\) nor a stack of up to three of them \(write the unit after it, or once for all, unit: thou above a table or in the column unit of a CSV\)$/],
    ["another neck", "neck: Oak\nfret bass\n7 4", /column neck: found "Oak"; expected readings of the neck "Ash" \(these may be the readings of another neck/],
    ["a day that is none", "date: 2026-02-30\nfret bass\n7 4", /column date: found "2026-02-30"; expected a day as year-month-day, as 2026-05-04, that exists/],
    ["a day as some write it", "date: 04/05/2026\nfret bass\n7 4", /column date: found "04\/05\/2026"; expected a day as year-month-day/],
    ["contradicting state", "rod: slack\nfret bass\n7 4\nrod: neutral", /row 4, column rod: found "neutral"; expected "slack", as in table, row 1: a survey is of one state/],
    ["humidity beyond reason", "humidity: 450 %\nfret bass\n7 4", /column humidity: found "450 %"; expected a relative humidity from 0 to 100 %/],
    ["leaves that are none", "leaves: a b c\nfret bass\n7 4", /column leaves: found "a b c"; expected "thou", "metric", or 1 to 60 different leaves/],
    ["a leaf that the set lacks", "leaves: 2 4 6 thou\nfret bass\n7 5", /column bass: found "5"; expected a leaf of the own set of leaves or a stack/],
    ["a wood place on fret tops", "fret bass\n3.5 4", /row 2: found the place "3\.5"; expected a fret from 1 to 22 \(3\.5 is on the wood/],
    ["a key without value", "rod:\nfret bass\n7 4", /column rod: found nothing; expected a value after "rod:"/],
    ["a line far too long", `fret bass\n7 ${"4".repeat(2000)}`, /row 2: found "7 444.*expected a line of up to 1000 letters/],
  ])("%s", (_, text, expected) => {
    expect(told(text)).toEqual([expect.stringMatching(expected)]);
  });
});

test("thou and mm tables of the same readings say the same", () => {
  const thou = sheetOf("fret bass\n1 touch\n7 4..5");
  const mm = sheetOf(`unit: mm\nfret bass\n1 touch\n7 ${4 * MM_PER_THOU}..${5 * MM_PER_THOU}`);
  expect(mm.settings[0]?.readings.map((reading) => reading.gap)).toEqual(thou.settings[0]?.readings.map((reading) => reading.gap));
});
