import { describe, expect, test } from "vitest";
import { knownWoods, woodProperties } from "../../../src/bow/woods/woodProperties.js";
import { BOOK_WOODS } from "../../../src/bow/woods/woodTable.js";

describe("woodProperties", () => {
  test("knows a wood by each of its names, whatever the case and dashes", () => {
    const [one, ...others] = ["hard maple", "Hard-Maple", "sugar maple", " maple"].map((name) => woodProperties({ name }, "neck").modulusMPa);
    expect(others).toEqual([one, one, one]);
  });

  test("no name stands for two woods", () => {
    const names = knownWoods().map((name) => name.toLowerCase().replace(/[\s_-]/g, ""));
    expect(new Set(names).size).toBe(names.length);
  });

  test("a misspelt name is refused with the likely one, and says how to go on", () => {
    expect(() => woodProperties({ name: "suger mapel" }, "neck")).toThrow(/did you mean "sugar maple".*modulusMPa/);
    expect(() => woodProperties({ name: "xyz" }, "board")).toThrow(/wood of the board, "xyz": Known are white ash/);
  });

  test("own values override the book's, also for a wood that no book knows", () => {
    const own = woodProperties({ name: "old gatepost", modulusMPa: 11_000, densityKgM3: 700 }, "neck");
    expect(own).toMatchObject({ modulusMPa: 11_000, modulusFrom: "own value", densityKgM3: 700, modulusShareU: 0.05 });
    expect(own.assumed[0]).toContain("your own value of 11.0 GPa");
  });

  test("a book's stiffness is wide, wider for a weak source, widest where no wood was named; each says so", () => {
    const [maple, wenge, unnamed] = [woodProperties({ name: "maple" }, "neck"), woodProperties({ name: "wenge" }, "board"), woodProperties(undefined, "neck")];
    expect(maple.modulusShareU).toBe(0.22);
    expect(wenge.modulusShareU).toBeGreaterThan(maple.modulusShareU);
    expect(unnamed.modulusShareU).toBeGreaterThan(maple.modulusShareU);
    expect(maple.assumed[0]).toMatch(/13\.9 GPa.*22 %.*sugar maple, Wood Handbook/);
    expect(unnamed.assumed[0]).toContain("wood of the neck: not given");
  });

  test("a wood that names its moisture is stiffer when dry, softer when wet, by a few per cent", () => {
    const at = (moisturePercent: number): number => woodProperties({ name: "maple", moisturePercent }, "neck").modulusMPa;
    expect(at(12)).toBeCloseTo(woodProperties({ name: "maple" }, "neck").modulusMPa, 9);
    expect(at(6) / at(12)).toBeCloseTo(1.9758 / 1.83, 4);
    expect(at(16) / at(12)).toBeCloseTo(1.7388 / 1.83, 4);
  });

  test("densities are those of seasoned wood: between 400 and 1250 kg/m3", () => {
    for (const { names } of BOOK_WOODS) {
      const { densityKgM3 } = woodProperties({ name: names[0] }, "neck");
      expect(densityKgM3, names[0]).toBeGreaterThan(400);
      expect(densityKgM3, names[0]).toBeLessThan(1250);
    }
    expect(woodProperties({ name: "maple" }, "neck").densityKgM3).toBeCloseTo(705.6, 9);
  });
});
