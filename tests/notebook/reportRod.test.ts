import { describe, expect, test, vi } from "vitest";
import { readFileSync } from "node:fs";
import { normalMm, rodAdviceUnsaid, rodReasonWords } from "neck-survey";
import type { Survey } from "neck-survey";
import { report } from "../../src/notebook/report.js";
import { reportRod, rodText } from "../../src/notebook/reportRod.js";
import { DESCRIBED, neckWith, surveyed } from "../frets/bench.js";

const demo = (file: string): { readonly source: string; readonly text: string } => ({ source: file, text: readFileSync(new URL(`../../data-demo/QUILLFEN-11/${file}`, import.meta.url), "utf8") });

describe("what a report works out of the rod", () => {
  test("rod test and advice are worked out once for text and JSON together, and not before they are asked for", async () => {
    const worked = { tests: 0, advices: 0 };
    const [tests, advices, anew] = await counted(worked);
    try {
      const made = await anew.report({ neck: demo("neck.json"), readings: [demo("readings.csv")] });
      if (made.status === "refused") throw new Error(made.message);
      expect(worked).toEqual({ tests: 0, advices: 0 });
      const rod = made.json["rod"] as { readonly test: readonly string[]; readonly headline: string };
      expect(made.text).toContain(`\nRod test: ${rod.test.slice(0, 3).join(" ")}\nRod: ${rod.headline.replace("QUILLFEN-11: ", "")} `);
      expect(worked).toEqual({ tests: 1, advices: 1 });
    } finally {
      for (const path of [tests, advices]) vi.doUnmock(path);
      vi.resetModules();
    }
  });
});

/** The report loaded anew, with what it works out of the rod counted: test files share modules that are loaded already. */
async function counted(worked: { tests: number; advices: number }): Promise<readonly [string, string, typeof import("../../src/notebook/report.js")]> {
  const [tests, advices] = ["../../src/advice/rod/rodTestOf.js", "../../src/notebook/rod.js"];
  vi.resetModules();
  vi.doMock(tests, async (original) => {
    const real = await original<typeof import("../../src/advice/rod/rodTestOf.js")>();
    return { ...real, rodTestOf: (...args: Parameters<typeof real.rodTestOf>) => { worked.tests++; return real.rodTestOf(...args); } };
  });
  vi.doMock(advices, async (original) => {
    const real = await original<typeof import("../../src/notebook/rod.js")>();
    return { ...real, adviseRod: (...args: Parameters<typeof real.adviseRod>) => { worked.advices++; return real.adviseRod(...args); } };
  });
  return [tests, advices, await import("../../src/notebook/report.js")];
}

const RODLESS = neckWith({ rod: { works: "none" } });

/** The line of the report, and the advice behind it. */
function told(text: string, neck = RODLESS): { readonly line: string; readonly rod: NonNullable<ReturnType<typeof reportRod>> } {
  const survey: Survey = surveyed(text, neck);
  const rod = reportRod([survey], "mm first");
  if (rod === undefined) throw new Error("expected advice");
  const lines = rodText(rod, "mm first");
  expect(lines).toHaveLength(2);
  return { line: lines[1] ?? "", rod };
}

const DEEP = "fret centre\n1 touch\n4 16\n7 23\n11 17\n16 touch\n";
const BACK = "fret centre\n1 touch\n2 touch\n3 1.5\n5 4.5\n7 10.5\n9 15\n12 25.5\n14 33\n16 42\n";

