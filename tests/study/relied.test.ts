import { expect, test } from "vitest";
import { betweenMarks } from "../../src/setup/between-marks.mjs";
import { reliedTable } from "./relied.mjs";

const share = (value: number | null): object => ({ share: value, low: 0.9, high: 0.955 });
const family = { necks: 10, heights: { coverage: share(0.9512) }, relief: { coverage: share(null) }, highMm: { coverage: share(0.93) }, found: { over50um: share(0.99), over50umTold: share(0.995), under15um: { share: 0.0012, low: 0.0004, high: 0.003 } } };

test("the README's table says each number with what so many necks leave open, and the command that made it", () => {
  const text = reliedTable({ seed: 11, families: { smooth: family, atTheBench: family } }, "npm run study -- --seed 11");
  expect(text).toMatch(/^On 20 invented necks \(seed 11\)/);
  expect(text).toContain("| | smooth necks (10) | few readings, as at the bench (10) | goal |");
  expect(text).toContain("| The true height lies within the give or take | 95.1 % (90.0 to 95.5) | 95.1 % (90.0 to 95.5) | 93 to 97 % |");
  expect(text).toContain("| The true relief lies within the give or take | none | none |");
  expect(text).toContain("0.12 % (0.04 to 0.30)");
  expect(text).toContain("Made by `npm run study -- --seed 11`.");
});

test("a part of a page is replaced between its marks, and a page without them is refused", () => {
  expect(betweenMarks("a\n<!-- x -->\nold\n<!-- /x -->\nb\n", "x", "new\n")).toBe("a\n<!-- x -->\nnew\n<!-- /x -->\nb\n");
  expect(() => betweenMarks("a\n", "x", "new")).toThrow('Cannot write the part "x"');
});
