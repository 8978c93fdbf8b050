import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { textWidthPx } from "./text.js";

/** Frets a builder looks for first: they carry the position marks on most boards (common practice, no source). */
const LOOKED_FOR = [12, 7, 5, 3, 9, 15, 17, 19, 21, 24];

/**
 * The frets whose numbers fit under the board without touching each other, in order.
 * The named frets come first, then the first and the last fret and the body joint, then the frets with position marks, then the others.
 * @param pxPerMm scale of the drawing along the neck
 * @param sizePx type size of the numbers
 * @param named frets whose numbers are written before those with position marks
 */
export function labelledFrets(neck: Neck, pxPerMm: number, sizePx: number, named: readonly number[] = []): readonly number[] {
  const tops = fretTops(neck);
  const first = tops[0] ?? 1;
  const joint = neck.bodyJoint === undefined ? [] : [neck.bodyJoint];
  const wanted = [...new Set([...named, first, neck.frets, ...joint, ...LOOKED_FOR, ...tops])].filter((fret) => tops.includes(fret));
  const kept: number[] = [];
  for (const fret of wanted) {
    if (kept.every((other) => areApart(neck, fret, other, pxPerMm, sizePx))) kept.push(fret);
  }
  return [...kept].sort((a, b) => a - b);
}

function areApart(neck: Neck, a: number, b: number, pxPerMm: number, sizePx: number): boolean {
  const distancePx = Math.abs(fretDistanceMm(neck.scaleLengthMm, a) - fretDistanceMm(neck.scaleLengthMm, b)) * pxPerMm;
  return distancePx >= (textWidthPx(String(a), sizePx) + textWidthPx(String(b), sizePx)) / 2 + 4;
}

/** A step of 1, 2 or 5 times a power of ten that cuts `span` into no more than `mostSteps`. */
export function roundStep(span: number, mostSteps: number): number {
  const least = span / mostSteps;
  const power = 10 ** Math.floor(Math.log10(least));
  return power * ([1, 2, 5, 10].find((factor) => factor * power >= least * (1 - 1e-9)) ?? 10);
}
