import type { NeckLine } from "./neck.js";

/** 12 in, in mm. Common practice, no source. */
export const DEFAULT_RADIUS_MM = 304.8;

/** 30 in: a longer scale is a bass's, which is neither as wide as a guitar nor strung like one. Common practice, no source. */
const LONGEST_GUITAR_SCALE_MM = 760;

/** Whether a scale is longer than guitars have, so that a guitar's usual sizes and strings must not be taken for it. */
export function isBassScale(scaleLengthMm: number): boolean {
  return scaleLengthMm > LONGEST_GUITAR_SCALE_MM;
}

/** Width of the board at both ends where it was not given, mm. Common practice, no source. */
export function defaultWidthMm(scaleLengthMm: number): { readonly nut: number; readonly lastFret: number } {
  return isBassScale(scaleLengthMm) ? { nut: 42, lastFret: 62 } : { nut: 43, lastFret: 56 };
}

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
