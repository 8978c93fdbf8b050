import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { surveyCard } from "../../src/notebook/card.js";
import { describeNeck, surveyNeck } from "../../src/notebook/neck.js";
import { report } from "../../src/notebook/report.js";
import { NECK } from "../survey/bench.js";
import { adjust, readBenchText, valueOrThrow, verdict } from "neck-survey";
import type { Verdict } from "neck-survey";

const LINES = "fret bass centre treble\n1 touch touch touch\n4 5 5 5\n7 8 8 8\n11 7 7 7\n16 touch touch touch\n";
const sighted = (cell: string): Verdict => verdict(adjust(NECK, valueOrThrow(readBenchText(NECK, `${LINES}\nsightingBars: 300 mm\nsightingBars treble\n1 0\n22 ${cell}`), "the text")));

test("a neck that is twisted beyond the limit is told so, which side toward which end, and that the rod is no cure", () => {
  const up = sighted("6±0.15mm");
  expect(up.headline).toBe("test neck: forward bow (middle low) on all 3 lines read, and twisted beyond the limit, the treble side turned up toward fret 22.");
  expect(up.where.filter((sentence) => sentence.startsWith("Twist"))).toEqual([expect.stringMatching(/turned up at the treble side toward fret 22 by 1\.\d\d mm, give or take 0\.\d\d .*; over the limit of 0\.30 mm \(11\.8 thou\)\. The rod cannot cure twist: .* Exchange the two bars and sight it again; if it stays, do not go on to glue or string: /)]);
  expect(sighted("-6±0.15mm").headline).toContain("the bass side turned up toward fret 22");
});

test("twist within the limit, and twist that may be over it, leave the headline alone", () => {
  const [none, perhaps] = [sighted("0±0.15mm"), sighted("1.3±0.3mm")];
  for (const { headline } of [none, perhaps]) expect(headline).toBe("test neck: forward bow (middle low) on all 3 lines read.");
  expect(none.twist).toMatchObject({ status: "determined", within: "yes" });
  expect(none.describe()).not.toContain("The rod cannot cure twist");
  expect(perhaps.twist).toMatchObject({ status: "determined", within: "open" });
  expect(perhaps.describe()).toMatch(/perhaps over the limit.* sight it again before you decide\./);
});

test("the demo neck with 0.8 mm of twist: report, JSON and card tell it", async () => {
  const file = (name: string): { source: string; text: string } => ({ source: name, text: readFileSync(new URL(`../../data-demo/QUILLFEN-13/${name}`, import.meta.url), "utf8") });
  const made = await report({ neck: file("neck.json"), readings: [file("readings.csv")] });
  if (made.status === "refused") throw new Error(made.message);
  const said = /Twist from fret 1 to fret 24: turned up at the treble side toward fret 24 by 0\.[678]\d mm, give or take 0\.\d\d .*; over the limit of 0\.30 mm/;
  expect(made.text).toMatch(said);
  expect(made.html).toMatch(said);
  expect(made.json["twist"]).toMatchObject({ status: "determined", from: "1", to: "24", limitMm: 0.3, within: "no" });
});

test("twist that was not read is asked for on the card and has no number in the JSON", async () => {
  const described = { name: "a", scaleLength: "25 in", frets: 22, bodyJoint: 16 };
  const { html } = surveyCard(surveyNeck(describeNeck(described), LINES));
  expect(html).toContain("<li>twist: lay two sighting bars across, at fret 1 and at the last fret");
  const made = await report({ neck: { source: "neck.json", text: JSON.stringify(described) }, readings: [{ source: "a.txt", text: LINES }] });
  expect(made.status === "reported" ? made.json["twist"] : made.message).toEqual({ status: "undetermined", need: expect.stringContaining("lay two sighting bars across") });
});
