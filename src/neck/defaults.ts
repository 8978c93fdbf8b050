import type { NeckLine } from "./neck.js";

/** 12 in, in mm. Common practice, no source. */
export const DEFAULT_RADIUS_MM = 304.8;

/** Width of the board at both ends, mm. Common practice, no source. */
export const DEFAULT_WIDTH_MM: { readonly nut: number; readonly lastFret: number } = { nut: 43, lastFret: 56 };

/** Common practice, no source. */
export const DEFAULT_LINES: readonly [NeckLine, ...NeckLine[]] = [
  { name: "bass", share: 0.1 },
  { name: "centre", share: 0.5 },
  { name: "treble", share: 0.9 },
];

/** A length too long for thou, in both units: `304.8 mm (12 in)`. */
export function mmAndInWords(mm: number): string {
  if (!Number.isFinite(mm)) return "flat";
  return `${Number(mm.toFixed(2))} mm (${Number((mm / 25.4).toFixed(3))} in)`;
}
