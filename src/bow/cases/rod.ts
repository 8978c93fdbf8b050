import { integralOver } from "../beam/deflection.js";
import type { Straining } from "../effect.js";
import type { RodGeometry } from "../model/rodGeometry.js";
import type { BowState } from "../model/state.js";
import { loaded } from "./loaded.js";
import { unstrained } from "./straining.js";

/** What the rod's ends do to the neck per mm of travel: a moment (above 0 toward back bow) at both ends, and a compression. */
export type RodForces = { readonly momentNmm: number; readonly compressionN: number; readonly fromNode: number; readonly toNode: number };

/**
 * Turns that take effect: those beyond the dead zone, either way.
 * @param turns from slack; above 0 tightens toward back bow
 * @example near(effectiveTurns(-0.5, 0.1), -0.4, { abs: 1e-12 });
 */
export function effectiveTurns(turns: number, deadZoneTurns: number): number {
  return Math.sign(turns) * Math.max(0, Math.abs(turns) - deadZoneTurns);
}

/**
 * Case 4: the rod, turned from slack. A rod that works both ways bends the neck between its ends by a moment; one that works one way pulls below the neck's
 * axis and can only push toward back bow (toward forward bow where it lies above the axis, which the geometry then says).
 * The response of its geometry is scaled by the unknown `rodResponse`: slack, friction and crushing take their part.
 * @param turns from slack; above 0 tightens toward back bow; below 0 is the other way of a rod that works both ways
 * @throws {RangeError} a neck without a rod that the model knows, or a rod that works one way turned the other way
 * @source travel over the compliance of the neck and of the rod's own members; a straight rod at one depth, which a curved one is not
 */
export function rodStraining(state: BowState, turns: number, into: Straining = unstrained(state.setup.grid)): Straining {
  const { rod } = state.setup;
  if (rod === undefined) throw new RangeError(`Cannot turn the rod of "${state.setup.neck.name}": the neck file does not say that it has one and how it works (give rod.works: "one way" or "both ways")`);
  if (rod.works === "one way" && turns < 0) throw new RangeError(`Cannot turn the rod of "${state.setup.neck.name}" ${-turns} turns past slack: it works one way and can only push toward back bow (middle high)`);
  const travelMm = rod.leadMmPerTurn * effectiveTurns(turns, state.unknowns.rodDeadZoneTurns) * state.unknowns.rodResponse;
  const { momentNmm, compressionN, fromNode, toNode } = rod.works === "both ways" ? coupleOf(state, rod) : pullOf(state, rod);
  const zRod = -rod.depthMm;
  const momentAt = rod.works === "both ways" ? () => -momentNmm * travelMm : (_: number, zbarMm: number) => -compressionN * travelMm * (zbarMm - zRod);
  return loaded(state, { momentAt, compressionN: compressionN * travelMm, fromNode, toNode }, into);
}

/** Where the rod bends the neck: between its ends, and not in the body. */
function reach({ setup: { grid, jointNode, held } }: BowState, rod: RodGeometry): { readonly fromNode: number; readonly toNode: number } {
  const nodeAfter = (x: number): number => {
    const found = grid.nodeMm.findIndex((node) => node > x - 1e-6);
    return found < 0 ? grid.nodeMm.length - 1 : found;
  };
  const toNode = nodeAfter(rod.toMm);
  return { fromNode: nodeAfter(rod.fromMm), toNode: held === "free" ? toNode : Math.min(toNode, jointNode) };
}

/** M = d / (s (integral of dx/EI + yield of the slots) + (L/s) (1/EA + 1/EA)). */
function coupleOf(state: BowState, rod: RodGeometry): RodForces {
  const { fromNode, toNode } = reach(state, rod);
  const bend = integralOver(state.setup.grid, state.sections.composite.eiNmm2.map((ei) => 1 / ei), fromNode, toNode) + slotSum(state, fromNode, toNode, (slot) => state.tang.yieldPerNmm[slot] ?? 0);
  const members = ((rod.toMm - rod.fromMm) / rod.spacingMm) * (2 / rod.memberN);
  return { momentNmm: 1 / (rod.spacingMm * bend + members), compressionN: 0, fromNode, toNode };
}

/** P = d / (L/EA_rod + integral of dx/EA + integral of (zbar - z_r)^2 dx/EI), and the slots' part of it. */
function pullOf(state: BowState, rod: RodGeometry): RodForces {
  const { fromNode, toNode } = reach(state, rod);
  const { composite } = state.sections;
  const neck = composite.eiNmm2.map((ei, point) => 1 / (composite.eaN[point] ?? 1) + ((composite.zbarMm[point] ?? 0) + rod.depthMm) ** 2 / ei);
  const slots = slotSum(state, fromNode, toNode, (slot) => slotTravel(state, slot, rod));
  return { momentNmm: 0, compressionN: 1 / ((rod.toMm - rod.fromMm) / rod.memberN + integralOver(state.setup.grid, neck, fromNode, toNode) + slots), fromNode, toNode };
}

/** How far one slot lets the rod's line shorten per N: the square of what it feels of bending and of compression together. */
function slotTravel({ tang, atSlots }: BowState, slot: number, rod: RodGeometry): number {
  const perNmm = tang.yieldPerNmm[slot] ?? 0;
  if (perNmm === 0) return 0;
  const perN = tang.yieldPerN[slot] ?? 0;
  const arm = (atSlots.composite.zbarMm[slot] ?? 0) + rod.depthMm;
  return perNmm * (perN / perNmm - arm) ** 2;
}

function slotSum({ setup: { slotNode } }: BowState, fromNode: number, toNode: number, of: (slot: number) => number): number {
  let sum = 0;
  for (let slot = 0; slot < slotNode.length; slot++) {
    const node = slotNode[slot] ?? 0;
    if (node > fromNode && node < toNode) sum += of(slot);
  }
  return sum;
}
