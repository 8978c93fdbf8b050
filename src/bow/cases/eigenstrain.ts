import type { Straining } from "../effect.js";
import type { BowState } from "../model/state.js";
import type { GeometryAlong } from "../section/geometry.js";
import { unstrained } from "./straining.js";

/**
 * Case 1: board and neck want to be longer by unlike strains (moisture between two seasons, wet glue, a user's own cause). Longer on top bends toward back bow. Bars keep
 * their length. Slots yield to the stress that the board is then under, as they do to a load.
 * @param boardStrain free lengthening of the board along the grain, as a strain
 * @param neckStrain the same of the neck's wood
 * @source eps0 = sum E A eps/EA, v'' = -sum E A eps (z - zbar)/EI; Timoshenko's two-layer strip in tests/published/two-layer-strip.test.ts; the slots' part by reciprocity from `tangPressure`
 */
export function eigenstrained(state: BowState, boardStrain: number, neckStrain: number, into: Straining = unstrained(state.setup.grid)): Straining {
  const { setup: { points, atSlots, slotNode, jointNode, held }, sections: { board, composite }, moduli } = state;
  const free = held === "free" ? points.xMm.length : 2 * jointNode;
  into.kinkRad.fill(0);
  for (let point = 0; point < points.xMm.length; point++) {
    const boardN = (board.eaN[point] ?? 0) * boardStrain;
    const neckN = moduli.neckMPa * (points.neck.areaMm2[point] ?? 0) * neckStrain;
    const zbar = composite.zbarMm[point] ?? 0;
    const moment = boardN * ((board.zbarMm[point] ?? 0) - zbar) + neckN * ((points.neck.centroidMm[point] ?? 0) - zbar);
    into.curvaturePerMm[point] = point < free ? -moment / (composite.eiNmm2[point] ?? 1) : 0;
    into.axialStrain[point] = (boardN + neckN) / (composite.eaN[point] ?? 1);
  }
  for (let slot = 0; slot < slotNode.length; slot++) {
    const node = slotNode[slot] ?? 0;
    if (held === "free" || node < jointNode) into.kinkRad[node] = slotKink(state, atSlots, slot, boardStrain, neckStrain);
  }
  return into;
}

/** A slot under the board's own stress at its middle depth: E (eps0 - v'' arm - eps_board); tension opens it, toward back bow. */
function slotKink({ setup: { slots }, atSlots: { board, composite }, moduli, tang }: BowState, { neck }: GeometryAlong, slot: number, boardStrain: number, neckStrain: number): number {
  const cut = slots.slots[slot];
  if (cut === undefined) return 0;
  const ea = composite.eaN[slot] ?? 1;
  const zbar = composite.zbarMm[slot] ?? 0;
  const boardN = (board.eaN[slot] ?? 0) * boardStrain;
  const neckN = moduli.neckMPa * (neck.areaMm2[slot] ?? 0) * neckStrain;
  const curvature = -(boardN * ((board.zbarMm[slot] ?? 0) - zbar) + neckN * ((neck.centroidMm[slot] ?? 0) - zbar)) / (composite.eiNmm2[slot] ?? 1);
  const strain = (boardN + neckN) / ea - curvature * (cut.boardMm - cut.depthMm / 2 - zbar) - boardStrain;
  return -(tang.yieldPerN[slot] ?? 0) * ea * strain;
}
