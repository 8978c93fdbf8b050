import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { verdict } from "../../src/advice/verdict.js";
import { readBenchText } from "../../src/readings/benchText.js";
import { readGap } from "../../src/readings/gap.js";
import { reliefs } from "../../src/shape/relief.js";
import { adjust } from "../../src/survey/adjust.js";
import { NECK, read } from "./necks.js";

const README = readFileSync(new URL("../../docs/at-the-bench.md", import.meta.url), "utf8");

/** The rows of the table whose first heading is given, without heading and rule. */
function tableRows(heading: string): readonly string[] {
  const lines = README.split("\n");
  const start = lines.findIndex((line) => line.startsWith(`| ${heading} |`));
  return lines.slice(start + 2, lines.findIndex((line, index) => index > start && line === ""));
}

/** What stands between backquotes in the first cell of each row. */
function writtenForms(heading: string): readonly string[] {
  return tableRows(heading).flatMap((row) => [...(row.split("|")[1] ?? "").matchAll(/`([^`]+)`/g)].map((match) => match[1] ?? ""));
}

describe("what docs/at-the-bench.md says of readings", () => {
  test("its text of a back bow is two settings a line, asks nothing, and gives a back bow or a high fret, which three places a line cannot tell apart", () => {
    const text = /```text\n([\s\S]*?)```/.exec(README)?.[1] ?? "";
    const sheet = read(readBenchText(NECK, text));
    expect(sheet.settings.map((setting) => setting.label)).toEqual(["first", "second"].flatMap((ordinal) => ["bass", "centre", "treble"].map((line) => `${ordinal} setting of the edge, ${line}`)));
    expect(sheet.notes).toEqual([]);
    expect(verdict(adjust(NECK, sheet)).describe()).toMatch(/^Ash: back bow \(middle high\), or a high fret/);
  });

  test("without the touch in the middle nothing is determined", () => {
    const survey = adjust(NECK, read(readBenchText(NECK, "fret centre\n1 touch\n16 18\n\n1 19\n16 touch")));
    expect(reliefs(survey).map((relief) => relief.status)).toEqual(["undetermined"]);
  });

  test.each(writtenForms("written"))("a cell may say %s", (written) => {
    expect(readGap(written, { unit: "thou" }).kind).toBe(["-", "na"].includes(written) ? "notMeasured" : /^(still|rocks)/.test(written) ? "mark" : "gap");
  });

  test.each(writtenForms("line").filter((line) => !line.startsWith(",")))("a line may say %s", (line) => {
    expect(read(readBenchText(NECK, `${line}\nfret bass\n1 touch\n7 4thou..5thou\n16 touch`)).settings).toHaveLength(1);
  });

  test("both tables were found", () => {
    expect(writtenForms("written").length).toBeGreaterThan(15);
    expect(writtenForms("line").length).toBeGreaterThan(10);
  });
});
