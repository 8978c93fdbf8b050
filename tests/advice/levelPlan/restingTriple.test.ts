import fc from "fast-check";
import { expect, test } from "vitest";
import { restingTriple } from "../../../src/advice/levelPlan/restingTriple.js";
import { loadSolver } from "../../../src/notebook/solver.js";

const seed = 20_261_126;
/** Three lines of a board that widens, or points anywhere. */
const heights = fc.array(fc.double({ min: -0.2, max: 0.2, noNaN: true }), { minLength: 66, maxLength: 66 });
const board = heights.map((all) => all.map((heightMm, index) => ({ xMm: 20 * (index % 22), yMm: (Math.floor(index / 22) - 1) * (17 + 0.01 * 20 * (index % 22)), heightMm })));

test(`a face at rest has no point over it, and none lies lower at the middle: 200 boards beside a linear program, seed ${seed}`, async () => {
  const solve = await loadSolver();
  fc.assert(fc.property(board, (points) => {
    const mean = (of: (point: (typeof points)[number]) => number): number => points.reduce((sum, point) => sum + of(point), 0) / points.length;
    const [x, y] = [mean(({ xMm }) => xMm), mean(({ yMm }) => yMm)];
    const { on, at } = restingTriple(points);
    for (const { xMm, yMm, heightMm } of points) expect(at(xMm, yMm) - heightMm).toBeGreaterThan(-1e-9);
    for (const index of on) expect(at(points[index]?.xMm ?? NaN, points[index]?.yMm ?? NaN)).toBeCloseTo(points[index]?.heightMm ?? NaN, 9);
    const free = (name: string): { readonly name: string; readonly cost: number; readonly low: number; readonly high: number } => ({ name, cost: name === "a" ? 1 : 0, low: -Infinity, high: Infinity });
    const least = solve({
      columns: ["a", "b", "c"].map(free),
      rows: points.map(({ xMm, yMm, heightMm }, index) => ({ name: `p${index}`, terms: [["a", 1], ["b", (xMm - x) / 100], ["c", (yMm - y) / 100]], low: heightMm, high: Infinity })),
    });
    if (least.status !== "optimal") throw new Error(least.status);
    expect(at(x, y)).toBeCloseTo(least.cost, 6);
  }), { numRuns: 200, seed });
}, 60_000);

test("points on one line carry no face", () => {
  expect(() => restingTriple([0, 1, 2, 3].map((k) => ({ xMm: 10 * k, yMm: 5 * k, heightMm: 0 })))).toThrow(/^Cannot rest a face on 4 points: expected three or more, not on one line/);
});
