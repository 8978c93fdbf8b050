import { expect, test } from "vitest";
import { topPoint } from "../../src/survey/explanation.js";
import { explanationsOf } from "../../src/survey/explanations.js";
import { usableReadings } from "../../src/survey/model/stations.js";
import { NECK, THOU, along, exact, interval, sheet } from "./bench.js";

test("the top is where the density is highest, also where outer points stand for more of it", () => {
  const readings = sheet([along("centre", [exact("centre", 1, 0), interval("centre", 8, 8 * THOU, 9 * THOU), exact("centre", 16, 0)])]);
  const [likeliest] = explanationsOf(NECK, readings, usableReadings(NECK, readings));
  const [first, ...others] = [...likeliest.grid].sort((a, b) => b.logDensity - a.logDensity);
  if (first === undefined) throw new Error("expected a grid");
  const outerWeigh = others.map((point) => ({ ...point, weight: first.weight + point.weight }));
  expect(topPoint({ grid: [...outerWeigh, first] })).toBe(first);
});
