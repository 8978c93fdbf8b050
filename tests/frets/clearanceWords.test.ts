import { expect, test } from "vitest";
import type { Measured } from "neck-survey";
import { clearanceWords } from "../../src/frets/clearanceWords.js";
import { clearancesWords } from "../../src/frets/clearancesWords.js";

const mm = (value: number, low95: number, high95: number): Measured => ({ value, u: (high95 - low95) / 4, unit: "mm", low95, high95 });

test("a cure whose interval is wider than twice its amount is left out, one that is known is told", () => {
  const found = { status: "determined", line: "bass", wantedMm: 0.05, least: mm(-0.02, -0.04, 0), pressedAt: 6, at: 7, probabilityShort: 1, probabilityTouches: 0.9, each: [], fretsFirst: [] } as const;
  const wide = { by: "higher saddle", status: "cures", amount: mm(0.55, 0, 1.4), probability: 0.9 } as const;
  const known = { by: "take down", fret: 7, status: "cures", amount: mm(0.07, 0.05, 0.09), probability: 1 } as const;
  expect(clearanceWords({ ...found, cures: [wide, known] }, "mm first")).not.toContain("higher saddle");
  expect(clearanceWords({ ...found, cures: [wide, known] }, "mm first")).toContain("taking fret 7 down by 0.07 mm");
  expect(clearanceWords({ ...found, cures: [wide] }, "mm first")).toContain("too uncertain to say");
});

test("frets that the report wants worked on come before anything is bent or raised, in the report's own words", () => {
  const found = { status: "determined", line: "bass", wantedMm: 0.05, least: mm(-0.02, -0.04, 0), pressedAt: 6, at: 7, probabilityShort: 1, probabilityTouches: 0.9, each: [], cures: [] } as const;
  const seat = (fret: number): { readonly fret: number; readonly do: "seat"; readonly downMm: number } => ({ fret, do: "seat", downMm: 0.1 });
  const told = clearanceWords({ ...found, fretsFirst: [seat(7), seat(14)], afterwards: { leastMm: 0.06, pressedAt: 3, at: 4 } }, "mm first");
  expect(told).toContain("Frets 7 and 14 cause this. Do with them what the fret report says (seat); touch neither relief nor saddle for it.");
  expect(clearanceWords({ ...found, fretsFirst: [{ ...seat(14), do: "level" }], afterwards: { leastMm: 0.06, pressedAt: 3, at: 4 } }, "mm first")).toContain("Fret 14 causes this. Do with it what the fret report says (look under the crown, level last); touch neither relief nor saddle for it.");
  const saddle = { by: "higher saddle", status: "cures", amount: mm(0.4, 0.3, 0.5), probability: 1 } as const;
  const more = clearanceWords({ ...found, cures: [saddle], fretsFirst: [{ ...seat(7), do: "look under the crown" }], afterwards: { leastMm: 0.02, pressedAt: 3, at: 4 } }, "mm first");
  expect(more).toContain("Fret 7 causes this. Do with it what the fret report says (look under the crown, then seat or level). With it on the neck line 0.02 mm (0.8 thou) is left, over fret 4 when pressed at fret 3: read it again then, before you touch relief or saddle.");
  expect(more.indexOf("Fret 7")).toBeLessThan(more.indexOf("higher saddle"));
});

test("what holds for every line alike is said once, after the lines", () => {
  const clearance = (line: string) => ({ status: "undetermined", line, need: "read it", describe: () => `String on the ${line} line: not determined. Read the neck first. Strings are off.` }) as const;
  expect(clearancesWords([clearance("bass"), clearance("treble")], "mm first").split("\n").slice(1)).toEqual([
    "String on the bass line: not determined.", "String on the treble line: not determined.", "Read the neck first. Strings are off.",
  ]);
  expect(clearancesWords([clearance("bass")], "mm first").split("\n").slice(1)).toEqual([clearance("bass").describe()]);
});
