import { inspect } from "node:util";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { verdict } from "../../src/advice/verdict.js";
import { assumedLines } from "../../src/notebook/assumed.js";
import { heightsTable } from "../../src/notebook/heights.js";
import { frameColumns } from "../../src/notebook/frame.js";
import { describeNeck, surveyNeck, takeReadings } from "../../src/notebook/neck.js";
import { openNeck, openReadings } from "../../src/notebook/files.js";
import { plainly } from "../../src/notebook/plainly.js";
import { quickLook } from "../../src/notebook/quickLook.js";
import { show } from "../../src/notebook/show.js";
import { fixed, tableHtml } from "../../src/notebook/table.js";
import { tell } from "../../src/notebook/tell.js";

const neck = describeNeck({ name: "Invented", scaleLength: "25 in", frets: 22, bodyJoint: 16 });
const table = "fret centre\n1 touch\n7 6\n16 touch\n";

let printed = "";

beforeEach(() => {
  printed = "";
  vi.spyOn(console, "log").mockImplementation((line: string) => {
    printed += `${line}\n`;
  });
});

afterEach(() => {
  vi.restoreAllMocks();
});

function thrown(work: () => unknown): Error {
  try {
    work();
  } catch (error) {
    if (error instanceof Error) return error;
  }
  throw new Error("nothing was thrown");
}

describe("an error in a cell", () => {
  test("prints as the user's sentence alone", () => {
    const error = thrown(() => describeNeck({ name: "x", scaleLength: "banana", frets: 22 }));
    expect(inspect(error)).toBe(error.message);
    expect(error.stack).toBe(error.message);
    expect(error.message).toMatch(/^Cannot read the neck: 1 problem\n {2}your neck, column scaleLength: found "banana"; expected /);
  });

  test("lists everything that is wrong in a table", () => {
    const { message } = thrown(() => takeReadings(neck, "fret centre\n1 banana\n99 touch\n"));
    expect(message).toContain("2 problems");
    expect(message).toContain('your table, row 2, column centre: found "banana"');
    expect(message).toContain("row 3");
  });

  test("names a file that is not there", () => {
    expect(thrown(() => openNeck("no-such.json")).message).toBe("Cannot open no-such.json: there is no file of that name here (names count from the notebook's folder; .. is the folder above)");
    expect(thrown(() => openReadings(neck, "no-such.csv")).message).toContain("Cannot open no-such.csv");
  });

  test("says so when the fault is the program's, and keeps its trace", () => {
    const error = thrown(() => plainly(() => { throw new TypeError("x is not a function"); }));
    expect(error.message).toContain("This is a fault of the program");
    expect(error.stack).toContain("cells.test.ts");
  });
});

describe("outside a notebook", () => {
  test("tell prints the verdict, word for word, and then all that was assumed", () => {
    const survey = surveyNeck(neck, table);
    tell(survey);
    expect(printed.startsWith(verdict(survey).describe())).toBe(true);
    expect(survey.assumed.length).toBeGreaterThan(3);
    expect(printed.trim().endsWith(assumedLines(survey.assumed).join("\n"))).toBe(true);
  });

  test("quickLook prints the verdict of three readings and the drawing in words", () => {
    quickLook(neck, table);
    expect(printed).toContain("forward bow (middle low)");
    expect(printed).toContain("Side view of Invented");
  });

  test("show prints a table with its numbers under each other, and refuses what it cannot show", () => {
    show(heightsTable(surveyNeck(neck, table)));
    expect(printed).toMatch(/place\s+line\s+height mm\s+give or take mm\s+height thou\s+give or take thou\s+read/);
    expect(printed).toMatch(/fret 7\s+centre\s+−0\.\d{3}\s+0\.\d{3}\s+−\d\.\d/);
    expect(thrown(() => { Reflect.apply(show, undefined, [{ a: 1 }]); }).message).toContain("Cannot show this: expected a survey");
  });
});

describe("tables", () => {
  test("escape every cell and heading", () => {
    const html = tableHtml([{ heading: "<b>", texts: ["<script>"] }, { heading: "n", numbers: [1.25, Number.NaN], decimals: 1 }], "<i>");
    expect(html).not.toMatch(/<(b|i|script)>/);
    expect(html).toContain('<td style="text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap">1.3</td>');
    expect(html).toContain(">–<");
  });

  test("keep one number of decimals a column", () => {
    const columns = frameColumns(heightsTable(surveyNeck(neck, table)));
    expect(columns.map((column) => ("numbers" in column ? column.decimals : "text"))).toEqual(["text", "text", 3, 3, 1, 1, "text"]);
  });

  test("write a true minus, and none before zero", () => {
    expect([fixed(-0.0001, 3), fixed(-1.25, 2), fixed(Number.NaN, 1)]).toEqual(["0.000", "−1.25", "–"]);
  });
});
