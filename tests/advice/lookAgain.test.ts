import { describe, expect, test } from "vitest";
import { adjust, readBenchText, readNeck, readNextFor, valueOrThrow, verdict } from "neck-survey";
import type { Survey, Verdict } from "neck-survey";
import { report } from "../../src/notebook/report.js";

const FILE = { name: "B1", scaleLength: "25.5 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in" };
const NECK = valueOrThrow(readNeck(FILE), "neck");
const surveyed = (text: string): Survey => adjust(NECK, valueOrThrow(readBenchText(NECK, text), "sheet"));
const told = (text: string): Verdict => verdict(surveyed(text));
const reported = async (text: string): Promise<string> => {
  const outcome = await report({ neck: { source: "neck.json", text: JSON.stringify(FILE) }, readings: [{ source: "a.txt", text }] });
  return outcome.status === "reported" ? outcome.text : outcome.message;
};

describe("settings that contradict each other", () => {
  const opposite = "strings: on\nrod: neutral\nfret centre\n1 touch\n7 touch\n16 16\n\n1 touch\n7 9\n16 touch\n";

  test("are told before all else, which says which way, and nothing is turned or filed on them", () => {
    expect(told(opposite).headline).toBe("B1: readings of the centre line contradict each other: the first setting of the edge says back bow (middle high), the second setting of the edge says forward bow (middle low). Turn nothing and file nothing before both are read again: what follows leaves one reading out, and holds only if that one is the slip.");
    expect(told(opposite).howSure[0]).toMatch(/^How sure: only if the reading left out is the slip /);
  });

  test("have no certainty of the rod beside them in the report", async () => {
    const text = await reported(opposite);
    expect(text).toContain("\nRod: turn nothing yet. ");
    expect(text).not.toContain("as good as certain");
  });

  test("that bow the same way are told to contradict each other, without a way", () => {
    expect(told("unit: mm\nfret centre\n1 touch\n11 0.05\n22 touch\n\n1 touch\n11 0.75\n22 touch").headline).toMatch(/^B1: readings of the centre line contradict each other, and any of \d may be the slip\. Turn nothing and file nothing before they are read again/);
  });

  test("one plain slip among many readings leaves the headline as it is", () => {
    const plain = told("fret centre\n1 touch\n3 4\n5 7\n6 8\n7 30\n8 8\n9 8\n11 6\n13 4\n16 touch\n\n1 touch\n3 4\n5 7\n7 8\n9 8\n11 6\n13 4\n16 touch");
    expect(plain.lookAgain).toHaveLength(1);
    expect(plain.headline).toBe("B1: forward bow (middle low).");
  });
});

describe("a gap wider than a neck on its body goes", () => {
  test("is asked about, with what is likelier, and the report says nothing of the rod", async () => {
    const wide = "fret centre\n1 touch\n7 90\n16 touch\n";
    expect(told(wide).lookAgain).toEqual(['The gap at fret 7, centre, was read as "90 thou": over 1.50 mm (59.1 thou), more than an edge shows there on a neck that is on its body (own judgement). Is it 9 thou? Turn nothing before you have looked again (table, row 3). If the board is not on the neck yet, say so above the table: stage: fretted board, not glued.']);
    expect(await reported(wide)).not.toContain("as good as certain");
  });

  test.each<readonly [string, string, readonly RegExp[]]>([
    ["read with a rule is asked about, without a guess", "fret centre\n1 touch\n7 2.3±0.1mm\n16 touch", [/Are the number and its unit right\?/]],
    ["beyond what touches may be wide", "fret centre\n1 touch\n2 touch\n7 20\n16 90", []],
    ["beyond what touches may not be very wide", "fret centre\n1 touch\n2 touch\n7 40\n16 150±5thou", [/"150±5thou": over 3\.00 mm/]],
    ["of a free board is let be", "stage: fretted board, not glued\nsupport: on its side\nfret centre\n1 touch\n7 90\n16 touch", []],
    ["of 1.4 mm is let be", "fret centre\n1 touch\n7 55\n16 touch", []],
  ])("%s", (_, text, asked) => {
    expect(told(text).lookAgain).toEqual(asked.map((pattern) => expect.stringMatching(pattern)));
  });
});

describe("what was expected of a rocker is told as it is read, under the raised end", () => {
  const swept = "fret centre\n1 touch\n3 4\n5 7\n6 8\n7 8\n8 8\n9 8\n11 6\n13 4\n16 touch\nrocked frets 2-15 on centre: ";
  const high = "fret centre\n1 touch\n5 9\n6 9\n7 3\n8 9\n9 9\n12 6\n16 touch\n\n1 touch\n5 9\n6 9\n7 3\n8 9\n9 9\n12 6\n16 touch\nrocked frets 2-15 on centre: still";

  test("a fret that is level is expected still", () => {
    expect(told(`${swept}still except 7 centre rocks 14`).lookAgain[0]).toMatch(/was read as "rocks 14 thou", but all else read expects it still, (its three frets level|the middle crown 0\.0\d mm \(\d\.\d thou\) under its neighbours)\. It is set aside/);
  });

  test("a fret 6 thou up is expected to leave 12 thou or so under the raised end", () => {
    const [, thou] = /was read as "still", but all else read expects it to rock, with about 0\.\d\d mm \((\d+\.\d) thou\) under its raised end\./.exec(told(high).lookAgain.join("\n")) ?? [];
    expect(Number(thou)).toBeGreaterThan(10);
    expect(Number(thou)).toBeLessThan(14);
  });
});

test("one leaf between the ends: why the relief is told deeper than the leaf", () => {
  expect(told("fret centre\n1 touch\n7 9\n16 touch").howSure).toContainEqual('A leaf that goes is the least that the gap can be: "9 thou" is a gap from 0.23 mm (9.0 thou) to 0.25 mm (10.0 thou). The relief is told at the deepest place of the line, which need not be where that leaf went.');
  expect(told("fret centre\n1 touch\n5 8\n7 9\n16 touch").howSure.join(" ")).not.toContain("A leaf that goes");
});

test("a fret that the neck has not is refused", () => {
  expect(() => readNextFor(surveyed("fret centre\n1 touch\n7 9\n16 touch"), { about: "fret", line: "centre", fret: 30 })).toThrow("Cannot answer for fret 30: this neck has frets 1 to 22");
});
