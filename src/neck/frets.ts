import type { Neck } from "./neck.js";

/**
 * Distance of a fret from the nut, equal temperament of twelve steps to the octave: L (1 - 2^(-n/12)).
 * @param scaleLengthMm nut to saddle without compensation, mm
 * @param fret fret number; 0 is the nut (or the zero fret); need not be whole
 * @returns mm from the nut
 * @source definition of equal temperament; checked in tests/published/fret-positions.test.ts
 * @example near(fretDistanceMm(650, 12), 325, { abs: 1e-12 });
 */
export function fretDistanceMm(scaleLengthMm: number, fret: number): number {
  return scaleLengthMm * (1 - 2 ** (-fret / 12));
}

/** The fret tops of a neck in order: 0..frets with a zero fret, 1..frets with a nut (the nut is no fret top). */
export function fretTops(neck: Pick<Neck, "frets" | "zeroFret">): readonly number[] {
  const first = neck.zeroFret ? 0 : 1;
  return Array.from({ length: neck.frets - first + 1 }, (_, index) => first + index);
}
