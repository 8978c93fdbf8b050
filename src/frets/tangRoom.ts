import { lengthWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { sagittaMm } from "./overBend.js";

/** A slot with a level bottom, and the tang that goes into it; lengths in mm. */
export type SlotAndTang = {
  /** From the board's crest down to the bottom of the slot. */
  readonly slotDepthAtCentreMm: number;
  /** From the underside of the crown to the lowest point of the tang. */
  readonly tangDepthMm: number;
  readonly boardRadiusMm: number;
  readonly widthMm: number;
  /** How far the tang stops short of each end of the fret. */
  readonly cutBackMm?: number;
};

/** Room under a tang that is pressed home; negative where it would bottom out first. */
export type TangRoom = {
  readonly centreMm: number;
  /** At the outer ends of the tang. */
  readonly endsMm: number;
  readonly bottomsOut: "nowhere" | "at the ends" | "everywhere";
  readonly describe: (order?: UnitOrder) => string;
};

/**
 * Whether a tang bottoms out in a slot whose bottom is level while the board is round: the slot gets shallower toward the edges, and the tang, bent with the wire, goes down with the board.
 * The wire is taken pressed home, concentric with the board: a point of the tang's underside at angle a lies (R - T) cos a above the circle's centre, the slot's bottom R - D.
 * @throws {RangeError} a size that is not positive, a tang cut back over its whole length, or a board wider than its radius allows
 * @source circle and chord, exact
 * @example near(tangRoom({ slotDepthAtCentreMm: 2.5, tangDepthMm: 1.5, boardRadiusMm: Infinity, widthMm: 50 }).endsMm, 1, { abs: 1e-12 });
 */
export function tangRoom({ slotDepthAtCentreMm, tangDepthMm, boardRadiusMm, widthMm, cutBackMm = 0 }: SlotAndTang): TangRoom {
  const tangWidthMm = widthMm - 2 * cutBackMm;
  if (!(slotDepthAtCentreMm > 0 && tangDepthMm > 0 && tangDepthMm < boardRadiusMm && cutBackMm >= 0 && tangWidthMm > 0)) {
    throw new RangeError(`Cannot judge the tang: expected a slot and a tang deeper than 0, and a tang that is not cut back over its whole length, got depths ${slotDepthAtCentreMm} and ${tangDepthMm} mm, width ${widthMm} mm cut back by ${cutBackMm} mm`);
  }
  const centreMm = slotDepthAtCentreMm - tangDepthMm;
  const fallMm = boardRadiusMm === Infinity ? 0 : sagittaMm(boardRadiusMm, tangWidthMm) * (1 - tangDepthMm / boardRadiusMm);
  const endsMm = centreMm - fallMm;
  const bottomsOut = endsMm >= 0 ? "nowhere" : centreMm >= 0 ? "at the ends" : "everywhere";
  return { centreMm, endsMm, bottomsOut, describe: (order: UnitOrder = "mm first") => roomWords(centreMm, endsMm, bottomsOut, order) };
}

function roomWords(centreMm: number, endsMm: number, bottomsOut: TangRoom["bottomsOut"], order: UnitOrder): string {
  if (bottomsOut === "nowhere") return `The tang does not bottom out: ${lengthWords(centreMm, order)} is left under it in the middle, ${lengthWords(endsMm, order)} at its ends.`;
  if (bottomsOut === "at the ends") return `The tang bottoms out at its ends by ${lengthWords(-endsMm, order)}: the ends cannot go home. Deepen the slot toward the edges, or cut it to the radius.`;
  return `The tang bottoms out everywhere, by ${lengthWords(-centreMm, order)} in the middle and ${lengthWords(-endsMm, order)} at its ends: the slot is too shallow.`;
}
