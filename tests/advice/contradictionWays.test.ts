import { describe, expect, test } from "vitest";
import { rodAdvice, verdict } from "neck-survey";
import type { Survey } from "neck-survey";
import type { RivalReading } from "../../src/survey/survey.js";
import { hangsOnSlip, waysWithOneBow } from "../../src/advice/contradictionWays.js";
import { openContradictions, settledSlips } from "../../src/advice/contradiction.js";
import { neckWith, surveyed } from "../frets/bench.js";

const NECK = neckWith({ rod: { works: "both ways", moreRelief: "anticlockwise" } });
const HEAD = "strings: on\nrod: neutral\n";
const BESIDE = "fret bass treble\n1 touch touch\n2 3.5 3.5\n3 6.5 6.5\n4 9 9\n5 11 11\n6 12.5 12.5\n7 14 14\n8 14.5 14.5\n9 14.5 14.5\n10 14 14\n11 12.5 12.5\n12 11 11\n13 9 9\n14 6.5 6.5\n15 3.5 3.5\n16 touch touch\n\n";

const about = (text: string, neck = NECK): Survey => surveyed(`${HEAD}${text}`, neck);
/** Two lines well read; on the third two settings that differ at fret 7, and nothing tells which reading is the slip. */
const large = about(`${BESIDE}fret centre\n1 touch\n7 14\n16 touch\n\n1 touch\n7 8\n16 touch\n`);
const alone = about("fret centre\n1 touch\n4 9\n7 24\n11 12\n16 touch\n");
const opposite = about("fret centre\n1 touch\n7 touch\n16 16\n\n1 touch\n7 20\n16 touch\n");
const plain = about(`${BESIDE}fret centre\n1 touch\n4 9\n7 14\n11 12\n16 touch\n\n1 touch\n4 9\n7 9\n11 12\n16 touch\n`);

describe("readings that contradict each other in a survey whose decision is not in doubt", () => {
  test("each of them is left out in turn, the others stay", () => {
    const [blunder] = openContradictions(large);
    const readings = (survey: Survey): number => survey.sheet.settings.reduce((sum, setting) => sum + setting.readings.length, 0);
    const ways = waysWithOneBow(large) ?? [];
    expect(ways).toHaveLength(blunder?.rivals.length ?? NaN);
    expect(ways.length).toBeGreaterThan(0);
    expect(ways.map(readings)).toEqual(ways.map(() => readings(large) - 1));
    for (const way of ways) expect(openContradictions(way)).toEqual([]);
  });

  test("the verdict has the shape first, the contradiction second", () => {
    const [first, second, third] = verdict(large).headline.split(/(?<=[.]) (?=[A-Z])/);
    expect(first).toBe("test neck: forward bow (middle low) on all 3 lines read.");
    expect(second).toBe("Readings of the centre line contradict each other, and any of 3 may be the slip.");
    expect(third).toBe("Whichever is left out, which way it bows and which frets stand off stay the same; what follows leaves one reading out.");
    expect(verdict(large).describe()).not.toContain("Turn nothing");
    expect(verdict(large).howSure[0]).toContain("only if the reading left out is the slip");
  });

  test("rod advice turns, says first that it is the same either way, and names the readings", () => {
    const advice = rodAdvice(large);
    expect(advice.decision).toBe("turn toward back bow");
    expect(advice.because[0]).toMatchObject({ kind: "contradiction decides nothing", ways: 3 });
    expect(advice.because.filter(({ kind }) => kind === "contradiction")).toEqual(openContradictions(large).map(({ sentence }) => ({ kind: "contradiction", sentence })));
    const changes = [large, ...(waysWithOneBow(large) ?? [])].map((way) => rodAdvice(way).numbers?.change.value ?? NaN);
    const [first] = advice.because;
    expect(first?.kind === "contradiction decides nothing" ? first.differsMm : NaN).toBeCloseTo(Math.max(...changes) - Math.min(...changes), 12);
  });
});

test("advice is told as sure as the least sure way has it", () => {
  const ways = [{ ...large, blunders: [] }, ...(waysWithOneBow(large) ?? [])];
  const middleMm = rodAdvice(large).numbers?.now.value ?? NaN;
  const target = { minMm: 0, maxMm: middleMm - 1.6 * (rodAdvice(large).numbers?.now.u ?? NaN) };
  const sure = ways.map((way) => rodAdvice(way, { target }).probability ?? NaN);
  expect(Math.max(...sure)).toBeGreaterThan(Math.min(...sure));
  expect(rodAdvice(large, { target })).toMatchObject({ decision: "turn toward back bow", probability: Math.min(...sure) });
});

