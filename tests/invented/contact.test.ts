import fc from "fast-check";
import { expect, test } from "vitest";
import { edgeAtRest, type ContactPoint } from "../../src/invented/contact.js";

const SEED = 20_240_601;

const heights = fc.array(fc.double({ min: -0.5, max: 0.5, noNaN: true }), { minLength: 2, maxLength: 24 });
const place = fc.double({ min: 0, max: 1, noNaN: true });

/** All pairs that straddle the load with nothing above: the lowest at the load, by trying them all. */
function lowestByTrial(points: readonly ContactPoint[], loadMm: number): number {
  const through = (a: ContactPoint, b: ContactPoint, xMm: number): number => a.zMm + ((b.zMm - a.zMm) * (xMm - a.xMm)) / (b.xMm - a.xMm);
  const pairs = points.flatMap((a, i) => points.slice(i + 1).map((b) => [a, b] as const));
  const lying = pairs.filter(([a, b]) => a.xMm <= loadMm && b.xMm >= loadMm && points.every((p) => through(a, b, p.xMm) - p.zMm > -1e-9));
  return Math.min(...lying.map(([a, b]) => through(a, b, loadMm)));
}

test(`edgeAtRest touches two points that straddle the load, with no gap negative, as low as any pair (seed ${SEED})`, () => {
  fc.assert(
    fc.property(heights, place, (zMm, share) => {
      const points = zMm.map((z, k) => ({ xMm: 20 * k, zMm: z }));
      const loadMm = share * 20 * (points.length - 1);
      const edge = edgeAtRest(points, loadMm);
      const gaps = points.map((p) => edge.heightMm(p.xMm) - p.zMm);
      const [left, right] = edge.supports;
      expect(Math.min(...gaps)).toBeGreaterThan(-1e-12);
      expect(Math.abs(gaps[left] ?? NaN)).toBeLessThan(1e-12);
      expect(Math.abs(gaps[right] ?? NaN)).toBeLessThan(1e-12);
      expect(20 * left <= loadMm && loadMm <= 20 * right).toBe(true);
      expect(Math.abs(edge.heightMm(loadMm) - lowestByTrial(points, loadMm))).toBeLessThan(1e-9);
    }),
    { seed: SEED },
  );
});

test("edgeAtRest refuses a load outside what lies under the edge", () => {
  const points = [{ xMm: 10, zMm: 0 }, { xMm: 20, zMm: 0 }];
  expect(() => edgeAtRest(points, 25)).toThrow(/Cannot set the edge down: its load at 25 mm lies outside/);
});
