import { mmAndInWords } from "../neck/defaults.js";
import { fretDistanceMm } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";

/** Where a fret lies on the board, and what the board is there; lengths in mm. */
export type FretPlaceOnBoard = {
  readonly fret: number;
  readonly fromNutMm: number;
  /** From the fret before it, or the nut. */
  readonly fromBeforeMm: number;
  readonly widthMm: number;
  /** Radius across the board; Infinity is flat. */
  readonly radiusMm: number;
};

/**
 * Distances of all frets from the nut in equal temperament, with the board's width and radius at each: figures for the bench.
 * Fret 0 is the nut or the zero fret. Distances are counted from the nut one by one, so that errors of measuring do not add up.
 * @example near(fretPlaces({ scaleLengthMm: 650, frets: 12, widthMm: { nut: 43, lastFret: 56 }, fingerboardRadiusMm: { nut: 254, lastFret: 254 } })[12]?.fromNutMm ?? 0, 325, { abs: 1e-9 });
 */
export function fretPlaces(neck: Pick<Neck, "scaleLengthMm" | "frets" | "widthMm" | "fingerboardRadiusMm">): readonly FretPlaceOnBoard[] {
  return Array.from({ length: neck.frets + 1 }, (_, fret) => {
    const fromNutMm = fretDistanceMm(neck.scaleLengthMm, fret);
    const fromBeforeMm = fret === 0 ? 0 : fromNutMm - fretDistanceMm(neck.scaleLengthMm, fret - 1);
    const share = fromNutMm / fretDistanceMm(neck.scaleLengthMm, neck.frets);
    return { fret, fromNutMm, fromBeforeMm, widthMm: neck.widthMm.nut + share * (neck.widthMm.lastFret - neck.widthMm.nut), radiusMm: radiusMm(neck, fret) };
  });
}

/**
 * Radius across the board at a fret, mm. A board with two radii is a cone: the radius grows in proportion to the distance from the cone's tip, so it runs straight from the
 * nut to the last fret, and every line toward the tip is straight.
 * @param fret fret number; 0 is the nut; need not be whole
 * @throws {RangeError} a board that is flat at one end only: no cone runs from round to flat
 * @source a circular cone cut at right angles to its axis
 * @example near(radiusMm({ scaleLengthMm: 650, frets: 12, fingerboardRadiusMm: { nut: 254, lastFret: 406.4 } }, 12), 406.4, { abs: 1e-9 });
 */
export function radiusMm({ scaleLengthMm, frets, fingerboardRadiusMm: { nut, lastFret } }: Pick<Neck, "scaleLengthMm" | "frets" | "fingerboardRadiusMm">, fret: number): number {
  if (nut === lastFret) return nut;
  if (!Number.isFinite(nut) || !Number.isFinite(lastFret)) {
    throw new RangeError(`Cannot give the radius at fret ${fret}: expected a radius at both ends or none, got ${mmAndInWords(nut)} at the nut and ${mmAndInWords(lastFret)} at the last fret (a cone does not become flat)`);
  }
  return nut + ((lastFret - nut) * fretDistanceMm(scaleLengthMm, fret)) / fretDistanceMm(scaleLengthMm, frets);
}
