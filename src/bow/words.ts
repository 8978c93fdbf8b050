import { MM_PER_THOU } from "../units/length.js";
import type { Measured } from "../units/measured.js";
import { bowWords, type UnitOrder } from "../units/words.js";

/**
 * A predicted bow as a range, never as one figure: `0.2 to 0.6 mm (8 to 24 thou) of forward bow (middle low)`, or from one bow to the other:
 * `anything from 0.1 mm (4 thou) of back bow (middle high) to 0.3 mm (12 thou) of forward bow (middle low)`.
 * @param relief forward bow positive; its 95 % interval is what is printed
 * @example equal(bowRangeWords({ value: 0.4, u: 0.1, unit: "mm", low95: 0.2, high95: 0.6 }), "0.2 to 0.6 mm (8 to 24 thou) of forward bow (middle low)");
 */
export function bowRangeWords({ low95, high95 }: Pick<Measured, "low95" | "high95">, order: UnitOrder = "mm first"): string {
  const decimals = high95 - low95 < 0.25 || Math.min(Math.abs(low95), Math.abs(high95)) < 0.095 ? 2 : 1;
  if (low95 < 0 && high95 > 0) {
    const end = (mm: number): string => both(`${Math.abs(mm).toFixed(decimals)} mm`, `${thou(Math.abs(mm), decimals)} thou`, order);
    return `anything from ${end(low95)} of ${bowWords(-1)} to ${end(high95)} of ${bowWords(1)}`;
  }
  const [least, most] = [Math.abs(low95), Math.abs(high95)].sort((a, b) => a - b);
  const range = (text: (mm: number) => string, unit: string): string => (text(least ?? 0) === text(most ?? 0) ? `${text(most ?? 0)} ${unit}` : `${text(least ?? 0)} to ${text(most ?? 0)} ${unit}`);
  return `${both(range((mm) => mm.toFixed(decimals), "mm"), range((mm) => thou(mm, decimals), "thou"), order)} of ${bowWords(low95 + high95)}`;
}

function thou(mm: number, decimals: number): string {
  return (mm / MM_PER_THOU).toFixed(decimals - 1);
}

function both(mm: string, inThou: string, order: UnitOrder): string {
  return order === "mm first" ? `${mm} (${inThou})` : `${inThou} (${mm})`;
}
