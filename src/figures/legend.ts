import type { ChordNames } from "./drawing.js";
import { SMALLEST_TEXT_PX } from "./look.js";
import { textWidthPx } from "./text.js";

/** What the legend calls each kind of mark, besides the chords. */
export const BAND_NAME = "where it may lie";
export const SMOOTH_NAME = "neck line";
export const POINTS_NAME = "as measured, give or take";

/** Width of a sample with its gaps, as the plotting library draws it. */
const SAMPLE_PX = 42;
/** Estimated text widths are some per cent off. */
const SAFETY = 1.06;

/** How many rows the legend takes on this width, filled one after the other. */
export function legendRows(chords: ChordNames, widthPx: number): number {
  const names = [BAND_NAME, chords.datum, SMOOTH_NAME, POINTS_NAME, ...(chords.relief === undefined ? [] : [chords.relief])];
  const filled = names.map((name) => SAMPLE_PX + SAFETY * textWidthPx(name, SMALLEST_TEXT_PX)).reduce(
    ({ rows, usedPx }, entryPx) => (usedPx === 0 || usedPx + entryPx <= widthPx ? { rows, usedPx: usedPx + entryPx } : { rows: rows + 1, usedPx: entryPx }),
    { rows: 1, usedPx: 0 },
  );
  return filled.rows;
}
