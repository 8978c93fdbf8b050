import type { Straining } from "../effect.js";
import type { BowState } from "../model/state.js";
import { unstrained } from "./straining.js";

/**
 * A load on the glued and fretted neck: bending moment at the grid's points and slots, above 0 toward forward bow, and one axial
 * compression, both between two nodes. The slots yield under it: a fretted neck is softer than the same neck uncut.
 */
export type NeckLoad = {
  readonly momentAt: (xMm: number, zbarMm: number) => number;
  readonly compressionN: number;
  readonly fromNode: number;
  readonly toNode: number;
};

/**
 * What a load does: v'' = M/EI of the composite, a kink at each slot, shortening P/EA.
 * @source Euler-Bernoulli; the yield of the slots from `tangPressure`
 */
export function loaded(state: BowState, { momentAt, compressionN, fromNode, toNode }: NeckLoad, into: Straining = unstrained(state.setup.grid)): Straining {
  const { setup: { grid, slotNode }, sections: { composite }, atSlots, tang } = state;
  into.curvaturePerMm.fill(0);
  into.kinkRad.fill(0);
  into.axialStrain.fill(0);
  for (let point = 2 * fromNode; point < 2 * toNode; point++) {
    into.curvaturePerMm[point] = momentAt(grid.pointMm[point] ?? 0, composite.zbarMm[point] ?? 0) / (composite.eiNmm2[point] ?? 1);
    into.axialStrain[point] = -compressionN / (composite.eaN[point] ?? 1);
  }
  for (let slot = 0; slot < slotNode.length; slot++) {
    const node = slotNode[slot] ?? 0;
    if (node <= fromNode || node >= toNode) continue;
    const moment = momentAt(grid.nodeMm[node] ?? 0, atSlots.composite.zbarMm[slot] ?? 0);
    into.kinkRad[node] = (tang.yieldPerNmm[slot] ?? 0) * moment + (tang.yieldPerN[slot] ?? 0) * compressionN;
  }
  return into;
}
