import type { Straining } from "../effect.js";
import type { BowState } from "../model/state.js";
import { unstrained } from "./straining.js";

/** How the parts were held while the glue set: flat; bent to a relief over the neck's span (negative: back bow); or on a caul that follows a share of the board's own bow. */
export type Clamp = { readonly kind: "flat" } | { readonly kind: "bent"; readonly reliefMm: number } | { readonly kind: "caul"; readonly shareOfBoardBow: number };

/**
 * The clamp's own part of case 3: what a clamp that was not flat leaves, v''_c (1 - (EI_b + EI_n)/EI_c). A flat clamp leaves nothing of its own.
 * A caul follows a share of the fretted board's free bow. The slots yield when the clamp's moment is let go (starred stiffnesses of the study).
 * @source release of the clamp's moment onto the composite; v''_c + (EI_b (v''_b - v''_c) + EI_n (v''_n - v''_c))/EI_c, its part in v''_c
 */
export function clampStraining(state: BowState, clamp: Clamp, into: Straining = unstrained(state.setup.grid)): Straining {
  if (clamp.kind === "bent") return bentClamp(state, uniformCurvature(clamp.reliefMm, state.setup.span), into);
  emptied(into);
  if (clamp.kind === "flat") return into;
  const { setup: { slotNode, slots }, atSlots: { neck, composite }, tang } = state;
  for (let slot = 0; slot < slotNode.length; slot++) {
    const compositeStar = 1 / (1 / (composite.eiNmm2[slot] ?? 1) + (tang.yieldPerNmm[slot] ?? 0) / (slots.pitchMm[slot] ?? Infinity));
    const keeps = 1 - ((tang.boardStarNmm2[slot] ?? 0) + (neck.eiNmm2[slot] ?? 0)) / compositeStar;
    into.kinkRad[slotNode[slot] ?? 0] = -clamp.shareOfBoardBow * (tang.freeRad[slot] ?? 0) * keeps;
  }
  return into;
}

function bentClamp(state: BowState, perMm: number, into: Straining): Straining {
  released(state, -perMm, "both", into);
  for (let point = 0; point < into.curvaturePerMm.length; point++) into.curvaturePerMm[point] = perMm + (into.curvaturePerMm[point] ?? 0);
  return into;
}

/**
 * What is left of the neck's own bow at its gluing face after a board was glued on flat: EI_n/EI_c of it, and a little more since the slots yield.
 * @param reliefMm of the gluing face before glue-up over the neck's span, positive is forward bow, taken as an even curve
 */
export function neckFaceStraining(state: BowState, reliefMm: number, into: Straining = unstrained(state.setup.grid)): Straining {
  return released(state, uniformCurvature(reliefMm, state.setup.span), "neck", into);
}

/** What is left of a board's own bow, other than that of its frets, after it was glued on flat: EI_b/EI_c of it. */
export function boardFaceStraining(state: BowState, reliefMm: number, into: Straining = unstrained(state.setup.grid)): Straining {
  return released(state, uniformCurvature(reliefMm, state.setup.span), "board", into);
}

/** The moment that held parts away from an even curvature, let go onto the glued neck. */
function released({ setup: { slotNode }, sections, atSlots, tang }: BowState, perMm: number, part: "board" | "neck" | "both", into: Straining): Straining {
  emptied(into);
  const held = ({ board, neck }: typeof sections, index: number): number => (part === "neck" ? 0 : (board.eiNmm2[index] ?? 0)) + (part === "board" ? 0 : (neck.eiNmm2[index] ?? 0));
  for (let point = 0; point < sections.xMm.length; point++) into.curvaturePerMm[point] = (perMm * held(sections, point)) / (sections.composite.eiNmm2[point] ?? 1);
  for (let slot = 0; slot < slotNode.length; slot++) into.kinkRad[slotNode[slot] ?? 0] = perMm * held(atSlots, slot) * (tang.yieldPerNmm[slot] ?? 0);
  return into;
}

function emptied(into: Straining): void {
  into.curvaturePerMm.fill(0);
  into.kinkRad.fill(0);
  into.axialStrain.fill(0);
}

/** The even curvature that gives this relief at the span's middle fret. */
export function uniformCurvature(reliefMm: number, { fromMm, toMm, middleMm }: { readonly fromMm: number; readonly toMm: number; readonly middleMm: number }): number {
  return (2 * reliefMm) / ((middleMm - fromMm) * (toMm - middleMm));
}
