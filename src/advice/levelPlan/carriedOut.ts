import { linesOf, type LevelProblem, type LevelTop } from "./problem.js";
import type { JudgedPlan } from "./judge.js";
import { restingPair } from "./restingPair.js";
import { restingTriple } from "./restingTriple.js";

/**
 * The tops of a line by which it is seen how far the beam has come down (indices into the problem's tops): their crowns are measured before and after.
 * `canGauge`: enough comes off them for that; where it does not, the line is followed by its ink alone.
 */
export type Guides = { readonly line: string; readonly tops: readonly number[]; readonly canGauge: boolean };

/** What carrying a plan out would come to, on heights that need not be those it was made from. */
export type CarriedOut = {
  /** So much more than planned comes off the guides until every top is met within the tolerance, mm; 0 where no more does. */
  readonly furtherMm: number;
  /** The same at every guide by itself, less than 0 where it loses less than planned. */
  readonly guidesMm: readonly number[];
  /** What comes off each top then, mm. */
  readonly cutMm: readonly number[];
};

/** A cut that a crown gauge can see, mm. */
const SEEN_MM = 0.01;
/** A cut that a calliper which reads to a hundredth tells to a quarter of itself, mm (own judgement, no source). */
const GAUGED_MM = 0.04;
/** A top lies on the beam's line when it is no farther under it than this, mm. */
const ON_LINE_MM = 1e-6;

/**
 * The guides of each line: its deepest cut and the deepest a fair way off, both large enough to gauge. A line without such cuts is followed by its ink, and reckoned with by
 * tops that end on the beam's line near the quarters of the length. Tops of the fall-away lead nothing: they are filed last, from the tape.
 */
export function guidesOf(problem: LevelProblem, plan: JudgedPlan): readonly Guides[] {
  const straight = straightened(problem, plan, problem.tops.map(({ heightMm }) => heightMm), plan.reseat);
  return linesOf(problem).map((line) => {
    const on = indicesOf(problem, line);
    const deep = deepest(problem, plan, on.filter((index) => problem.tops[index]?.fallAwayMm === 0));
    if (deep.length > 0) return { line, tops: deep, canGauge: true };
    const under = (index: number): number => beamMm(problem, plan, index) - (straight[index] ?? 0) + (plan.removals[index]?.removeMm ?? 0);
    const touched = on.filter((index) => under(index) < ON_LINE_MM && problem.tops[index]?.fallAwayMm === 0);
    const seen = touched.filter((index) => (plan.removals[index]?.removeMm ?? 0) >= SEEN_MM);
    const straightOn = on.filter((index) => problem.tops[index]?.fallAwayMm === 0);
    return { line, tops: ends(problem, seen) ?? ends(problem, touched) ?? ends(problem, straightOn) ?? [on[0] ?? 0, on.at(-1) ?? 0], canGauge: false };
  });
}

/** Of the cuts that can be gauged the deepest, then the deepest a fair way from it, if there is one. */
function deepest({ tops }: LevelProblem, { removals }: JudgedPlan, indices: readonly number[]): readonly number[] {
  const cutMm = (index: number): number => removals[index]?.removeMm ?? 0;
  const xMm = (index: number): number => tops[index]?.xMm ?? 0;
  const fairMm = FAIR_SHARE * (Math.max(...tops.map((top) => top.xMm)) - Math.min(...tops.map((top) => top.xMm)));
  const [first, ...others] = indices.filter((index) => cutMm(index) >= GAUGED_MM).sort((a, b) => cutMm(b) - cutMm(a));
  if (first === undefined) return [];
  const second = others.find((index) => Math.abs(xMm(index) - xMm(first)) >= fairMm);
  return second === undefined ? [first] : [first, second];
}

/**
 * Carries a plan out on given heights: rod set, frets seated, then each line filed straight (or all of them to one plane) until every top is met within the tolerance. The beam follows
 * the ink: of all straight lines, or planes, that meet every top it comes to the one that takes least, whatever tilt was planned.
 * @param seatedMm heights after seating, in the order of the problem's tops; level and tilt of each line, or of the plane, carry no meaning
 */
