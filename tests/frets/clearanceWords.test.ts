import { expect, test } from "vitest";
import type { Measured } from "neck-survey";
import { clearanceWords } from "../../src/frets/clearanceWords.js";

const mm = (value: number, low95: number, high95: number): Measured => ({ value, u: (high95 - low95) / 4, unit: "mm", low95, high95 });

test("a cure whose interval is wider than twice its amount is left out, one that is known is told", () => {
  const found = { status: "determined", line: "bass", wantedMm: 0.05, least: mm(-0.02, -0.04, 0), pressedAt: 6, at: 7, probabilityShort: 1, probabilityTouches: 0.9, each: [] } as const;
  const wide = { by: "higher saddle", status: "cures", amount: mm(0.55, 0, 1.4), probability: 0.9 } as const;
  const known = { by: "take down", fret: 7, status: "cures", amount: mm(0.07, 0.05, 0.09), probability: 1 } as const;
  expect(clearanceWords({ ...found, cures: [wide, known] }, "mm first")).not.toContain("higher saddle");
  expect(clearanceWords({ ...found, cures: [wide, known] }, "mm first")).toContain("taking fret 7 down by 0.07 mm");
  expect(clearanceWords({ ...found, cures: [wide] }, "mm first")).toContain("too uncertain to say");
});
