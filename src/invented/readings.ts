import { fretDistanceMm, fretTops } from "../neck/frets.js";
import { PRESSED_DOWN, readGap, type ReadGap } from "./leaf.js";
import type { InventedOperator } from "./operator.js";
import type { ReadingPlan } from "./plan.js";
import { rockAt, type RockerFinding } from "./rocker.js";
import { edgeMiddlesMm, fretsToRead, setEdgeDown, type SetEdge } from "./straightedge.js";
import type { InventedStream } from "./stream.js";
import type { InventedTruth } from "./truth.js";

/** One setting-down of the edge as read: the gaps that were taken, in order along the neck. */
export type InventedSetting = {
  readonly line: string;
  /** Counted along each line from 1. */
  readonly number: number;
  readonly pressedAtFret?: number;
  readonly gaps: readonly { readonly fret: number; readonly xMm: number; readonly trueGapMm: number; readonly read: ReadGap }[];
};

/** What an operator wrote down about one neck. */
export type InventedReadings = {
  readonly settings: readonly InventedSetting[];
  readonly rockers: readonly (RockerFinding & { readonly line: string })[];
};

/**
 * Takes the readings of a plan on an invented neck: the edge set down along each line, then the rocker over each line's middle frets.
 * Each reading is missing with the plan's probability; a setting with none left is not there.
 */
export function inventedReadings(truth: InventedTruth, operator: InventedOperator, stream: InventedStream, plan: ReadingPlan): InventedReadings {
  const lines = plan.lines ?? truth.neck.lines.map((line) => line.name);
  const settings = lines.flatMap((line) => settingsAlong(truth, line, operator, stream, plan));
  const rockers = plan.rocker ? lines.flatMap((line) => rockersAlong(truth, line, operator, stream, plan)) : [];
  return { settings, rockers };
}

function settingsAlong(truth: InventedTruth, line: string, operator: InventedOperator, stream: InventedStream, plan: ReadingPlan): InventedSetting[] {
  return edgeMiddlesMm(truth.neck, operator, plan, stream)
    .flatMap((middleMm) => setEdgeDown(truth, line, operator, middleMm))
    .map((edge) => readEdge(truth, edge, operator, stream, plan))
    .filter((setting) => setting.gaps.length > 0)
    .map((setting, index) => ({ line, number: index + 1, ...setting }));
}

/** A fret that is pressed on is written as touching, in the plan or not: it is where the edge is known to lie. */
function readEdge(truth: InventedTruth, edge: SetEdge, operator: InventedOperator, stream: InventedStream, plan: ReadingPlan): Omit<InventedSetting, "line" | "number"> {
  const { pressedAtFret } = edge;
  const wanted = new Set(fretsToRead(truth.neck, plan));
  const gaps = edge.gaps
    .filter(({ fret, trueGapMm }) => wanted.has(fret) || fret === pressedAtFret || (plan.whereItTouches && trueGapMm < operator.leastLightMm))
    .filter(() => !stream.chance(plan.missingShare))
    .map(({ fret, trueGapMm }) => {
      const read = fret === pressedAtFret ? PRESSED_DOWN : readGap(trueGapMm, operator, stream);
      return { fret, xMm: fretDistanceMm(truth.neck.scaleLengthMm, fret), trueGapMm, read };
    });
  return pressedAtFret === undefined ? { gaps } : { gaps, pressedAtFret };
}

function rockersAlong(truth: InventedTruth, line: string, operator: InventedOperator, stream: InventedStream, plan: ReadingPlan): (RockerFinding & { line: string })[] {
  return fretTops(truth.neck)
    .slice(1, -1)
    .filter(() => !stream.chance(plan.missingShare))
    .map((fret) => ({ line, ...rockAt(truth, line, fret, operator, stream, plan) }));
}
