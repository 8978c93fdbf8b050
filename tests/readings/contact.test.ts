import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { boundsOfGaps, boundsOfMark, middleShare, type RockerBounds } from "../../src/readings/contact.js";
import type { Gap } from "../../src/readings/reading.js";

const SEED = 20_260_503;
const q = 0.0381;
const zero: Gap = { kind: "interval", lowMm: 0, highMm: q, endsUMm: 0.002 };
const touch: Gap = { kind: "exact", gapMm: 0, uMm: 0.003 };
const leaf = (lowMm: number, highMm: number): Gap => ({ kind: "interval", lowMm, highMm, endsUMm: 0.002 });

function bounds(gaps: readonly [Gap, Gap, Gap], share: number): RockerBounds {
  const found = boundsOfGaps(gaps, share);
  if ("expected" in found) throw new Error(found.expected);
  return found;
}

describe("rules of contact of the rocker", () => {
  test("three gaps of 0: delta lies in [-q, q r]", () => {
    expect(bounds([zero, zero, zero], 0.52)).toEqual({ deltaMm: { low: -q, high: q * 0.52 }, endsUMm: 0.002 });
  });

  test("still: the middle is not high; how low it is was not tried", () => {
    expect(boundsOfMark({ rocks: false }, 0.52, q, 0.002)).toEqual({ deltaMm: { low: Number.NEGATIVE_INFINITY, high: q * 0.52 }, endsUMm: 0.002 });
  });

  test("pressed on the first and middle, the far gap is delta / r", () => {
    expect(bounds([touch, touch, leaf(0.1, 0.12)], 0.52).deltaMm).toEqual({ low: 0.1 * 0.52, high: 0.12 * 0.52 });
  });

  test("pressed on the middle and last, the near gap is delta / (1 - r)", () => {
    expect(bounds([leaf(0.1, 0.12), zero, zero], 0.52).deltaMm).toEqual({ low: 0.1 * 0.48, high: 0.12 * 0.48 });
  });

  test("standing on the outer two, the gap at the middle is -delta", () => {
    expect(bounds([zero, leaf(0.1, 0.12), zero], 0.52).deltaMm).toEqual({ low: -0.12, high: -0.1 });
  });

  test("which end was raised is not said: both ways are allowed", () => {
    expect(boundsOfMark({ rocks: true, gap: leaf(0.1, 0.12) }, 0.52, q, 0.002).deltaMm).toEqual({ low: 0.1 * 0.48, high: 0.12 * 0.52 });
    expect(boundsOfMark({ rocks: true }, 0.52, q, 0.002).deltaMm).toEqual({ low: 0, high: Number.POSITIVE_INFINITY });
  });

  test("two or three gaps at once are not possible", () => {
    expect(boundsOfGaps([leaf(0.1, 0.12), zero, leaf(0.1, 0.12)], 0.5)).toHaveProperty("expected", expect.stringMatching(/^one gap at most/));
    expect(boundsOfGaps([leaf(0.1, 0.12), leaf(0.1, 0.12), leaf(0.1, 0.12)], 0.5)).toHaveProperty("expected", expect.stringMatching(/three gaps at once are not possible/));
  });

  test(`a true rocker always reads bounds that hold its true delta (seed ${SEED})`, () => {
    const step = fc.double({ min: 10, max: 40, noNaN: true });
    fc.assert(
      fc.property(step, step, fc.double({ min: 0.001, max: 0.3, noNaN: true }), fc.boolean(), (first, second, deltaMm, far) => {
        const share = middleShare(0, first, first + second);
        // Heights 0, h, 0 at the three frets, h over the chord; a straight line through two of the crowns leaves its gap at the third.
        const gapAtLast = (deltaMm / first) * (first + second);
        const gapAtFirst = (deltaMm / second) * (first + second);
        const gapMm = far ? gapAtLast : gapAtFirst;
        const read = leaf(gapMm * 0.95, gapMm * 1.05);
        const exact = bounds(far ? [touch, touch, read] : [read, touch, touch], share).deltaMm;
        const marked = boundsOfMark({ rocks: true, gap: read }, share, q, 0.002).deltaMm;
        for (const { low, high } of [exact, marked]) {
          expect(low).toBeLessThanOrEqual(deltaMm * (1 + 1e-9));
          expect(high).toBeGreaterThanOrEqual(deltaMm * (1 - 1e-9));
        }
        expect(exact.high / exact.low).toBeCloseTo(1.05 / 0.95, 9);
      }),
      { seed: SEED },
    );
  });
});
