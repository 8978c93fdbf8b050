import { linesOf, type LevelProblem, type LevelTop } from "./problem.js";
import type { JudgedPlan } from "./judge.js";

/**
 * The two tops of a line by which the beam is led: their crowns are measured before and after, so that what comes off there is what was planned,
 * and with it the level and tilt of the whole line.
 */
export type Guides = { readonly line: string; readonly near: number; readonly far: number };

/** What carrying a plan out would come to, on heights that need not be those it was made from. */
export type CarriedOut = {
  /** So much more than planned must come off everywhere until every top is met within the tolerance, mm. */
  readonly furtherMm: number;
  /** What comes off each top then, mm. */
  readonly cutMm: readonly number[];
};

/** A cut that a crown gauge can see, mm. */
const SEEN_MM = 0.01;
/** A top lies on the beam's line when it is no farther under it than this, mm. */
const ON_LINE_MM = 1e-6;

/**
 * The guides of each line (indices into the problem's tops): of the tops that end on the beam's line, the two that lie farthest apart,
 * those with a cut that can be measured before those that are only touched. Tops of the fall-away lead nothing: they are filed last, from the tape.
 */
export function guidesOf(problem: LevelProblem, plan: JudgedPlan): readonly Guides[] {
  const straight = straightened(problem, plan, problem.tops.map(({ heightMm }) => heightMm), plan.reseat);
  return linesOf(problem).map((line) => {
    const on = indicesOf(problem, line);
    const under = (index: number): number => beamMm(problem, plan, index) - (straight[index] ?? 0) + (plan.removals[index]?.removeMm ?? 0);
    const touched = on.filter((index) => under(index) < ON_LINE_MM && problem.tops[index]?.fallAwayMm === 0);
    const seen = touched.filter((index) => (plan.removals[index]?.removeMm ?? 0) >= SEEN_MM);
    const straightOn = on.filter((index) => problem.tops[index]?.fallAwayMm === 0);
    const [near, far] = ends(problem, seen) ?? ends(problem, touched) ?? ends(problem, straightOn) ?? [on[0] ?? 0, on.at(-1) ?? 0];
    return { line, near, far };
  });
}

/**
 * Carries a plan out on given heights: rod set, frets seated, each line led by its guides, then as much further as it takes.
 * @param seatedMm heights after seating, in the order of the problem's tops; level and tilt of each line carry no meaning
 */
export function carriedOut(problem: LevelProblem, plan: JudgedPlan, guides: readonly Guides[], seatedMm: ArrayLike<number>): CarriedOut {
  const straight = straightened(problem, plan, seatedMm, []);
  const beam = new Float64Array(problem.tops.length);
  let furtherMm = 0;
  for (const { line, near, far } of guides) {
    const on = indicesOf(problem, line);
    const left = (index: number): number => (straight[index] ?? 0) - (plan.removals[index]?.removeMm ?? 0);
    const [xNear, xFar] = [problem.tops[near]?.xMm ?? 0, problem.tops[far]?.xMm ?? 1];
    for (const index of on) {
      const t = ((problem.tops[index]?.xMm ?? 0) - xNear) / (xFar - xNear);
      beam[index] = (1 - t) * left(near) + t * left(far);
      furtherMm = Math.max(furtherMm, (beam[index] ?? 0) - problem.toleranceMm - (straight[index] ?? 0));
    }
  }
  return { furtherMm, cutMm: Array.from(straight, (mm, index) => Math.max(0, mm - (beam[index] ?? 0) + furtherMm)) };
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

/** First and last along the neck, as far as they are a fair way apart. */
function ends({ tops }: LevelProblem, indices: readonly number[]): readonly [number, number] | undefined {
  const [near, far] = [indices[0], indices.at(-1)];
  const apartMm = (tops[far ?? 0]?.xMm ?? 0) - (tops[near ?? 0]?.xMm ?? 0);
  const wholeMm = Math.max(...tops.map(({ xMm }) => xMm)) - Math.min(...tops.map(({ xMm }) => xMm));
  return near === undefined || far === undefined || apartMm < FAIR_SHARE * wholeMm ? undefined : [near, far];
}

/** Guides nearer together than this share of the length would tilt the beam by their own small errors. */
const FAIR_SHARE = 0.4;
