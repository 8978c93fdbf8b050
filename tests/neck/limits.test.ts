import { expect, test } from "vitest";
import { limitsOf } from "../../src/neck/limits.js";

test("limitsOf takes what was stated and lists the rest as common practice", () => {
  const limits = limitsOf({ limits: { fretHighMm: 0.05, fallAwayMm: 0.2 }, scaleLengthMm: 648 });
  expect(limits.highMm).toBe(0.05);
  expect(limits.fallAwayMm).toBe(0.2);
  expect(limits.crownMinMm).toBe(0.75);
  expect(limits.assumed).toHaveLength(7);
  expect(limits.assumed.join("; ")).not.toContain("counts as high");
  expect(limits.assumed).toContain("least crown left after levelling: 0.75 mm (29.5 thou) (common practice)");
});

test("a bass has a bass's relief, named as such, and what the shop states comes before it", () => {
  const BASS = { scaleLengthMm: 864 };
  const bass = limitsOf(BASS);
  expect([bass.reliefMinMm, bass.reliefMaxMm]).toEqual([0.2, 0.5]);
  expect(bass.assumed).toContain("most relief under strings, of a bass: 0.50 mm (19.7 thou) (common practice)");
  expect([limitsOf({ scaleLengthMm: 648 }).reliefMinMm, limitsOf({ scaleLengthMm: 648 }).reliefMaxMm]).toEqual([0.1, 0.3]);
  expect(limitsOf({ ...BASS, limits: { reliefMinMm: 0.1, reliefMaxMm: 0.25 } })).toMatchObject({ reliefMinMm: 0.1, reliefMaxMm: 0.25 });
  expect(() => limitsOf({ ...BASS, limits: { reliefMaxMm: 0.15 } })).toThrow("expected no less than limits.reliefMin, 0.2 mm (common practice, not stated)");
});
