import { describe, expect, test } from "vitest";
import { rodTest as tested, turnWords, type RodTest } from "../../../src/advice/rod/rodTest.js";
import type { RodReading } from "../../../src/advice/rod/rodGrid.js";

const at = (turns: number, reliefMm: number, uMm = 0.01): RodReading => ({ turns, reliefMm, uMm });

const rodTest = (readings: readonly RodReading[], rod?: { readonly works: "one way" }, wayKnown = true): RodTest => tested({ readings, towardBackShare: wayKnown ? 1 : 0.9 }, rod);

describe("a rod test", () => {
  test("a rod that works both ways passes, with what a turn does and where it begins to bear", () => {
    // 0.8 mm a turn past a dead zone of 0.1 turns
    const told = rodTest([at(0, 0.2), at(0.25, 0.08), at(0.5, -0.12), at(0, 0.2), at(-0.25, 0.32), at(-0.5, 0.52), at(0, 0.2)]);
    expect(told.verdict).toBe("pass");
    expect(told.returned).toMatchObject({ status: "returned", turns: 0 });
    for (const way of [told.towardBackBow, told.towardForwardBow]) {
      if (way.status !== "works") throw new Error(way.status);
      expect(way.perTurn.low95).toBeLessThan(0.8);
      expect(way.perTurn.high95).toBeGreaterThan(0.8);
      expect(way.perTurn.u).toBeLessThan(0.1);
    }
    expect(told.deadTurns.low95).toBeLessThan(0.1);
    expect(told.deadTurns.high95).toBeGreaterThan(0.1);
    expect(told.triedTurns).toEqual({ towardBackBow: 0.5, towardForwardBow: 0.5 });
    expect(told.describe()).toContain("nothing is said of travel beyond that");
  });

  test("a rod that does nothing toward forward bow fails, unless it is said to work one way", () => {
    const readings = [at(0, 0.2), at(0.25, 0.06), at(0.5, -0.13), at(0, 0.2), at(-0.25, 0.2), at(-0.5, 0.2), at(-0.75, 0.2)];
    expect(rodTest(readings)).toMatchObject({ verdict: "fail", towardForwardBow: { status: "does not work" } });
    const oneWay = rodTest(readings, { works: "one way" });
    expect(oneWay.verdict).toBe("pass");
    expect(oneWay.describe()).toContain("back bow with the rod slack is not curable by it");
  });

  test("a small turn read roughly leaves it open, and says what to read", () => {
    const told = rodTest([at(0, 0.2, 0.05), at(0.125, 0.19, 0.05)]);
    expect(told.verdict).toBe("not sure");
    expect(told.towardBackBow.status).toBe("not sure");
    expect(told.towardForwardBow.status).toBe("not tested");
    expect(told.describe()).toContain("To know more toward back bow: read the middle three times more at the same positions, or go a quarter turn on if it turns easily");
    expect(told.describe()).toContain("Whether the neck comes back when the nut does was not read");
  });

  test("readings show which way the nut works when nobody knew", () => {
    const usual = rodTest([at(0, 0.2), at(0.25, 0.06), at(0.5, -0.13)], undefined, false);
    expect(usual.moreRelief).toMatchObject({ way: "anticlockwise" });
    expect(usual.towardBackBow.status).toBe("works");
    const other = rodTest([at(0, 0.2), at(0.25, 0.34), at(0.5, 0.53)], undefined, false);
    expect(other.moreRelief).toMatchObject({ way: "clockwise" });
    expect(other.moreRelief?.probability ?? 0).toBeGreaterThan(0.99);
    expect(other.towardForwardBow.status).toBe("works");
    expect(other.triedTurns).toEqual({ towardBackBow: 0, towardForwardBow: 0.5 });
  });

  test("nothing moved, and nobody knows which way the nut works: it is not said to have failed, and turning stops", () => {
    const told = rodTest([at(0, 0.2), at(0.5, 0.2), at(1, 0.2)], undefined, false);
    expect(told.towardBackBow.status).not.toBe("does not work");
    expect(told.moreRelief).toBeUndefined();
    expect(told.describe()).toContain("moved nothing that these readings see, so turn no farther");
  });

  test.each([[at(Number.NaN, 0.2)], [at(0, Number.POSITIVE_INFINITY)], [at(0, 0.2, -1)]])("a reading that is none is refused by its numbers: %j", (bad) => {
    expect(() => rodTest([bad, at(0.25, 0.1)])).toThrow(/Cannot judge a rod by a reading of .* expected finite numbers/);
  });

  test("a neck that does not come back is told, with which way it stands", () => {
    const told = rodTest([at(0, 0.2), at(0.25, 0.06), at(0, 0.08)]);
    expect(told.returned).toMatchObject({ status: "did not return" });
    expect(told.describe()).toContain("the neck did not come back: its middle stands 0.12 mm");
    expect(told.describe()).toContain("toward back bow of where it was");
  });

  test("the level of the neck does not matter, nor the order of the readings but for the return", () => {
    const readings = [at(0, 0.2), at(0.25, 0.06), at(-0.25, 0.33)];
    const lifted = rodTest(readings.map((one) => ({ ...one, reliefMm: one.reliefMm + 5 })));
    const turnedRound = rodTest([...readings].reverse());
    const plain = rodTest(readings);
    expect(plain.towardBackBow.status).toBe("works");
    for (const other of [lifted, turnedRound]) {
      expect(other.towardBackBow.status).toBe(plain.towardBackBow.status);
      if (other.towardBackBow.status === "works" && plain.towardBackBow.status === "works") expect(other.towardBackBow.perTurn.value).toBeCloseTo(plain.towardBackBow.perTurn.value, 9);
    }
  });

  test("every rod test carries its cautions and defers to the rod maker", () => {
    const words = rodTest([at(0, 0.2), at(0.25, 0.06)]).describe();
    expect(words).toMatch(/Never more than a quarter turn/);
    expect(words).toMatch(/a rod that is forced breaks/);
    expect(words).toMatch(/Strings at pitch can break and whip/);
    expect(words).toMatch(/The rod maker.*local rules and qualified practice come first/);
  });

  test("an error that all readings share says nothing of the rod", () => {
    const readings = [at(0, 0.2, 0.3), at(0.25, 0.06, 0.3), at(0.5, -0.13, 0.3)];
    const own = 0.01 ** 2;
    const shared = readings.map((_, row) => readings.map((__, column) => 0.09 + (row === column ? own : 0)));
    const alone = rodTest([at(0, 0.2), at(0.25, 0.06), at(0.5, -0.13)]);
    const together = tested({ readings, covarianceMm2: shared, towardBackShare: 1 });
    expect(together.towardBackBow.status).toBe("works");
    if (together.towardBackBow.status === "works" && alone.towardBackBow.status === "works") expect(together.towardBackBow.perTurn.u).toBeCloseTo(alone.towardBackBow.perTurn.u, 4);
    expect(rodTest(readings).towardBackBow.status).toBe("not sure");
  });

  test("one reading is no test", () => {
    expect(() => rodTest([at(0, 0.2)])).toThrow("Cannot judge a rod by 1 readings");
  });
});

test.each([[0, "no turn"], [0.12, "an eighth of a turn"], [0.25, "a quarter turn"], [0.375, "3/8 of a turn"], [0.5, "half a turn"], [1, "one turn"], [1.25, "1 1/4 turns"], [2, "2 turns"]])("%d turns in words", (turns, words) => {
  expect(turnWords(turns)).toBe(words);
});
