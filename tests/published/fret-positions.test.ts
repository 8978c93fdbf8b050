import { describe, expect, test } from "vitest";
import { fretDistanceMm } from "../../src/neck/frets.js";
import { printed } from "./printed.js";
import { referenceText } from "./reference.js";

type Note = { readonly note: string; readonly publishedHz: number };

function notes(): readonly Note[] {
  const [, ...lines] = referenceText("note-frequencies.csv").trim().split("\n");
  return lines.map((line) => {
    const [note = "", , published = ""] = line.split(",");
    return { note, publishedHz: Number(published) };
  });
}

/** Length of string that sounds the first note of the table, in units of itself. */
const OPEN = notes()[0]?.publishedHz ?? Number.NaN;

/** Frequency of an open E2 string stopped at a fret: frequency goes as one over the length left. */
function stoppedHz(fret: number, distance: (scaleLengthMm: number, fret: number) => number = fretDistanceMm): number {
  return (OPEN * 650) / (650 - distance(650, fret));
}

const ruleOf18 = (scaleLengthMm: number, fret: number): number => scaleLengthMm * (1 - (17 / 18) ** fret);

describe("fretDistanceMm against published equal temperament", () => {
  test.each(notes().map(({ note, publishedHz }, fret) => [fret, note, publishedHz] as const))(
    "fret %d of an open E2 string sounds %s, %d Hz (table of B. H. Suits, Michigan Technological University)", (fret, _note, publishedHz) => {
      const rounding = 0.005 + (0.005 * publishedHz) / OPEN;
      expect(Math.abs(stoppedHz(fret) - publishedHz)).toBeLessThanOrEqual(rounding);
    });

  test("the frequency ratio of a fret is 1.059463094359 (twelfth root of two, as printed)", () => {
    for (let fret = 1; fret <= 24; fret++) printed((650 - fretDistanceMm(650, fret - 1)) / (650 - fretDistanceMm(650, fret)), "1.059463094359");
  });

  test("each fret takes one 17.817th of what is left (builders' constant, as printed)", () => {
    for (let fret = 1; fret <= 24; fret++) {
      const left = 650 - fretDistanceMm(650, fret - 1);
      printed(left / (fretDistanceMm(650, fret) - fretDistanceMm(650, fret - 1)), "17.817");
    }
  });

  test("control: the rule of 18 (98.9545922 cents a fret) does not pass", () => {
    printed(1200 * Math.log2((650 - ruleOf18(650, 0)) / (650 - ruleOf18(650, 1))), "98.9545922");
    expect(Math.abs(stoppedHz(12, ruleOf18) - 2 * OPEN)).toBeGreaterThan(1);
    expect(() => printed((650 - ruleOf18(650, 0)) / (650 - ruleOf18(650, 1)), "1.059463094359")).toThrow("against the printed");
    expect(() => printed(650 / ruleOf18(650, 1), "17.817")).toThrow("against the printed");
  });
});