export function carriedOut(problem: LevelProblem, plan: JudgedPlan, guides: readonly Guides[], seatedMm: ArrayLike<number>): CarriedOut {
  const straight = straightened(problem, plan, seatedMm, []);
  const cut = inkFace(problem, straight);
  const beam = new Float64Array(problem.tops.length);
  const guidesMm: number[] = [];
  for (const { line, tops } of guides) {
    for (const index of indicesOf(problem, line)) beam[index] = cut(index);
    guidesMm.push(...tops.map((guide) => (straight[guide] ?? 0) - (beam[guide] ?? 0) - (plan.removals[guide]?.removeMm ?? 0)));
  }
  return { furtherMm: Math.max(0, ...guidesMm), guidesMm, cutMm: Array.from(straight, (mm, index) => Math.max(0, mm - (beam[index] ?? 0))) };
}

/** Where the ink takes the beam at every top, by its index, mm: line by line, or all lines together to one plane. */
export function inkFace(problem: LevelProblem, straightMm: ArrayLike<number>): (index: number) => number {
  const { tops, toleranceMm } = problem;
  const place = (index: number): LevelTop => tops[index] ?? tops[0] ?? wrongTop(index);
  if (problem.datum === "one plane" && linesOf(problem).length > 1) {
    const { at } = restingTriple(tops.map(({ xMm, yMm }, index) => ({ xMm, yMm, heightMm: -(straightMm[index] ?? 0) })));
    return (index) => toleranceMm - at(place(index).xMm, place(index).yMm);
  }
  const lines = new Map(linesOf(problem).map((line) => {
    const on = indicesOf(problem, line);
    return [line, inkLine(on.map((index) => place(index).xMm), on.map((index) => straightMm[index] ?? 0), toleranceMm)] as const;
  }));
  return (index) => lines.get(place(index).line)?.(place(index).xMm) ?? NaN;
}

function wrongTop(index: number): never {
  throw new RangeError(`Cannot carry a levelling out: there is no top ${index}`);
}

/** The straight line no farther than the tolerance over any top that lies highest over all tops together: with ink on all of them, the beam has come down to it when the last is met. */
export function inkLine(xMm: readonly number[], straightMm: readonly number[], toleranceMm: number): (xMm: number) => number {
  const meanMm = xMm.reduce((sum, one) => sum + one, 0) / xMm.length;
  const [a, b] = restingPair(xMm, straightMm.map((mm) => -mm), meanMm);
  const [xa, xb, za, zb] = [xMm[a] ?? 0, xMm[b] ?? 1, straightMm[a] ?? 0, straightMm[b] ?? 0];
  return (at) => za + ((zb - za) * (at - xa)) / (xb - xa) + toleranceMm;
}

/** Heights with the rod set, the frets seated and the fall-away added, so that the target is straight. */
function straightened({ tops }: LevelProblem, plan: JudgedPlan, heightsMm: ArrayLike<number>, reseat: readonly number[]): Float64Array {
  const drop = (top: LevelTop): number => (reseat.includes(top.fret) ? (top.dropMm ?? 0) : 0);
  return Float64Array.from(tops, (top, index) => (heightsMm[index] ?? NaN) - drop(top) - plan.reliefChangeMm * top.reliefShare + top.fallAwayMm);
}

function beamMm({ tops }: LevelProblem, plan: JudgedPlan, index: number): number {
  const top = tops[index];
  const beam = plan.beam.find(({ line }) => line === top?.line);
  return beam === undefined || top === undefined ? NaN : beam.levelMm + beam.tiltMmPerMm * top.xMm + beam.acrossMmPerMm * top.yMm;
}

function indicesOf({ tops }: LevelProblem, line: string): readonly number[] {
  return [...tops.keys()].filter((index) => tops[index]?.line === line);
}

/** Tops reckoned with lie best about here: far enough apart to show a tilt, and not at the ends, where a small tilt takes most. */
const QUARTERS = [0.2, 0.8] as const;
/** Guides nearer together than this share of the length say little of the tilt. */
const FAIR_SHARE = 0.4;

/** The tops nearest to the quarters of the length, as far as they are a fair way apart. */
function ends({ tops }: LevelProblem, indices: readonly number[]): readonly [number, number] | undefined {
  const xs = tops.map(({ xMm }) => xMm);
  const [firstMm, wholeMm] = [Math.min(...xs), Math.max(...xs) - Math.min(...xs)];
  const nearest = (share: number): number | undefined => {
    const off = (index: number): number => Math.abs((xs[index] ?? 0) - firstMm - share * wholeMm);
    return indices.length === 0 ? undefined : indices.reduce((best, index) => (off(index) < off(best) ? index : best));
  };
  const [near, far] = QUARTERS.map(nearest);
  return near === undefined || far === undefined || (xs[far] ?? 0) - (xs[near] ?? 0) < FAIR_SHARE * wholeMm ? undefined : [near, far];
}
