import { describe, expect, test } from "vitest";
import { readBenchText } from "../../src/readings/benchText.js";
import { readReadingsCsv } from "../../src/readings/readingsCsv.js";
import { NECK, read } from "./necks.js";

describe("turned end for end", () => {
  test("is written above a table, and holds until it is taken back", () => {
    const sheet = read(readBenchText(NECK, "fret centre\n1 touch\n7 4\n16 touch\n\nturned: end for end\n1 touch\n7 5\n16 touch\n\nturned: no\n1 touch\n7 4\n16 touch"));
    expect(sheet.settings.map(({ label, turned }) => [label, turned])).toEqual([
      ["first setting of the edge, centre", undefined], ["second setting of the edge, centre, turned end for end", true], ["third setting of the edge, centre", undefined],
    ]);
    expect(sheet.notes).toEqual([]);
  });

  test("stands in a CSV as part of the setting's name", () => {
    const [sheet] = read(readReadingsCsv(NECK, "line,at,gap,setting\ncentre,1,touch,1\ncentre,7,4,1\ncentre,1,touch,1 turned\ncentre,7,5,1 turned"));
    expect(sheet?.settings.map(({ turned }) => turned)).toEqual([undefined, true]);
  });

  test("in other words is refused where it stands", () => {
    const refused = readBenchText(NECK, "turned: perhaps\nfret centre\n1 touch\n7 4\n16 touch");
    expect(refused).toMatchObject({ status: "refused", problems: [{ row: 1, found: '"perhaps"', expected: "end for end, or no" }] });
  });
});

describe("what is known of an edge", () => {
  const toolOf = (line: string): unknown => read(readBenchText(NECK, `${line}\nfret centre\n1 touch\n7 4\n16 touch`)).settings[0]?.tool;

  test.each([
    ["edge: 450 mm, hollow 0.004±0.002 mm", { lengthMm: 450, bow: { mm: 0.004, uMm: 0.002 } }],
    ["edge: 450 mm, crowned 4±2 um", { bow: { mm: -0.004, uMm: 0.002 } }],
    ["edge: 600 mm, section 40 x 6 mm", { lengthMm: 600, section: { heightMm: 40, thicknessMm: 6, material: "steel" } }],
    ["edge: 24 in, aluminium section 2 in x 0.5 in", { section: { heightMm: 50.8, thicknessMm: 12.7, material: "aluminium" } }],
  ])("%s", (line, expected) => expect(toolOf(line)).toMatchObject(expected));

  test("a string's sag", () => {
    const text = "tautString: 700 mm, sag 0.005 mm\ntautString centre\n1 0\n7 4\n16 0";
    expect(read(readBenchText(NECK, text)).settings[0]?.tool).toMatchObject({ kind: "tautString", sagMm: 0.005 });
  });

  test.each(["edge: 450 mm, hollow 4", "edge: 450 mm, hollow 0.004±0 mm", "edge: 450 mm, section 40 mm"])("%s is refused", (line) => {
    expect(readBenchText(NECK, `${line}\nfret centre\n1 touch\n7 4`).status).toBe("refused");
  });
});