test("of a pass of the rocker, typed in one place, the one that is named is left out", () => {
  const passed = about(`${BESIDE}rocked frets 2-15 on bass, treble: still\n`);
  const [first, second] = passed.sheet.rockers.filter(({ line }) => line === "treble");
  if (first === undefined || second === undefined) throw new Error("expected a pass");
  const named = ({ frets, line, written, origin }: typeof first): RivalReading => ({ at: String(frets[1]), line, written, ...origin });
  const doubted = { ...passed, blunders: [{ ...named(first), read: "rocker" as const, expectedMm: 0, uMm: 0.01, normalisedResidual: 4, rivals: [named(second)], sentence: "" }] };
  const [way] = waysWithOneBow(doubted) ?? [];
  expect(way?.sheet.rockers).toEqual(passed.sheet.rockers.filter((rocker) => rocker !== second));
});

describe("readings that contradict each other where it hangs on them", () => {
  test("which frets stand off: nothing is filed, and the contradiction is the headline", () => {
    expect(hangsOnSlip(alone)).toBe("frets");
    expect(verdict(alone).headline).toMatch(/^test neck: readings of the centre line contradict each other, and any of 3 may be the slip\. Which frets stand off hangs on it: file nothing before they are read again/);
  });

  test("by how much the rod is to be turned: nothing is turned", () => {
    const advice = rodAdvice(alone);
    const [way] = waysWithOneBow(alone) ?? [];
    if (way === undefined) throw new Error("expected another way");
    // both would turn it, by amounts farther apart than the give or take
    expect(rodAdvice(way).decision).toBe("turn toward back bow");
    expect([advice.decision, advice.said.inShort]).toEqual(["read first", "turn nothing yet. Readings contradict each other, and nothing tells which of them is wrong."]);
  });

  /** As if each of some readings on the treble line, where all agree, may be the slip. */
  const doubting = (frets: readonly string[], row = 0): Survey => {
    const [first, ...rivals] = (large.sheet.settings.find(({ path }) => path.kind === "along" && path.line === "treble")?.readings ?? [])
      .filter(({ place }) => frets.includes(place.label))
      .map(({ line, place, written, origin }): RivalReading => ({ at: place.label, line, written, ...origin, row: origin.row + row }));
    if (first === undefined) throw new Error("expected readings on the treble line");
    return { ...large, blunders: [{ ...first, read: "gap", expectedMm: 0, uMm: 0.01, normalisedResidual: 4, rivals, sentence: "" }] };
  };

  test("so does it where more than eight may be the slip, or where one is not found on the sheet", () => {
    const eight = ["3", "4", "5", "6", "7", "8", "9", "10"];
    const cleared = { ...large.sheet, settings: large.sheet.settings.slice(0, -1) };
    const sound = (survey: Survey): Survey => ({ ...survey, sheet: cleared });
    expect(waysWithOneBow(sound(doubting(["7", "8"])))).toHaveLength(1);
    expect(waysWithOneBow(sound(doubting(eight)))).toHaveLength(7);
    expect(waysWithOneBow(sound(doubting([...eight, "11"])))).toBeUndefined();
    expect(waysWithOneBow(sound(doubting(["7", "8"], 100)))).toBeUndefined();
  });

  test("which way it bows, by the settings themselves: nothing is turned and nothing filed, whatever single readings are left out", () => {
    expect([hangsOnSlip(opposite), waysWithOneBow(opposite)]).toEqual(["bow", undefined]);
    expect(verdict(opposite).headline).toMatch(/^test neck: readings of the centre line contradict each other: the first setting .* Turn nothing and file nothing before both are read again/);
    expect(rodAdvice(opposite).decision).toBe("read first");
  });
});

test("what a dial bar shows over its feet is no gap: below nothing where the middle is low, it says no back bow beside edges that say forward bow", () => {
  const survey = about(`${BESIDE}fret centre\n1 touch\n7 14\n16 touch\n\n1 touch\n7 8\n16 touch\n\ndialBar centre\n4 -0.015±0.002mm\n7 -0.045±0.002mm\n11 -0.015±0.002mm\n`);
  expect(openContradictions(survey).map(({ line }) => line)).toEqual(["centre"]);
  expect(verdict(survey).headline).not.toContain("back bow");
});

test("where one is plainly the slip nothing is open, and nothing is adjusted again", () => {
  expect([openContradictions(plain).length, settledSlips(plain).length]).toEqual([0, 1]);
  expect([hangsOnSlip(plain), waysWithOneBow(plain)]).toEqual(["nothing", []]);
  expect(verdict(plain).headline).not.toContain("contradict");
});
