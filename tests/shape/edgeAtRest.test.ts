import { expect, test } from "vitest";
import { gapUnderEdge } from "../../src/shape/edgeAtRest.js";

test("an edge over a hollow bears on both ends; the largest gap is in the hollow", () => {
  expect(gapUnderEdge([0, 100, 200, 300], [0, -0.2, -0.1, 0])).toEqual({ gapMm: 0.2, atMm: 100, fromMm: 0, toMm: 300 });
});

test("a high fret in a hollow carries the edge together with the end on the far side of the middle", () => {
  const found = gapUnderEdge([0, 100, 200, 300], [0, 0.1, -0.1, 0]);
  expect([found.fromMm, found.toMm]).toEqual([100, 300]);
  expect(found.gapMm).toBeCloseTo(0.15, 12);
});

test("over a back bow neighbouring frets carry the edge, and there is no gap between them", () => {
  expect(gapUnderEdge([0, 100, 200, 300], [0, 0.1, 0.1, 0]).gapMm).toBe(0);
});

test("fewer than three points carry no question", () => {
  expect(() => gapUnderEdge([0, 1], [0, 0])).toThrow("Cannot lay an edge on 2 points: expected three or more");
});
