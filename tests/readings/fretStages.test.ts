import { describe, expect, test } from "vitest";
import { fretStages, mayBeDone, type FretWork } from "../../src/readings/fretStages.js";

function saying(words: string | undefined): string {
  const stages = fretStages(words);
  const names: readonly FretWork[] = ["seated", "levelled", "crowned", "endsDressed", "filed", "refretted", "setUp"];
  return names.flatMap((work) => (stages[work] === "not said" ? [] : [`${work} ${stages[work]}`])).join(", ");
}

describe("what the words say was done to the frets", () => {
  test.each([
    [undefined, ""],
    ["pressed", ""],
    ["levelled", "levelled done"],
    ["seated, levelled and re-crowned; set up", "seated done, levelled done, crowned done, setUp done"],
    ["leveled, crowned, ends dressed", "levelled done, crowned done, endsDressed done"],
    ["refretted", "refretted done"],
    ["not only seated but levelled", "seated done, levelled done"],
    ["levelling done", "levelled done"],
    ["after levelling", "levelled done"],
    ["seated, levelled before crowning", "seated done, levelled done, crowned not done"],
  ])("done: %s", (words, said) => expect(saying(words)).toBe(said));

  test.each([
    ["pressed, not levelled", "levelled not done"],
    ["to be levelled and crowned", "levelled not done, crowned not done"],
    ["unseated", "seated not done"],
    ["un-levelled", "levelled not done"],
    ["seated, still to be levelled", "seated done, levelled not done"],
    ["not yet levelled or crowned", "levelled not done, crowned not done"],
    ["seated and not levelled", "seated done, levelled not done"],
    ["never levelled but seated", "seated done, levelled not done"],
    ["ready for levelling", "levelled not done"],
    ["before levelling", "levelled not done"],
    ["crowned, ends not dressed", "crowned done, endsDressed not done"],
    ["needs levelling", "levelled not done"],
  ])("not done: %s", (words, said) => expect(saying(words)).toBe(said));

  test.each([
    ["not seated, levelled", "seated not done, levelled unclear"],
    ["partly levelled", "levelled unclear"],
    ["frets 3 to 7 levelled", "levelled unclear"],
    ["levelled?", "levelled unclear"],
    ["levelled and crowned not yet", "levelled unclear, crowned unclear"],
    ["levelling", "levelled unclear"],
    ["levelled; not levelled", "levelled unclear"],
  ])("unclear: %s", (words, said) => expect(saying(words)).toBe(said));

  test("what is unclear may have been done, what is denied was not", () => {
    expect(mayBeDone(fretStages("partly levelled"), ["levelled"])).toBe(true);
    expect(mayBeDone(fretStages("not levelled"), ["levelled", "crowned"])).toBe(false);
  });
});
