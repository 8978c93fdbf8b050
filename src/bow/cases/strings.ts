import type { BowGrid } from "../beam/grid.js";
import type { Straining } from "../effect.js";
import type { BowState } from "../model/state.js";
import { stringsNotKnown } from "./stringPull.js";
import { unstrained } from "./straining.js";

const GAUSS = 0.5 - Math.sqrt(3) / 6;
/** The arm grows by a few per cent of itself each round; a neck that has not settled by then is near buckling. */
const MOST_ROUNDS = 60;
const SETTLED = 1e-12;

/**
 * Case 5: the strings' pull along their real height, second order. Each string stays straight while the neck sinks away from it, so the arm is
 * (string height - elastic axis) + rise of the string's line - rise of the neck. Held from the joint on, the neck is clamped there and the saddle does
 * not move with it; free, the string is anchored on the neck at its own saddle's place (a jig).
 * Tension is taken as kept: strings are tuned again after the neck has moved.
 * @throws {RangeError} no strings, a jig's anchor beyond the board, or a pull under which the neck would buckle
 * @source EI v'' = T (z_s - zbar + v(0) (1 - x/S) - v(x)), v = v' = 0 at the joint, solved by putting v back in until nothing moves; an independent solution in tests/published/strung-neck.test.ts
 */
export function stringStraining(state: BowState, into: Straining = unstrained(state.setup.grid), order: "first" | "second" = "second"): Straining {
  const { setup, unknowns } = state;
  const { pull, grid, held } = setup;
  if (pull === undefined) throw new RangeError(stringsNotKnown(setup.neck.name));
  const tensionN = pull.tensionN * unknowns.stringTension;
  const fixed = held === "from the joint";
  const toNode = fixed ? setup.jointNode : anchorNode(grid, pull.saddleMm);
  const rise = { points: new Float64Array(grid.pointMm.length), nodes: new Float64Array(grid.nodeMm.length) };
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const moved = pulled(state, tensionN, toNode, fixed, rise, into);
    if (order === "first" || (round > 0 && !(moved > SETTLED))) return into;
    riseOf(grid, into, toNode, fixed, rise);
  }
  throw new RangeError(`Cannot string "${setup.neck.name}" with ${tensionN.toFixed(0)} N: the neck would give way under it (check thicknesses, woods and string tensions)`);
}

type Rise = { readonly points: Float64Array; readonly nodes: Float64Array };

/** One round: curvature and kinks under the present arm. Returns the largest change of curvature, as a share of the largest curvature. */
function pulled({ setup, sections: { composite }, atSlots, tang, unknowns }: BowState, tensionN: number, toNode: number, fixed: boolean, rise: Rise, into: Straining): number {
  const { grid, slotNode, pull } = setup;
  if (pull === undefined) return 0;
  const S = pull.saddleMm;
  const end = fixed ? 0 : (rise.nodes[toNode] ?? 0);
  const start = rise.nodes[0] ?? 0;
  const lineMm = pull.zNutMm + unknowns.stringHeightMm + start;
  const perMm = (pull.zSaddleMm - pull.zNutMm + end - start) / S;
  let [moved, largest] = [0, 0];
  for (let point = 0; point < 2 * toNode; point++) {
    const arm = lineMm + perMm * (grid.pointMm[point] ?? 0) - (composite.zbarMm[point] ?? 0) - (rise.points[point] ?? 0);
    const curvature = (tensionN * arm) / (composite.eiNmm2[point] ?? 1);
    moved = Math.max(moved, Math.abs(curvature - (into.curvaturePerMm[point] ?? 0)));
    largest = Math.max(largest, Math.abs(curvature));
    into.curvaturePerMm[point] = curvature;
    into.axialStrain[point] = -tensionN / (composite.eaN[point] ?? 1);
  }
  into.curvaturePerMm.fill(0, 2 * toNode);
  into.axialStrain.fill(0, 2 * toNode);
  into.kinkRad.fill(0);
  for (let slot = 0; slot < slotNode.length; slot++) {
    const node = slotNode[slot] ?? 0;
    if (node <= 0 || node >= toNode) continue;
    const arm = lineMm + perMm * (grid.nodeMm[node] ?? 0) - (atSlots.composite.zbarMm[slot] ?? 0) - (rise.nodes[node] ?? 0);
    into.kinkRad[node] = tensionN * ((tang.yieldPerNmm[slot] ?? 0) * arm + (tang.yieldPerN[slot] ?? 0));
  }
  return largest > 0 ? moved / largest : 0;
}

/** Integral from 0 to s, twice, of curvature that runs straight through its two Gauss points: shares of h² that the first and the second have, at both points and at the cell's end. */
const TWICE = [GAUSS, 1 - GAUSS, 1].map((s) => {
  const second = (s * s * s) / 6 - (GAUSS * s * s) / 2;
  const perPoint = second / (1 - 2 * GAUSS);
  return { first: (s * s) / 2 - perPoint, second: perPoint };
});
const [AT_FIRST = { first: 0, second: 0 }, AT_SECOND = { first: 0, second: 0 }, AT_END = { first: 0, second: 0 }] = TWICE;

/** Rise of the neck at nodes and points: clamped at `toNode`, or from the first node where free (the string's line follows its ends anyway). */
function riseOf({ nodeMm, pointMm }: BowGrid, { curvaturePerMm, kinkRad }: Straining, toNode: number, fixed: boolean, { points, nodes }: Rise): void {
  let [slope, v, from] = [0, 0, nodeMm[0] ?? 0];
  nodes[0] = 0;
  for (let node = 1; node <= toNode; node++) {
    const to = nodeMm[node] ?? 0;
    const h = to - from;
    slope += kinkRad[node - 1] ?? 0;
    const first = curvaturePerMm[2 * node - 2] ?? 0;
    const second = curvaturePerMm[2 * node - 1] ?? 0;
    points[2 * node - 2] = v + h * (slope * GAUSS + h * (AT_FIRST.first * first + AT_FIRST.second * second));
    points[2 * node - 1] = v + h * (slope * (1 - GAUSS) + h * (AT_SECOND.first * first + AT_SECOND.second * second));
    v += h * (slope + h * (AT_END.first * first + AT_END.second * second));
    slope += (h / 2) * (first + second);
    nodes[node] = v;
    from = to;
  }
  if (!fixed) return;
  for (let node = 0; node <= toNode; node++) nodes[node] = (nodes[node] ?? 0) - v - slope * ((nodeMm[node] ?? 0) - from);
  for (let point = 0; point < 2 * toNode; point++) points[point] = (points[point] ?? 0) - v - slope * ((pointMm[point] ?? 0) - from);
}

function anchorNode(grid: BowGrid, anchorMm: number): number {
  const found = grid.nodeMm.findIndex((x) => Math.abs(x - anchorMm) < 1e-6);
  if (found < 0) throw new RangeError(`Cannot anchor the strings at ${anchorMm.toFixed(1)} mm: on a free neck the jig's anchor stands at a fret of the board`);
  return found;
}
