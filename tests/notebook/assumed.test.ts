import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { bowForecast } from "../../src/bow/index.js";
import { assumedItems, assumedLines, assumedWords } from "../../src/notebook/assumed.js";
import { describeNeck, surveyNeck } from "../../src/notebook/neck.js";
import { openNeck } from "../../src/notebook/files.js";

const bare = describeNeck({ name: "Invented", scaleLength: "25 in", frets: 22, bodyJoint: 16 });
const survey = surveyNeck(bare, "fret centre\n1 touch\n7 6\n16 touch\n");

describe("what was assumed", () => {
  test("tells first what a decision hangs on most: a unit, then the rod", () => {
    expect(assumedWords(survey.assumed).most).toEqual(["numbers without a unit: taken in thou (common practice, no source)", "rod: neutral"]);
  });

  test("of a predicted bow: the wood and the strings", () => {
    const { assumed } = bowForecast(openNeck("data-demo/QUILLFEN-11/neck.json"), { frets: "before glue-up", strings: true });
    expect(assumedWords(assumed).most).toEqual([expect.stringMatching(/^wood of the neck/), expect.stringMatching(/^strings: a light set/)]);
  });

  test("loses nothing but the words that the heading says, in whatever order it comes", () => {
    fc.assert(fc.property(fc.shuffledSubarray([...survey.assumed]), (assumed) => {
      const told = assumedItems(assumed).join("; ");
      for (const one of assumed) expect(told).toContain(one.replace(/: (size )?not stated, taken as |: not given, taken as /, ": ").replace(/ \(common practice, no source\)$/, ""));
      const { most, common, others } = assumedWords(assumed);
      expect(most.length + common.length + others.length).toBe(assumed.length);
    }), { seed: 20_261_126 });
  });

  test("common practice is said once for all of it", () => {
    expect(assumedLines(survey.assumed).filter((line) => line.includes("by common practice, without a source: "))).toHaveLength(1);
    expect(assumedLines([])).toEqual([]);
  });
});
