/** Millimetres in one thou, a thousandth of an inch (exact: the inch is 25.4 mm by definition, ISO 80000-3). */
export const MM_PER_THOU = 0.0254;

/** Units of length that a user may write. */
export type LengthUnit = "mm" | "um" | "thou" | "in";

const MM_PER_UNIT: Readonly<Record<string, number>> = {
  mm: 1, um: 0.001, "µm": 0.001, "μm": 0.001, cm: 10, thou: MM_PER_THOU, mil: MM_PER_THOU, in: 25.4, inch: 25.4, inches: 25.4, '"': 25.4,
};

/** What stands before and after a number, in the plainest decimal form: no thousands separators, decimal point or comma. */
const WRITTEN_LENGTH = /^\s*([-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)|[-+]?(?:\d+\s+)?\d+\/\d+)\s*([a-zA-Zµμ"]*)\s*$/;

/**
 * Reads a length as a builder writes it: `25.4`, `"25.5 in"`, `"12\""`, `"1 1/16 in"`, `"0,10 mm"`, `"4 thou"`.
 * @param written a number, taken in `plainUnit`, or text with a unit after it; text without a unit is taken in `plainUnit`
 * @param plainUnit the unit of a bare number
 * @returns the length in mm, of either sign, or `undefined` if this is not a finite length
 * @example near(lengthMm("1 1/2 in") ?? 0, 38.1, { abs: 1e-12 });
 */
export function lengthMm(written: string | number, plainUnit: LengthUnit = "mm"): number | undefined {
  if (typeof written === "number") return Number.isFinite(written) ? written * (MM_PER_UNIT[plainUnit] ?? 1) : undefined;
  const match = WRITTEN_LENGTH.exec(written);
  if (match === null) return undefined;
  const perUnit = match[2] === "" ? MM_PER_UNIT[plainUnit] : MM_PER_UNIT[match[2] ?? ""];
  const value = decimalOrFraction(match[1] ?? "");
  return perUnit === undefined || !Number.isFinite(value) ? undefined : value * perUnit;
}

/**
 * Whether a length was written with its unit; a number or a text without one is taken in the plain unit, and may have been meant in another.
 * @example equal(hasUnit("4 thou"), true);
 * @example equal(hasUnit("4"), false);
 */
export function hasUnit(written: string | number): boolean {
  return typeof written === "string" && /[a-zA-Zµμ"]\s*$/.test(written);
}

function decimalOrFraction(text: string): number {
  if (!text.includes("/")) return Number(text.replace(",", "."));
  const sign = text.startsWith("-") ? -1 : 1;
  const parts = text.replace(/^[-+]/, "").split(/\s+/);
  const [top = "", bottom = ""] = (parts.at(-1) ?? "").split("/");
  const whole = parts.length === 2 ? Number(parts[0]) : 0;
  return sign * (whole + Number(top) / Number(bottom));
}
