import { fretDistanceMm, fretTops } from "../../neck/frets.js";
import type { Neck } from "../../neck/neck.js";

/** How fall-away is filed with a straight beam: one end rides on tape over a fret before the joint. */
export type Tape = { readonly fret: number; readonly thicknessMm: number; /** Frets from here on are filed down from the tape. */ readonly fromFret: number };

/** A layer of thin adhesive tape (from memory; measure yours), mm. */
const TAPE_MM = 0.1;

/**
 * How far below the straight line a place is wanted: nothing up to the body joint, then falling evenly to `atLastFretMm` at the last fret, as a straight beam files it.
 * A neck whose joint was not stated falls away over its last five frets (common practice, no source).
 */
export function fallAwayAt(neck: Neck, atLastFretMm: number, xMm: number): number {
  const startMm = fretDistanceMm(neck.scaleLengthMm, fallAwayFret(neck));
  const lastMm = fretDistanceMm(neck.scaleLengthMm, neck.frets);
  return xMm <= startMm || lastMm <= startMm ? 0 : (atLastFretMm * (xMm - startMm)) / (lastMm - startMm);
}

/** The fret at which fall-away begins. */
function fallAwayFret(neck: Neck): number {
  return neck.bodyJoint ?? Math.max(1, neck.frets - 5);
}

/**
 * Where to tape, and how thick: the beam from the top of the tape to the last fret then slopes as the fall-away does and meets the straight line at the joint.
 * The fret is the one whose tape comes nearest to one thin layer. Undefined where no fall-away is wanted or the joint has no fret before it.
 */
export function tapeFor(neck: Neck, atLastFretMm: number): Tape | undefined {
  const fromFret = fallAwayFret(neck);
  const x = (fret: number): number => fretDistanceMm(neck.scaleLengthMm, fret);
  const before = fretTops(neck).filter((fret) => fret > 0 && fret < fromFret);
  if (!(atLastFretMm > 0) || fromFret >= neck.frets || before.length === 0) return undefined;
  const thickness = (fret: number): number => (atLastFretMm * (x(fromFret) - x(fret))) / (x(neck.frets) - x(fromFret));
  const fret = before.reduce((best, one) => (Math.abs(thickness(one) - TAPE_MM) < Math.abs(thickness(best) - TAPE_MM) ? one : best));
  return { fret, thicknessMm: thickness(fret), fromFret };
}
