import type { Straining } from "../effect.js";
import type { BowState } from "../model/state.js";
import { unstrained } from "./straining.js";

/**
 * Case 1: board and neck want to be longer by unlike strains (moisture between two seasons, wet glue, a user's own cause). Longer on top bends toward back bow. Bars keep
 * their length; what the slots yield under it is not counted.
 * @param boardStrain free lengthening of the board along the grain, as a strain
 * @param neckStrain the same of the neck's wood
 * @source eps0 = sum E A eps/EA, v'' = -sum E A eps (z - zbar)/EI; Timoshenko's two-layer strip in tests/published/two-layer-strip.test.ts
 */
export function eigenstrained(state: BowState, boardStrain: number, neckStrain: number, into: Straining = unstrained(state.setup.grid)): Straining {
  const { setup: { points, jointNode, held }, sections: { board, composite }, moduli } = state;
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
  return into;
}
