import { expect, test } from "vitest";
import { digitsOfAgreement, printed, printedTolerance } from "./printed.js";

test("a printed value allows half a unit of its last digit and no more", () => {
  expect(printedTolerance("1.665")).toBeCloseTo(0.0005, 12);
  expect(printedTolerance("-2.18e-3")).toBeCloseTo(5e-6, 15);
  expect(printedTolerance("93")).toBe(0.5);
  expect(() => printedTolerance("about 3")).toThrow('expected a decimal number, got "about 3"');
  printed(1.6654, "1.665");
  expect(() => printed(1.6656, "1.665")).toThrow("1.6656 against the printed 1.665");
  expect(() => printed(Number.NaN, "1.665")).toThrow("against the printed");
});

test("digits of agreement are those of the relative error, of the absolute one at 0", () => {
  expect(digitsOfAgreement(1.001, "1.0")).toBeCloseTo(3, 9);
  expect(digitsOfAgreement(1e-9, "0.000")).toBeCloseTo(9, 9);
  expect([digitsOfAgreement(2, "2"), digitsOfAgreement(7, "1")]).toEqual([15, 0]);
  expect(digitsOfAgreement(Number.NaN, "1")).toBeNaN();
});
