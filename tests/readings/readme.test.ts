import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { standingFrets } from "../../src/frets/standingFrets.js";
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
  test("its text of a back bow is two settings a line, asks nothing, lies as a rigid edge can over the bow it gives, and gives that bow and no high fret", () => {
    const text = /```text\n([\s\S]*?)```/.exec(README)?.[1] ?? "";
    const sheet = read(readBenchText(NECK, text));
    expect(sheet.settings.map((setting) => setting.label)).toEqual(["first", "second"].flatMap((ordinal) => ["bass", "centre", "treble"].map((line) => `${ordinal} setting of the edge, ${line}`)));
    expect(sheet.notes).toEqual([]);
    const survey = adjust(NECK, sheet);
    expect(verdict(survey).describe()).toMatch(/^Ash: back bow \(middle high\) on all 3 lines read\./);
    expect(standingFrets(survey)).toEqual([]);
    for (const relief of reliefs(survey)) expect(relief.status === "determined" ? relief.relief.value : 0).toBeCloseTo(-0.2, 1);
  });

  test("without a reading between the ends nothing is determined", () => {
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
