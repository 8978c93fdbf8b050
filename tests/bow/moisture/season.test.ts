import { describe, expect, test } from "vitest";
import { equilibriumMoisturePercent } from "../../../src/bow/moisture/equilibrium.js";
import { seasonalChange } from "../../../src/bow/moisture/season.js";
import { readNeck } from "../../../src/neck/neckFile.js";
import { valueOrThrow } from "../../../src/units/problem.js";

const NECK = valueOrThrow(readNeck({ name: "n", scaleLength: 648, frets: 22, widths: { nut: 43, lastFret: 56 }, woods: { board: "rosewood", neck: "maple" } }), "the neck");
const SUMMER = { humidityPercent: 65, celsius: 22 };
const WINTER = { humidityPercent: 25, celsius: 21 };

describe("seasonalChange", () => {
  test("a heated winter dries the board, so that fret ends stand out by between quarter-sawn and flat-sawn shrinkage of half the width", () => {
    const season = seasonalChange(NECK, SUMMER, WINTER);
    const lostPercent = season.moisturePercent.from - season.moisturePercent.to;
    expect(lostPercent).toBeGreaterThan(5);
    const { value, low95, high95 } = season.fretEnds.atLastFret;
    expect(value).toBeGreaterThan((28 * lostPercent * 2.7) / 3000);
    expect(value).toBeLessThan((28 * lostPercent * 5.8) / 3000);
    expect(low95).toBeLessThan((28 * lostPercent * 3.1) / 3000);
    expect(high95).toBeGreaterThan((28 * lostPercent * 5.4) / 3000);
    expect(season.describe()).toMatch(/^The wood dries, from 1\d\.\d to \d\.\d % moisture, and gets about \d+ % stiffer\. At the last fret the fret ends stand out at each side by 0\.\d\d mm, give or take/);
  });

  test("there and back is opposite in sign, and no change is none", () => {
    const [there, back] = [seasonalChange(NECK, SUMMER, WINTER), seasonalChange(NECK, WINTER, SUMMER)];
    expect(back.board.alongStrain).toBeCloseTo(-there.board.alongStrain, 15);
    expect(back.fretEnds.atNut.value).toBeCloseTo(-there.fretEnds.atNut.value, 12);
    expect(back.describe()).toContain("draw in");
    expect(seasonalChange(NECK, SUMMER, SUMMER).fretEnds.atNut.value).toBeCloseTo(0, 15);
  });

  test("along the grain wood moves thirty to eighty times less than across it", () => {
    const { board, fretEnds, moisturePercent } = seasonalChange(NECK, SUMMER, WINTER);
    const across = -fretEnds.atNut.value / 21.5;
    expect(across / board.alongStrain).toBeGreaterThan(20);
    expect(across / board.alongStrain).toBeLessThan(90);
    expect(board.alongStrain).toBeCloseTo(5e-5 * (moisturePercent.to - moisturePercent.from), 12);
  });

  test("a climate that no table knows is refused", () => {
    expect(() => equilibriumMoisturePercent({ humidityPercent: 100, celsius: 20 })).toThrow("expected a humidity of 0 to 98 %");
    expect(() => equilibriumMoisturePercent({ humidityPercent: 50, celsius: Number.NaN })).toThrow(RangeError);
    expect(() => seasonalChange(NECK, SUMMER, { humidityPercent: -5, celsius: 20 })).toThrow(RangeError);
  });
});
