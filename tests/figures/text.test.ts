import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { fretDistanceMm } from "../../src/neck/frets.js";
import { escaped, textWidthPx, wrapped } from "../../src/figures/text.js";
import { labelledFrets, roundStep } from "../../src/figures/ticks.js";
import { neck } from "./handmade.js";

describe("escaped", () => {
  test("leaves no sign that HTML, plotly or a formula would act on", () => {
    fc.assert(fc.property(fc.string(), (text) => !/[<>"'$\u0000-\u001f]/.test(escaped(text))), { seed: 7 });
  });
});

describe("wrapped", () => {
  test("keeps every sign but the blanks, and every line within the width", () => {
    fc.assert(fc.property(fc.string({ maxLength: 80 }), fc.integer({ min: 30, max: 400 }), (text, widthPx) => {
      const lines = wrapped(text, widthPx, 12, 200);
      expect(lines.join("").replace(/\s/g, "")).toBe(text.replace(/\s/g, ""));
      expect(lines.every((line) => textWidthPx(line, 12) <= widthPx)).toBe(true);
    }), { seed: 11 });
  });

  test("ends in an ellipsis where there are too many lines", () => {
    expect(wrapped("one two three four", 30, 12, 2)).toEqual(["one", "two …"]);
  });
});

describe("labelledFrets", () => {
  test("lets no two numbers touch from 600 to 1400 px", () => {
    for (let widthPx = 600; widthPx <= 1400; widthPx += 50) {
      const pxPerMm = (widthPx - 128) / (1.05 * fretDistanceMm(neck.scaleLengthMm, neck.frets));
      const frets = labelledFrets(neck, pxPerMm, 12);
      const ends = frets.map((fret) => ({ middle: fretDistanceMm(neck.scaleLengthMm, fret) * pxPerMm, half: textWidthPx(String(fret), 12) / 2 }));
      expect(ends.slice(1).every((end, index) => end.middle - end.half > (ends[index]?.middle ?? 0) + (ends[index]?.half ?? 0))).toBe(true);
      expect(frets).toEqual(expect.arrayContaining([1, 12, 16, 22]));
    }
  });

  test("labels all frets where there is room, and a zero fret as 0", () => {
    expect(labelledFrets({ ...neck, zeroFret: true }, 5, 12)).toEqual(Array.from({ length: 23 }, (_, fret) => fret));
  });
});

describe("roundStep", () => {
  test("gives the smallest round step that needs no more steps than allowed", () => {
    expect(roundStep(0.4, 5)).toBeCloseTo(0.1, 12);
    expect(roundStep(10, 5)).toBe(2);
    expect(roundStep(0.25, 5)).toBeCloseTo(0.05, 12);
  });
});
