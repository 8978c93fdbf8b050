import { believedDraws, middleUnknowns, type BowBelief } from "../calibration/belief.js";
import { deflection, overChord } from "../beam/deflection.js";
import { nodeAt } from "../beam/grid.js";
import type { BowSetup } from "../model/setup.js";
import { drawWork, prepareWork, type PreparedWork } from "../sequence/draw.js";
import type { OrderOfWork, StageName } from "../sequence/work.js";
import type { Profile } from "../../shape/profile.js";

const DRAWS = 200;
const SEED = 20_27;

/**
 * The shape of a neck after a stage with the standard uncertainty of every height, over the chord of its span: all causes drawn together,
 * so that what they share is not counted twice.
 * @param stage the last one where absent
 * @throws {RangeError} a stage that this order of work does not have
 */
export function profileBand(setup: BowSetup, belief: BowBelief, work: OrderOfWork, stage?: StageName): Profile {
  const prepared = prepareWork(setup, work);
  const counted = causesUntil(prepared, stage);
  const shape = shapeOf(prepared, counted);
  drawWork(prepared, middleUnknowns(belief));
  const middle = shape().slice();
  const squares = new Float64Array(middle.length);
  const draws = believedDraws(belief, DRAWS, SEED);
  for (const unknowns of draws) {
    drawWork(prepared, unknowns);
    for (const [node, v] of shape().entries()) squares[node] = (squares[node] ?? 0) + (v - (middle[node] ?? 0)) ** 2;
  }
  return { of: stage ?? "after the last stage", xMm: Array.from(setup.grid.nodeMm), vMm: Array.from(middle), uMm: Array.from(squares, (sum) => Math.sqrt(sum / draws.length)) };
}

/**
 * Which causes of an order of work have come by a stage, on the part that stage is about.
 * @throws {RangeError} a stage that this order of work does not have
 */
export function causesUntil({ causes }: PreparedWork, stage?: StageName): readonly number[] {
  const last = stage === undefined ? causes.length - 1 : causes.map((cause) => cause.stage).lastIndexOf(stage);
  if (last < 0) throw new RangeError(`Cannot give the bow at the stage "${stage ?? ""}": this order of work has ${[...new Set(causes.map((cause) => cause.stage))].join(", ")}`);
  return causes.flatMap((cause, index) => (index <= last && cause.on === causes[last]?.on ? [index] : []));
}

/** Heights at the last draw over the chord of the counted causes' span; the same array each time. */
function shapeOf({ setup, causes, strainings }: PreparedWork, counted: readonly number[]): () => Float64Array {
  const { grid } = setup;
  const span = causes[counted[0] ?? 0]?.on === "board" ? setup.boardSpan : setup.span;
  const [from, to] = [nodeAt(grid, span.fromMm), nodeAt(grid, span.toMm)];
  const total = { curvaturePerMm: new Float64Array(grid.pointMm.length), kinkRad: new Float64Array(grid.nodeMm.length) };
  const v = new Float64Array(grid.nodeMm.length);
  return () => {
    total.curvaturePerMm.fill(0);
    total.kinkRad.fill(0);
    for (const index of counted) {
      const one = strainings[index];
      if (one === undefined) continue;
      for (let point = 0; point < total.curvaturePerMm.length; point++) total.curvaturePerMm[point] = (total.curvaturePerMm[point] ?? 0) + (one.curvaturePerMm[point] ?? 0);
      for (let node = 0; node < total.kinkRad.length; node++) total.kinkRad[node] = (total.kinkRad[node] ?? 0) + (one.kinkRad[node] ?? 0);
    }
    return overChord(grid, deflection(grid, total, v), from, to);
  };
}
