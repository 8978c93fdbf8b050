import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { edgeAtRest, type ContactPoint, type EdgeAtRest } from "./contact.js";
import { edgeErrorMm, type InventedOperator } from "./operator.js";
import type { ReadingPlan } from "./plan.js";
import type { InventedStream } from "./stream.js";
import { contactHeightMm, type InventedTruth } from "./truth.js";

/** One setting-down of the edge along a line: the frets under it and the true gap at each. */
export type SetEdge = {
  /** Where the operator pressed it down because it rocked; absent where it lies by itself. */
  readonly pressedAtFret?: number;
  readonly gaps: readonly { readonly fret: number; readonly trueGapMm: number }[];
};

/** The edge's ends are not used: it must bear with this much to spare. */
const END_MM = 2;

/**
 * Sets the edge down along a line with its middle at `middleMm`. It lies on one fret each side of its middle with no gap negative. Where those two are close together the neck is high
 * in the middle and it rocks: then it is pressed down at the first fret under it, and again at the last, and there are two settings.
 */
export function setEdgeDown(truth: InventedTruth, line: string, operator: InventedOperator, middleMm: number): SetEdge[] {
  const under = fretsUnder(truth.neck, operator, middleMm);
  const x = (fret: number): number => fretDistanceMm(truth.neck.scaleLengthMm, fret);
  const points = under.map((fret) => ({ xMm: x(fret), zMm: contactHeightMm(truth, line, fret) }));
  return layEdge(points, operator, middleMm).map(({ pressedAt, gapsMm }) => {
    const pressedAtFret = pressedAt === undefined ? undefined : under[pressedAt];
    return { ...(pressedAtFret === undefined ? {} : { pressedAtFret }), gaps: under.map((fret, k) => ({ fret, trueGapMm: gapsMm[k] ?? 0 })) };
  });
}

/** An edge as it lies over points: the gap at each, and the point it was pressed on, if it rocked. */
export type LaidEdge = { readonly pressedAt?: number; readonly gapsMm: readonly number[] };

/**
 * Lays the operator's edge, its middle at `middleMm`, over points given in order of place along it, heights in mm. If it rocks it is pressed down on the first
 * point, and again on the last, which gives two settings.
 * @throws {RangeError} the points all lie on one side of its middle: it would tip off
 */
export function layEdge(heights: readonly ContactPoint[], operator: InventedOperator, middleMm: number): LaidEdge[] {
  const points = heights.map(({ xMm, zMm }) => ({ xMm, zMm: zMm - edgeErrorMm(operator.edge, xMm - middleMm) }));
  const gapsMm = (edge: EdgeAtRest): number[] => points.map(({ xMm, zMm }) => Math.max(0, edge.heightMm(xMm) - zMm));
  const atRest = edgeAtRest(points, middleMm);
  const [left, right] = atRest.supports.map((k) => points[k]?.xMm ?? 0);
  if ((right ?? 0) - (left ?? 0) >= operator.rocksBelowMm) return [{ gapsMm: gapsMm(atRest) }];
  return [0, points.length - 1].map((pressedAt) => ({ pressedAt, gapsMm: gapsMm(edgeAtRest(points, points[pressedAt]?.xMm ?? middleMm)) }));
}

/** Fret tops under an edge whose middle is at `middleMm`. */
function fretsUnder(neck: Neck, operator: InventedOperator, middleMm: number): number[] {
  const reachMm = operator.edge.lengthMm / 2 - END_MM;
  return fretTops(neck).filter((fret) => Math.abs(fretDistanceMm(neck.scaleLengthMm, fret) - middleMm) <= reachMm);
}

/**
 * Where the edge's middle goes, one number a setting. Three readings: the edge ends just past the body joint and sticks out over the nut.
 * Otherwise the first setting begins 3 to 10 mm before the first fret and the last ends 3 to 10 mm past the last, others between;
 * one alone lies in the middle, within 10 mm.
 */
export function edgeMiddlesMm(neck: Neck, operator: InventedOperator, plan: ReadingPlan, stream: InventedStream): number[] {
  const halfMm = operator.edge.lengthMm / 2;
  const x = (fret: number): number => fretDistanceMm(neck.scaleLengthMm, fret);
  const firstMm = x(neck.zeroFret ? 0 : 1);
  const lastMm = x(neck.frets);
  if (plan.frets === "three") return [x(neck.bodyJoint ?? neck.frets) + stream.uniform(3, 10) - halfMm];
  if (plan.settingsPerLine === 1) return [(firstMm + lastMm) / 2 + stream.uniform(-10, 10)];
  const fromMm = firstMm - stream.uniform(3, 10) + halfMm;
  const toMm = lastMm + stream.uniform(3, 10) - halfMm;
  return Array.from({ length: plan.settingsPerLine }, (_, k) => fromMm + ((toMm - fromMm) * k) / (plan.settingsPerLine - 1));
}

/** Frets at which the plan has gaps read. */
export function fretsToRead(neck: Neck, plan: ReadingPlan): number[] {
  const tops = fretTops(neck);
  if (plan.frets === "every") return [...tops];
  if (plan.frets === "every second") return tops.filter((_, k) => k % 2 === 0);
  const first = tops[0] ?? 1;
  const joint = neck.bodyJoint ?? neck.frets;
  return [first, nearestMidway(neck, first, joint), joint];
}

function nearestMidway(neck: Neck, fromFret: number, toFret: number): number {
  const x = (fret: number): number => fretDistanceMm(neck.scaleLengthMm, fret);
  const middleMm = (x(fromFret) + x(toFret)) / 2;
  return fretTops(neck).reduce((best, fret) => (Math.abs(x(fret) - middleMm) < Math.abs(x(best) - middleMm) ? fret : best), fromFret);
}
