import { expect, test } from "vitest";
import { limitsOf } from "../../src/neck/limits.js";

test("limitsOf takes what was stated and lists the rest as common practice", () => {
  const limits = limitsOf({ limits: { fretHighMm: 0.05, fallAwayMm: 0.2 } });
  expect(limits.highMm).toBe(0.05);
  expect(limits.fallAwayMm).toBe(0.2);
  expect(limits.crownMinMm).toBe(0.75);
  expect(limits.assumed).toHaveLength(7);
  expect(limits.assumed.join("; ")).not.toContain("counts as high");
  expect(limits.assumed).toContain("least crown left after levelling: 0.75 mm (29.5 thou) (common practice)");
});