describe("sag and section", () => {
  test.each([
    ["edge: 600 mm, sag 0.02 mm", "fret centre\n1 touch\n7 4", /^nothing of sag: only a taut string/, /^state an edge's section, as section 40 x 6 mm/],
    ["dialBar: 150 mm, section 40 x 6 mm", "dialBar centre\n7 0.1±0.01mm", /^nothing of a section: only an edge sags/, /^leave it out$/],
    ["tautString: 700 mm, section 1 x 1 mm", "tautString centre\n1 0\n7 4\n16 0", /^nothing of a section/, /^leave it out$/],
  ])("are refused where they would say nothing: %s", (line, table, expected, repair) => {
    const refused = readBenchText(NECK, `${line}\n${table}`);
    expect("problems" in refused ? refused.problems[0] : refused.status).toMatchObject({ row: 1, expected: expect.stringMatching(expected), repair: expect.stringMatching(repair) });
  });

  test.each(["notched: 450 mm, section 40 x 6 mm\nnotched centre\n1 touch\n7 4", "endBlocks: 600 mm, section 40 x 6 mm, blocks 20 mm\nendBlocks centre\n1 20mm\n7 20.2mm"])("are read where they do: %s", (text) => {
    expect(readBenchText(NECK, text.replace(/20(\.2)?mm/g, "20$1±0.1mm")).status).toBe("read");
  });
});

describe("hollow or crowned", () => {
  const problemOf = (line: string, table: string): unknown => {
    const refused = readBenchText(NECK, `${line}\n${table}`);
    return "problems" in refused ? refused.problems[0] : refused.status;
  };

  test.each([
    ["dialBar: 150 mm, hollow 0.02±0.001 mm", "dialBar centre\n7 0.1±0.01mm", "dialBar", /only how its dial was set to zero does$/, /^leave it out, set the dial to zero on a true face, and state how far off its zero may be, as straight within 0\.01 mm$/],
    ["tool beam: crowned 0.02±0.001 mm, 150 mm, dialBar", "beam centre\n7 0.1±0.01mm", "tool beam", /only how its dial was set to zero does$/, /^leave it out/],
    ["sightingBars: 300 mm, crowned 0.1±0.01 mm", "sightingBars treble\n1 0\n22 0.6±0.2mm", "sightingBars", /only how unlike the two are does$/, /^leave it out, and state how unlike they may be/],
    ["crownGauge: 30 mm, hollow 0.01", "crownGauge centre\n7 1.1±0.02mm", "crownGauge", /only how it was set to zero does$/, /^leave it out, and set the gauge to zero/],
  ])("is refused where it does not show: %s", (line, table, column, expected, repair) => {
    expect(problemOf(line, table)).toMatchObject({ row: 1, column, found: `"${line.slice(line.indexOf(": ") + 2)}"`, expected: expect.stringMatching(expected), repair: expect.stringMatching(repair) });
    expect(problemOf(line.replace(/(, )?(hollow|crowned)[^,]*(, )?/, (_, before?: string, _way?: string, after?: string) => (before !== undefined && after !== undefined ? ", " : "")), table)).toBe("read");
  });
});

describe("tools that are set down in a way of their own", () => {
  test("sighting bars at several places are one setting, in a text and in a CSV, across or not", () => {
    const text = read(readBenchText(NECK, "sightingBars treble\n1 0\n22 0.6±0.2mm"));
    expect(text.settings).toMatchObject([{ path: { kind: "along", line: "treble" }, readings: [{ place: { label: "1" } }, { place: { label: "22" } }] }]);
    const [csv] = read(readReadingsCsv(NECK, "line,path,tool,at,gap\ntreble,across,sightingBars,1,0\ntreble,across,sightingBars,22,0.6±0.2mm"));
    expect(csv?.settings).toMatchObject([{ path: { kind: "along", line: "treble" } }]);
    expect(csv?.settings[0]?.readings).toHaveLength(2);
  });

  test.each([
    ["sightingBars", "-0.9mm", -0.9, 0.1], ["sightingBars", "0.9mm", 0.9, 0.1], ["sightingBars", "−0.87 mm".replace(" ", ""), -0.87, 0.1], ["sightingBars", "-0.9±0.2mm", -0.9, 0.2],
    ["dialBar", "-0.02mm", -0.02, 0.01], ["dialBar", "0.02mm", 0.02, 0.01], ["dialBar", "+2", 0.0508, 0.01], ["dialBar", "0", 0, 0.01], ["dialBar", "-0.02±0.005mm", -0.02, 0.005],
  ] as const)("%s: %s is the number that was seen, with a give or take of its own where none is written", (tool, cell, gapMm, uMm) => {
    const text = read(readBenchText(NECK, `${tool} treble\n7 ${cell}`));
    const [csv] = read(readReadingsCsv(NECK, `line,tool,at,gap\ntreble,${tool},7,${cell}`));
    for (const sheet of [text, csv]) {
      const gap = sheet?.settings[0]?.readings[0]?.gap;
      expect(gap).toEqual({ kind: "exact", gapMm: expect.closeTo(gapMm, 9), uMm });
      expect(sheet?.assumed.some((words) => words.includes("readings without ±"))).toBe(!cell.includes("±"));
    }
  });

  test("a number far below what such a tool shows asks for its unit, and a minus under an edge is still refused", () => {
    expect(readBenchText(NECK, "sightingBars treble\n1 0\n22 -0.9")).toMatchObject({ status: "refused", problems: [{ repair: "write the unit after it" }] });
    expect(readBenchText(NECK, "fret treble\n1 touch\n22 -0.9mm")).toMatchObject({ status: "refused", problems: [{ repair: expect.stringContaining("cannot sink") }] });
  });

  test("a board on the bench plate lies on its glue face unless its surface is stated, and that is listed", () => {
    const said = "surface of the bench plate: not stated, taken as the glue face, the board lying face up";
    const text = read(readBenchText(NECK, "benchPlate centre\n1 0\n7 20\n16 0"));
    expect(text.settings[0]?.surface).toBe("glueFace");
    expect(text.assumed).toContain(said);
    expect(text.assumed).not.toContain("surface: not stated, taken as fret tops");
    const [csv] = read(readReadingsCsv(NECK, "line,tool,at,gap\ncentre,benchPlate,1,0\ncentre,benchPlate,7,20"));
    expect([csv?.settings[0]?.surface, csv?.assumed.includes(said)]).toEqual(["glueFace", true]);
    const down = read(readBenchText(NECK, "surface: fret tops\nbenchPlate centre\n1 20\n7 0\n16 20"));
    expect([down.settings[0]?.surface, down.assumed.includes(said)]).toEqual(["fretTops", false]);
  });
});

describe("a free board", () => {
  const bowed = "fret centre\n1 touch\n8 touch\n16 10.4±0.2mm\n\n1 9.8±0.2mm\n8 touch\n16 touch";

  test.each(["stage: fretted board, not glued", "support: free board on its side"])("%s: may stand 10 mm off the edge", (said) => {
    expect(read(readBenchText(NECK, `${said}\n${bowed}`)).settings.flatMap(({ readings }) => readings.map(({ gap }) => (gap.kind === "exact" ? gap.gapMm : NaN)))).toEqual([0, 0, 10.4, 9.8, 0, 0]);
    const [sheet] = read(readReadingsCsv(NECK, "stage,line,at,gap\nfree board,centre,1,touch\nfree board,centre,8,touch\nfree board,centre,16,10.4±0.2mm"));
    expect(sheet?.settings[0]?.readings).toHaveLength(3);
  });

  test("and a neck may not, nor may a board stand 16 mm off, nor a crown 6 mm off its slot", () => {
    expect(readBenchText(NECK, bowed)).toMatchObject({ status: "refused", problems: [{ expected: "no more than 5.00 mm (196.9 thou) under the edge", repair: expect.stringContaining("if it is a free board, say so") }, {}] });
    expect(readBenchText(NECK, bowed.replace("10.4", "16").replace("fret", "stage: free board\nfret"))).toMatchObject({ status: "refused", problems: [{ expected: "no more than 15.00 mm (590.6 thou) under the edge", repair: "check the unit of the table and of this reading" }] });
    expect(readBenchText(NECK, "stage: free board\nsurface: under crown\nfret centre\n7 6±0.1mm").status).toBe("refused");
  });

  test("a gap that leaves do not reach says how to write it", () => {
    expect(readBenchText(NECK, "stage: free board\nfret centre\n1 touch\n16 10.4mm")).toMatchObject({ status: "refused", problems: [{ repair: expect.stringMatching(/^leaves do not reach that far: .* as 10\.4±0\.2mm$/) }] });
  });
});
