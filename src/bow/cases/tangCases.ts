import type { Straining } from "../effect.js";
import type { BowState } from "../model/state.js";
import { unstrained } from "./straining.js";

/**
 * Case 2: the free fretted board. Every slot is a hinge turned toward back bow; the axial strain is that of the board's mid-plane.
 * @source mechanics of `tangPressure`
 */
export function freeBoard({ setup, tang }: BowState, into: Straining = unstrained(setup.grid)): Straining {
  into.curvaturePerMm.fill(0);
  hinges(setup.slotNode, tang.freeRad, into);
  spread(setup, tang.freeStretchMm, into);
  return into;
}

/**
 * The fretted board glued to a straight neck while held flat, and let go: what is left of its bow. Only bending is locked in, so the elastic axis keeps its length.
 * @source mechanics of `tangPressure`, section 3.9 of the study
 */
export function gluedBoard({ setup, tang }: BowState, into: Straining = unstrained(setup.grid)): Straining {
  into.curvaturePerMm.fill(0);
  into.axialStrain.fill(0);
  hinges(setup.slotNode, tang.gluedRad, into);
  return into;
}

/**
 * The same frets pressed after glue-up: they work at the larger arm from the axis of the whole neck.
 * @source mechanics of `tangPressure`, section 3.8 of the study; the axis lengthens by the board's mid-plane less what the hinges give it
 */
export function pressedAfter({ setup, tang, atSlots }: BowState, into: Straining = unstrained(setup.grid)): Straining {
  into.curvaturePerMm.fill(0);
  hinges(setup.slotNode, tang.afterRad, into);
  const axisMm = tang.afterStretchMm.map((stretch, slot) => stretch - (tang.afterRad[slot] ?? 0) * ((setup.slots.slots[slot]?.boardMm ?? 0) / 2 - (atSlots.composite.zbarMm[slot] ?? 0)));
  spread(setup, axisMm, into);
  return into;
}

function hinges(slotNode: Int32Array, towardBackRad: Float64Array, into: Straining): void {
  into.kinkRad.fill(0);
  for (let slot = 0; slot < slotNode.length; slot++) into.kinkRad[slotNode[slot] ?? 0] = -(towardBackRad[slot] ?? 0);
}

/** Each slot's lengthening, half to the cells before it and half to those after, up to its neighbours or the board's ends. */
function spread({ grid, slotNode }: BowState["setup"], stretchMm: Float64Array, into: Straining): void {
  const last = grid.nodeMm.length - 1;
  for (let slot = 0; slot <= slotNode.length; slot++) {
    const from = slot === 0 ? 0 : (slotNode[slot - 1] ?? 0);
    const to = slotNode[slot] ?? last;
    const strain = ((stretchMm[slot - 1] ?? 0) + (stretchMm[slot] ?? 0)) / 2 / ((grid.nodeMm[to] ?? 0) - (grid.nodeMm[from] ?? 0));
    into.axialStrain.fill(strain, 2 * from, 2 * to);
  }
}
