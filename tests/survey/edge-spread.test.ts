import { expect, test } from "vitest";
import { edgeSpread } from "../../src/survey/model/sag.js";
import { EDGE } from "./bench.js";

test("even and odd part of an edge are as wide as a tolerance zone that they share leaves them, all pairs within it counting alike", () => {
  const [steps, places] = [300, 200];
  const ofSteps = Array.from({ length: steps }, (_, step) => (step + 0.5) / steps);
  const along = Array.from({ length: places + 1 }, (_, place) => (2 * place) / places - 1);
  const worst = (even: number, odd: number): number => Math.max(...along.map((v) => Math.abs((even + 1.5 * Math.sqrt(3) * odd * v) * (1 - v * v))));
  const within = ofSteps.flatMap((even) => ofSteps.filter((odd) => worst(even, odd) <= 1).map((odd) => ({ even, odd })));
  const spread = (part: "even" | "odd"): number => Math.sqrt(within.reduce((sum, pair) => sum + pair[part] ** 2, 0) / within.length);
  const wholeMm = edgeSpread({ ...EDGE, straightnessToleranceMm: 1 });
  expect(wholeMm.evenMm).toBeCloseTo(spread("even"), 3);
  expect(wholeMm.oddMm).toBeCloseTo(spread("odd"), 3);
  expect(edgeSpread({ ...EDGE, straightnessToleranceMm: 1, bow: { mm: 0, uMm: 0.1 } })).toEqual({ evenMm: 0.1, oddMm: 1 / Math.sqrt(3) });
});
