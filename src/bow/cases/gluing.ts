import type { Straining } from "../effect.js";
import type { BowState } from "../model/state.js";
import { unstrained } from "./straining.js";

/** How the parts were held while the glue set: flat; bent to a relief over the neck's span (negative: back bow); or on a caul that follows a share of the board's own bow. */
export type Clamp = { readonly kind: "flat" } | { readonly kind: "bent"; readonly reliefMm: number } | { readonly kind: "caul"; readonly shareOfBoardBow: number };

/**
 * The clamp's own part of case 3: what a clamp that was not flat leaves, v''_c (1 - (EI_b + EI_n)/EI_c). A flat clamp leaves nothing of its own.
 * A caul follows a share of the fretted board's free bow.
 * @source release of the clamp's moment onto the composite; v''_c + (EI_b (v''_b - v''_c) + EI_n (v''_n - v''_c))/EI_c, its part in v''_c
 */
export function clampStraining(state: BowState, clamp: Clamp, into: Straining = unstrained(state.setup.grid)): Straining {
  const { setup: { slotNode, span, points }, sections, atSlots, tang } = state;
  into.curvaturePerMm.fill(0);
  into.kinkRad.fill(0);
  into.axialStrain.fill(0);
  const keeps = (at: typeof sections, index: number): number => 1 - ((at.board.eiNmm2[index] ?? 0) + (at.neck.eiNmm2[index] ?? 0)) / (at.composite.eiNmm2[index] ?? 1);
  if (clamp.kind === "bent") {
    const perMm = uniformCurvature(clamp.reliefMm, span);
    for (let point = 0; point < points.xMm.length; point++) into.curvaturePerMm[point] = perMm * keeps(sections, point);
  }
  if (clamp.kind === "caul") {
    for (let slot = 0; slot < slotNode.length; slot++) into.kinkRad[slotNode[slot] ?? 0] = -clamp.shareOfBoardBow * (tang.freeRad[slot] ?? 0) * keeps(atSlots, slot);
  }
  return into;
}

/**
 * What is left of the neck's own bow at its gluing face after a board was glued on flat: EI_n/EI_c of it.
 * @param reliefMm of the gluing face before glue-up over the neck's span, positive is forward bow, taken as an even curve
 */
export function neckFaceStraining(state: BowState, reliefMm: number, into: Straining = unstrained(state.setup.grid)): Straining {
  return partsOwnBow(state, reliefMm, "neck", into);
}

/** What is left of a board's own bow, other than that of its frets, after it was glued on flat: EI_b/EI_c of it. */
export function boardFaceStraining(state: BowState, reliefMm: number, into: Straining = unstrained(state.setup.grid)): Straining {
  return partsOwnBow(state, reliefMm, "board", into);
}

function partsOwnBow({ setup: { span }, sections }: BowState, reliefMm: number, part: "board" | "neck", into: Straining): Straining {
  const perMm = uniformCurvature(reliefMm, span);
  into.kinkRad.fill(0);
  into.axialStrain.fill(0);
  for (let point = 0; point < sections.xMm.length; point++) into.curvaturePerMm[point] = (perMm * (sections[part].eiNmm2[point] ?? 0)) / (sections.composite.eiNmm2[point] ?? 1);
  return into;
}

/** The even curvature that gives this relief at the span's middle fret. */
export function uniformCurvature(reliefMm: number, { fromMm, toMm, middleMm }: { readonly fromMm: number; readonly toMm: number; readonly middleMm: number }): number {
  return (2 * reliefMm) / ((middleMm - fromMm) * (toMm - middleMm));
}