describe("the relief of a neck without a rod", () => {
  test("within what is wanted: what it is, what is wanted, that nothing turns it, how sure", () => {
    const { line } = told("strings: on\nfret centre\n1 touch\n4 6\n7 8\n11 6\n16 touch\n");
    expect(line).toMatch(/^Relief: the relief is within what is wanted; there is no rod to turn\. Now, at fret 7: forward bow \(middle low\), 0\.2\d mm, give or take [^.]*\d\.\d+[^)]*\) on the centre line\. The strings were on when it was read\. Wanted: 0\.10 mm \(3\.9 thou\) to 0\.30 mm \(11\.8 thou\) forward bow \(middle low\), common practice under strings \(no source; a bass is often given more\), as the neck file states no limits of yours\. How sure: /);
    expect(line).not.toMatch(/Rod:|Turn nothing|wrench|quarter/);
  });

  test("too much under strings: by how much, and what takes it out", () => {
    const { line, rod } = told(`strings: on\n${DEEP}`);
    expect(rod.advice.decision).toBe("not by this rod");
    const by = rod.advice.because.find((reason) => reason.kind === "without a rod");
    expect(by).toMatchObject({ lies: "too much", areStringsOn: true });
    expect(by?.kind === "without a rod" ? by.byMm : NaN).toBeCloseTo((rod.advice.numbers?.underStrings.value ?? NaN) - 0.3, 12);
    expect(line).toMatch(/^Relief: too much relief, 0\.[23]\d mm \([^)]*\) more than is wanted, and there is no rod to mend it\./);
    expect(line).toContain("Lighter strings leave less relief. Levelling takes the bow out of the fret tops, most toward both ends, as far as their crowns allow");
    expect(line).toMatch(/planed out of the board, which is fretted anew\. Bending a neck by heat is nothing that these readings can judge\./);
  });

  test("a back bow under strings: heavier strings, and levelling in the middle; a neck only a little short is played first", () => {
    expect(told(`strings: on\n${BACK}`).line).toMatch(/^Relief: back bow \(middle high\), 0\.\d\d mm \([^)]*\) off what is wanted, .*Heavier strings pull some of it out\. Levelling takes the bow out of the fret tops, most in the middle/);
    const short = told("strings: on\nfret centre\n1 touch\n4 0\n7 0\n11 0\n16 touch\n").line;
    expect(short).toMatch(/^Relief: a little short of relief, by 0\.0\d mm .*It is no back bow/);
    expect(short).not.toContain("planed");
  });

  test("bare, and nobody said whether it will be strung: both answers, with what is missing where both miss", () => {
    const either = told("strings: off\nfret centre\n1 touch\n4 2\n7 2.5\n11 2\n16 touch\n").line;
    expect(either).toMatch(/^Relief: will this neck be strung\? Whether its relief will do hangs on it\. If it will be strung: .* If it goes out bare: the relief is within what is wanted; there is no rod to turn\./);
    const both = told(`strings: off\n${DEEP}`).line;
    expect(both).toMatch(/^Relief: too much relief, 0\.\d\d mm .* If it will be strung, the answer is the same: then it has too much relief, 0\.\d\d mm /);
    expect(told(`strings: off\n${BACK}`).line).toMatch(/the answer is the same: then it has back bow \(middle high\), 0\.\d\d mm \([^)]*\) off what is wanted\./);
    // as wanted neither bare nor strung, but to different sides: that is no one answer
    const sides = rodAdviceUnsaid(surveyed(`strings: off\n${BACK}`, RODLESS), {}, { strings: normalMm(0.9, 0.05) });
    expect([sides.decision, sides.either?.bare.decision, sides.either?.strung.decision]).toEqual(["say first", "not by this rod", "not by this rod"]);
    expect(sides.describe()).toMatch(/\nIf it will be strung: too much relief, .*\nIf it goes out bare: back bow/);
  });

  test("readings that contradict each other, or a bow that may be a high fret, come first, and nothing is said of turning", () => {
    const back = told("fret centre\n1 touch\n7 touch\n16 16\n\n1 16\n7 touch\n16 touch\n").line;
    expect(back).toMatch(/^Relief: judge nothing by this yet\. Rock fret 7 on the centre line\. If it is still, it is back bow \(middle high\)/);
    const opposite = told("strings: on\nfret centre\n1 touch\n7 touch\n16 16\n\n1 touch\n7 20\n16 touch\n").line;
    expect(opposite).toMatch(/^Relief: judge nothing by this yet\. Readings contradict each other.* Set the edge down afresh/);
    for (const line of [back, opposite]) expect(line).not.toMatch(/turn nothing|bends all lines/i);
  });

  test("lines that lie outside with their mean are not told again one by one", () => {
    const { line } = told("strings: on\nfret bass treble\n1 touch touch\n3 14 13\n5 24 23\n7 30 29\n9 30 29\n12 22 21\n14 12 11\n16 touch touch\n");
    expect(line).toMatch(/^Relief: too much relief/);
    expect(line).not.toContain("By itself");
  });

  test("lines far apart are told without a rod's positions", () => {
    const { line } = told("strings: on\nfret bass treble\n1 touch touch\n3 14 7\n5 24 12\n7 30 15\n9 30 15\n12 22 11\n14 12 6\n16 touch touch\n");
    expect(line).toMatch(/The treble and the bass line lie 0\.\d\d mm.* apart, farther than what is wanted is wide \(.*\): not both can be as is wanted\./);
    expect(line).not.toContain("position of the rod");
  });

  test("control: a neck whose file says nothing of a rod has the line on the rod, a free board neither", () => {
    expect(told(`strings: on\n${DEEP}`, neckWith()).line).toMatch(/^Rod: /);
    const board = reportRod([surveyed(`stage: fretted board, not glued\n${DEEP}`, RODLESS)], "mm first");
    expect(board === undefined ? undefined : rodText(board, "mm first")).toEqual([]);
  });
});

describe("reasons are told apart by kind", () => {
  test("each is worded from its numbers alone, in either unit, in the order of the advice", () => {
    for (const text of [`strings: on\n${DEEP}`, `strings: off\n${DEEP}`, BACK]) {
      for (const order of ["mm first", "thou first"] as const) {
        const advice = reportRod([surveyed(text, neckWith({ rod: { works: "both ways", moreRelief: "anticlockwise" } }))], order)?.advice;
        expect(advice?.because.map((reason) => rodReasonWords(reason, order))).toEqual(advice?.reasons);
        expect(advice?.because.length).toBeGreaterThan(0);
      }
    }
  });

  test("the JSON has the kind of each reason", async () => {
    const made = await report({ neck: { source: "neck.json", text: JSON.stringify({ ...DESCRIBED, rod: { works: "both ways", moreRelief: "anticlockwise" } }) }, readings: [{ source: "bench.txt", text: `strings: off\n${DEEP}` }] });
    const rod = made.status === "refused" ? undefined : (made.json["rod"] as { readonly kinds: readonly string[]; readonly reasons: readonly string[] });
    expect(rod?.kinds).toHaveLength(rod?.reasons.length ?? NaN);
    expect(rod?.reasons[rod.kinds.indexOf("wanted")]).toMatch(/^Wanted: straight within/);
    // the report's line holds the wanted relief and the amount if it will be strung, and not the reasons beside
    const line = made.status === "refused" ? "" : (made.text.split("\n").find((one) => one.startsWith("Rod: ")) ?? "");
    expect(rod?.kinds.filter((_, index) => line.includes(rod.reasons[index] ?? "none"))).toEqual(["wanted", "same if strung"]);
  });
});
