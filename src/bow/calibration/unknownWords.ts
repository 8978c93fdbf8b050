import { MM_PER_THOU } from "../../units/length.js";
import type { UnitOrder } from "../../units/words.js";

/**
 * Between which values an unknown is believed to lie, in words, lengths in both units: `0.01 to 0.05 mm (0.39 to 2 thou)`. What is below 0 is told as the other way than its name says:
 * `from 0.01 the other way to 0.03 mm`.
 * @param unit `mm`, another unit, or none for a factor
 * @example equal(unknownRangeWords({ low95: -0.0127, high95: 0.0254 }, "mm", "thou first"), "from 0.5 the other way to 1 thou (from 0.013 the other way to 0.025 mm)");
 */
export function unknownRangeWords({ low95, high95 }: { readonly low95: number; readonly high95: number }, unit: string, order: UnitOrder = "mm first"): string {
  if (unit !== "mm") return range(low95, high95, unit.replace("mm3", "mm³"));
  const [mm, thou] = [range(low95, high95, "mm"), range(low95 / MM_PER_THOU, high95 / MM_PER_THOU, "thou")];
  return order === "mm first" ? `${mm} (${thou})` : `${thou} (${mm})`;
}

function range(low: number, high: number, unit: string): string {
  const of = unit === "" ? "" : ` ${unit}`;
  if (low >= 0) return `${digits(low)} to ${digits(high)}${of}`;
  return high > 0 ? `from ${digits(low)} the other way to ${digits(high)}${of}` : `${digits(high)} to ${digits(low)}${of} the other way`;
}

/** Two digits, without the sign. */
function digits(value: number): string {
  return String(Math.abs(Number(value.toPrecision(2))));
}
