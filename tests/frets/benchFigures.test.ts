import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { fretDistanceMm, fretPlaces, overBend, radiusDropMm, radiusMm, sagittaMm, tangRoom } from "neck-survey";
import { neckWith } from "./bench.js";

const SEED = 90;
const INCH = 25.4;

describe("over-bend of a wire on a radius", () => {
  test("tighter wire touches with its ends, flatter wire with its middle, the same radius everywhere", () => {
    expect(overBend(10 * INCH, 12 * INCH, 52)).toMatchObject({ touchesFirst: "ends" });
    expect(overBend(16 * INCH, 12 * INCH, 52)).toMatchObject({ touchesFirst: "middle" });
    expect(overBend(12 * INCH, 12 * INCH, 52)).toMatchObject({ touchesFirst: "everywhere", standsOffMm: 0 });
    expect(overBend(10 * INCH, 12 * INCH, 52).describe()).toBe("Over-bent: the ends touch first, the middle stands off by 0.22 mm (8.8 thou); pressed home, its spring holds the ends down.");
    expect(overBend(Infinity, 12 * INCH, 52).standsOffMm).toBeCloseTo(sagittaMm(12 * INCH, 52), 12);
  });

  test(`the sagitta closes the circle: (w/2)^2 + (R - s)^2 = R^2, as well for a nearly flat one (seed ${SEED})`, () => {
    fc.assert(fc.property(fc.double({ min: 30, max: 1e6, noNaN: true }), fc.double({ min: 20, max: 59, noNaN: true }), (radius, width) => {
      const s = sagittaMm(radius, width);
      expect(Math.abs((width * width) / 4 + s * s - 2 * radius * s) / (width * width)).toBeLessThan(1e-14);
    }), { seed: SEED });
  });

  test("agrees with the drop of the board's radius under an outer line", () => {
    const neck = neckWith({ fingerboardRadius: "10 in", lines: { edge: { share: 0 }, centre: { share: 0.5 } } });
    const [edge] = neck.lines;
    expect(-radiusDropMm(neck, edge, 0)).toBeCloseTo(sagittaMm(10 * INCH, neck.widthMm.nut), 12);
  });

  test("refuses a board wider than the circle", () => {
    expect(() => overBend(20, 300, 52)).toThrow("Cannot lay a fret 52 mm wide on a radius of 20 mm");
    expect(() => sagittaMm(100, 0)).toThrow("expected a positive width");
  });
});

describe("a tang in a slot with a level bottom", () => {
  const slot = { slotDepthAtCentreMm: 2.5, tangDepthMm: 1.6, boardRadiusMm: 9.5 * INCH, widthMm: 54 } as const;

  test("a slot that is deep enough in the middle may be too shallow at the edges", () => {
    const found = tangRoom(slot);
    expect(found).toMatchObject({ centreMm: expect.closeTo(0.9, 12), bottomsOut: "at the ends" });
    expect(found.describe()).toMatch(/^The tang bottoms out at its ends by 0\.6\d mm/);
    expect(tangRoom({ ...slot, slotDepthAtCentreMm: 3.5 })).toMatchObject({ bottomsOut: "nowhere" });
    expect(tangRoom({ ...slot, slotDepthAtCentreMm: 1.5 })).toMatchObject({ bottomsOut: "everywhere" });
    expect(tangRoom({ ...slot, cutBackMm: 12 }).endsMm).toBeGreaterThan(found.endsMm);
  });

  test("against points of the bent tang placed one by one, to 1e-12 mm", () => {
    const { slotDepthAtCentreMm: depth, tangDepthMm: tang, boardRadiusMm: radius, widthMm: width } = slot;
    const angle = Math.asin(width / 2 / radius);
    const room = (radius - tang) * Math.cos(angle) - (radius - depth);
    expect(tangRoom(slot).endsMm).toBeCloseTo(room, 12);
    expect(tangRoom(slot).endsMm).not.toBeCloseTo(depth - tang - sagittaMm(radius, width), 4);
  });

  test("a flat board has the same room everywhere; impossible sizes are refused", () => {
    const flat = tangRoom({ ...slot, boardRadiusMm: Infinity });
    expect(flat.endsMm).toBe(flat.centreMm);
    expect(() => tangRoom({ ...slot, cutBackMm: 30 })).toThrow("cut back over its whole length");
    expect(() => tangRoom({ ...slot, tangDepthMm: 0 })).toThrow("deeper than 0");
  });
});

describe("distances, widths and radii at the frets", () => {
  const neck = neckWith({ fingerboardRadius: { nut: "10 in", lastFret: "16 in" }, widths: { nut: "43 mm", lastFret: "56 mm" } });
  const places = fretPlaces(neck);

  test("from the nut to the last fret, each from the nut", () => {
    expect(places).toHaveLength(23);
    expect(places[0]).toEqual({ fret: 0, fromNutMm: 0, fromBeforeMm: 0, widthMm: 43, radiusMm: 10 * INCH });
    expect(places[12]?.fromNutMm).toBeCloseTo(317.5, 12);
    expect(places.at(-1)).toMatchObject({ widthMm: 56, radiusMm: expect.closeTo(16 * INCH, 12) });
    expect(places.reduce((sum, { fromBeforeMm }) => sum + fromBeforeMm, 0)).toBeCloseTo(fretDistanceMm(635, 22), 9);
  });

  test("a compound radius is a cone: radius over distance from the tip is the same at every fret", () => {
    const lengthMm = fretDistanceMm(635, 22);
    const tipMm = (10 * INCH * lengthMm) / (6 * INCH); // before the nut
    for (const { fromNutMm, radiusMm: radius } of places) expect(radius / (fromNutMm + tipMm)).toBeCloseTo((6 * INCH) / lengthMm, 12);
  });

  test("a board cannot be round at one end and flat at the other", () => {
    expect(() => radiusMm({ scaleLengthMm: 635, frets: 22, fingerboardRadiusMm: { nut: 254, lastFret: Infinity } }, 5)).toThrow("a cone does not become flat");
    expect(radiusMm({ scaleLengthMm: 635, frets: 22, fingerboardRadiusMm: { nut: Infinity, lastFret: Infinity } }, 5)).toBe(Infinity);
  });
});
