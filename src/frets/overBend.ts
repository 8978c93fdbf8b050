import { lengthWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";

/** How a bent wire meets a radiused board before it is pressed. */
export type OverBend = {
  readonly touchesFirst: "ends" | "middle" | "everywhere";
  /** How far the other part stands off, mm: the middle over the board, or both ends. */
  readonly standsOffMm: number;
  readonly describe: (order?: UnitOrder) => string;
};

/** Less than this cannot be seen, mm. */
const NOTHING_MM = 1e-9;

/**
 * Wire bent to one radius laid on a board of another: the difference of their sagittas over the width. Wire bent tighter than the board touches with its ends first and its
 * middle stands off; pressed home, its ends are held down by its own spring. Wire that is flatter touches in the middle and its ends stand up.
 * @param wireRadiusMm radius of the underside of the wire as bent; Infinity is straight
 * @param boardRadiusMm radius of the board; Infinity is flat
 * @param widthMm width of the board at this fret
 * @throws {RangeError} a width that does not fit inside both radii
 * @source circle: the sagitta of a chord w is R - sqrt(R^2 - w^2 / 4)
 * @example near(overBend(13, 20, 24).standsOffMm, 8 - 4, { abs: 1e-12 });
 */
export function overBend(wireRadiusMm: number, boardRadiusMm: number, widthMm: number): OverBend {
  const apartMm = sagittaMm(wireRadiusMm, widthMm) - sagittaMm(boardRadiusMm, widthMm);
  const touchesFirst = Math.abs(apartMm) < NOTHING_MM ? "everywhere" : apartMm > 0 ? "ends" : "middle";
  const standsOffMm = Math.abs(apartMm);
  return { touchesFirst, standsOffMm, describe: (order: UnitOrder = "mm first") => overBendWords(touchesFirst, standsOffMm, order) };
}

/**
 * How far the middle of an arc stands over the chord of its ends, mm.
 * @throws {RangeError} a chord that is not positive, or longer than the circle is wide
 * @example near(sagittaMm(5, 8), 2, { abs: 1e-12 });
 */
export function sagittaMm(radiusMm: number, chordMm: number): number {
  if (!(chordMm > 0) || !(radiusMm >= chordMm / 2)) throw new RangeError(`Cannot lay a fret ${chordMm} mm wide on a radius of ${radiusMm} mm: expected a positive width of at most twice the radius`);
  if (radiusMm === Infinity) return 0;
  // h^2 / (R + sqrt(R^2 - h^2)) is R - sqrt(R^2 - h^2) without the difference of nearly equal numbers
  const half = chordMm / 2;
  return (half * half) / (radiusMm + Math.sqrt(radiusMm * radiusMm - half * half));
}

function overBendWords(touchesFirst: OverBend["touchesFirst"], standsOffMm: number, order: UnitOrder): string {
  if (touchesFirst === "everywhere") return "The wire has the board's radius: it touches everywhere at once, and nothing but the tang holds its ends.";
  if (touchesFirst === "ends") return `Over-bent: the ends touch first, the middle stands off by ${lengthWords(standsOffMm, order)}; pressed home, its spring holds the ends down.`;
  return `Bent too little: the middle touches first, the ends stand off by ${lengthWords(standsOffMm, order)}; pressed home, its spring lifts the ends.`;
}
