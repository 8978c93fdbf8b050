import { describe, expect, test } from "vitest";
import { adjustTogether, fretDistanceMm, readBenchText, rodTestOf, valueOrThrow } from "neck-survey";
import type { SurveySheet, SurveyedRodTest } from "neck-survey";
import { NECK, sheet, sweep } from "../../survey/bench.js";
import type { Truth } from "../../survey/bench.js";

const x = (fret: number): number => fretDistanceMm(NECK.scaleLengthMm, fret);
const middle = (x(1) + x(22)) / 2;
/** 0 at the ends of the sweep, -1 in the middle: a bow, or one corner. */
const even = (fret: number): number => -4 * ((x(fret) - x(1)) / (x(22) - x(1))) * (1 - (x(fret) - x(1)) / (x(22) - x(1)));
const corner = (fret: number): number => -(1 - Math.abs(x(fret) - middle) / (middle - x(1)));
const seating = (fret: number): number => 0.008 * Math.sin(37 * fret);

function atRod(rod: string, reliefMm: number, shape: (fret: number) => number = even): SurveySheet {
  const truth: Truth = (_, fret) => 0.3 * even(fret) + reliefMm * shape(fret) + seating(fret);
  return { ...sheet(NECK.lines.map((line) => sweep(truth, line))), state: { rod, strings: "off" } };
}

const tested = (sheets: readonly SurveySheet[]): Extract<SurveyedRodTest, { status: "tested" }> => {
  const found = rodTestOf(adjustTogether(NECK, sheets));
  if (found.status !== "tested") throw new Error(found.need);
  return found;
};

describe("a rod test of surveys", () => {
  const usual = tested([atRod("neutral", 0.2), atRod("1/4 turn clockwise", 0.06), atRod("1/2 turn clockwise", -0.14), atRod("neutral", 0.2)]);

  test("finds that it works, how much a turn moves, which way the nut works, and that the neck came back", () => {
    expect(usual.towardBackBow.status).toBe("works");
    if (usual.towardBackBow.status === "works") {
      // 0.14 and 0.20 mm a quarter turn: between 0.68 mm a turn without dead zone and 0.8 with one
      expect(usual.towardBackBow.perTurn.low95).toBeLessThan(0.8);
      expect(usual.towardBackBow.perTurn.high95).toBeGreaterThan(0.68);
    }
    expect(usual.moreRelief).toMatchObject({ way: "anticlockwise" });
    expect(usual.returned.status).toBe("returned");
    expect(usual.evenness.status).toBe("even");
    expect(usual.describe()).toContain("The rod bends the neck evenly.");
  });

  test("tells a neck that the rod bends in one place", () => {
    const kinked = tested([atRod("neutral", 0.25, corner), atRod("1/2 turn tighter", -0.2, corner)]);
    expect(kinked.evenness.status).toBe("kinked");
    expect(kinked.describe()).toContain("mostly in one place");
  });

  test("a rod whose position was not said cannot be judged, and says what to write", () => {
    const found = rodTestOf(adjustTogether(NECK, [atRod("neutral", 0.2), atRod("turned a bit", 0.1)]));
    expect(found.status).toBe("undetermined");
    expect(found.describe()).toContain('say in each survey where the rod stood, as "rod: neutral" or "rod: 1/4 turn clockwise"');
  });
});

test("a rod is not judged by readings that contradict each other", () => {
  const table = (text: string): SurveySheet => valueOrThrow(readBenchText(NECK, text), "the table");
  const found = rodTestOf(adjustTogether(NECK, [table("rod: neutral\nfret centre\n1 touch\n7 touch\n16 16\n\n1 touch\n7 20\n16 touch\n"), table("rod: 1/4 turn clockwise\nfret centre\n1 touch\n7 5\n16 touch\n")]));
  expect(found.status).toBe("undetermined");
  expect(found.describe()).toMatch(/^The rod cannot be judged by these surveys\. To fix it: read again what contradicts each other\. The gap at fret 7, centre, was read as "touch"/);
});
