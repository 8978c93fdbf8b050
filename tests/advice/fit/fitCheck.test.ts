import { describe, expect, test } from "vitest";
import { fitCheck, type FitAdvice, type FitReadings } from "../../../src/advice/fit/fitCheck.js";
import { valueOrThrow } from "../../../src/units/problem.js";

const looked = { liesStraight: true, nutTurns: true, facesFlat: true };
const judged = (rod: FitReadings["rod"], more: Partial<FitReadings> = looked): FitAdvice => valueOrThrow(fitCheck({ rod, ...more }), "fit");

describe("the dry fit", () => {
  test("a rod that stands up at the heel is told, with where and how much to deepen", () => {
    const advice = judged({ "nut end": "flush", middle: "0.1 mm below", "heel end": "12 thou above" });
    expect(advice.decision).toBe("deepen the channel");
    expect(advice.deepen).toEqual([{ at: "heel end", byMm: expect.closeTo(0.3048 + 0.1, 9) }]);
    expect(advice.headline).toBe("Do not glue yet: deepen the channel at the heel end by 0.40 mm (15.9 thou): as far as the rod stands above the face, and 0.10 mm (3.9 thou) more, so that it never carries the board.");
    expect(advice.assumed).toEqual(["clearance over the rod: 0.10 mm (3.9 thou) (common practice, no source)", expect.stringContaining("heights of the rod")]);
    expect(advice.probability).toBeGreaterThan(0.99);
    expect(advice.reasons.join(" ")).toContain("A rod above the face carries the board");
    expect(advice.readIfUnsure).toEqual([]);
  });

  test("a rod just below its face everywhere fits", () => {
    expect(judged({ "nut end": "0.15 mm below", middle: "0.2 mm below", "heel end": -0.1 })).toMatchObject({ decision: "fits", deepen: [], headline: "The rod fits." });
  });

  test("a rod far below is to be taken up, as its maker says", () => {
    const advice = judged({ "nut end": "1 mm below", middle: "0.9 mm below", "heel end": "0.2 mm below" });
    expect(advice.decision).toBe("take up the gap");
    expect(advice.describe()).toContain("what the rod maker names for it");
  });

  test("a nut that binds comes before gluing, a rod above the face before both", () => {
    expect(judged({ a: "flush", b: "0.2 mm below", c: "0.1 mm below" }, { ...looked, nutTurns: false })).toMatchObject({ decision: "mend the fit first", headline: expect.stringContaining("The nut does not turn freely") });
    const both = judged({ a: "1 mm above", b: "0.2 mm below", c: "0.1 mm below" }, { ...looked, nutTurns: false });
    expect(both.decision).toBe("deepen the channel");
    expect(both.reasons.join(" ")).toContain("The nut does not turn freely");
  });

  test("what was not looked at is asked for, and what is close is read again", () => {
    const advice = judged({ a: "0.03 mm above", b: "0.2 mm below", c: "0.1 mm below" }, {});
    expect(advice.readIfUnsure.join(" ")).toMatch(/rod lies straight by itself.*nut turns freely.*look for light.*Not sure at the a: lay a short edge across the channel/);
    expect(advice.assumed).toHaveLength(2);
  });

  test("cautions: adhesive, threads, curing, dust, the rod maker", () => {
    const words = judged({ a: "flush", b: "flush", c: "flush" }).describe();
    expect(words).toMatch(/Adhesive only where the rod maker allows it, none on threads or moving parts, and no turning of the nut until it has cured/);
    expect(words).toMatch(/lungs protected/);
    expect(words).toMatch(/local rules and qualified practice come first/);
  });

  test.each([
    [{ a: "0.2 above", b: "flush", c: "flush" }, "rod.a"],
    [{ a: "wide", b: "flush", c: "flush" }, "rod.a"],
    [{ a: "-0.2 mm above", b: "flush", c: "flush" }, "rod.a"],
    [{ a: Number.NaN, b: "flush", c: "flush" }, "rod.a"],
    [{ a: "flush", b: "flush" }, "rod"],
    [{ a: "90 mm below", b: "flush", c: 90 }, "rod.c"],
  ])("%j is refused where it stands", (rod, column) => {
    const outcome = fitCheck({ rod });
    if (outcome.status !== "refused") throw new Error("was read");
    expect(outcome.problems.map((problem) => problem.column)).toContain(column);
  });
});
