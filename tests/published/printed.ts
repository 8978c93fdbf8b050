import { expect } from "vitest";
import { recordComparison } from "./record.js";

/** Half a unit of the last printed digit: "1.665" -> 0.0005, "2.18e-3" -> 5e-6. */
export function printedTolerance(text: string): number {
  const match = /^[-+]?\d+(?:\.(\d+))?(?:e([-+]?\d+))?$/i.exec(text);
  if (match === null) throw new SyntaxError(`Cannot read a printed value: expected a decimal number, got "${text}"`);
  return 0.5 * 10 ** (Number(match[2] ?? 0) - (match[1]?.length ?? 0));
}

/**
 * Expects a number to agree with a printed one to its last digit.
 * @param inputRounding what the rounding of the source's own input can move the number by; matters where it lies on the edge of two printed digits
 */
export function printed(actual: number, text: string, inputRounding = 0): void {
  const allowed = printedTolerance(text) * (1 + 1e-9) + Number.EPSILON * Math.abs(Number(text)) + inputRounding;
  recordComparison(actual, text, allowed);
  expect(Math.abs(actual - Number(text)), `${actual} against the printed ${text}`).toBeLessThanOrEqual(allowed);
}

/** Expects a number to agree with a published one that has no printed digits to go by (a closed form, a fraction), within what is said. */
export function published(actual: number, value: number, allowed: number): void {
  recordComparison(actual, String(value), allowed);
  expect(Math.abs(actual - value), `${actual} against the published ${value}`).toBeLessThanOrEqual(allowed);
}

/** Decimal digits on which a number agrees with a certified one: -log10 of the relative error, at most 15 (of the absolute error where the certified one is 0). */
export function digitsOfAgreement(actual: number, certified: string): number {
  const target = Number(certified);
  const error = target === 0 ? Math.abs(actual) : Math.abs((actual - target) / target);
  recordComparison(actual, certified, Number.NaN);
  return error === 0 ? 15 : Math.min(15, Math.max(0, -Math.log10(error)));
}
