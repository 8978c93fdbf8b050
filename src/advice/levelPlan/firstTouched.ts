import { linesOf, type LevelProblem } from "./problem.js";
import type { JudgedPlan } from "./judge.js";

/** Where a beam laid on a line bears first, one fret on each side of its middle; `frets` are the likely ones, together as good as sure. */
export type FirstTouched = { readonly line: string; readonly frets: readonly number[]; /** The likeliest pair. */ readonly pair: readonly [number, number] };

/** Frets that the beam meets less often than this are left out. */
const RARE = 0.05;

/** The frets on which a beam lies down before any filing, the rod set and the frets seated, in all necks that the readings allow. */
export function firstTouched(problem: LevelProblem, plan: JudgedPlan, drawn: readonly ArrayLike<number>[]): readonly FirstTouched[] {
  return linesOf(problem).map((line) => {
    const on = [...problem.tops.keys()].filter((index) => problem.tops[index]?.line === line);
    const xs = on.map((index) => problem.tops[index]?.xMm ?? 0);
    const share = on.map((index) => problem.tops[index]?.reliefShare ?? 0);
    const pairs = new Map<string, { readonly pair: readonly [number, number]; count: number }>();
    for (const heights of drawn) {
      const [a, b] = restingPair(xs, on.map((index, position) => (heights[index] ?? 0) - plan.reliefChangeMm * (share[position] ?? 0)));
      const pair = [problem.tops[on[a] ?? 0]?.fret ?? 0, problem.tops[on[b] ?? 0]?.fret ?? 0] as const;
      const seen = pairs.get(pair.join("-")) ?? { pair, count: 0 };
      seen.count += 1;
      pairs.set(pair.join("-"), seen);
    }
    const ranked = [...pairs.values()].sort((one, other) => other.count - one.count);
    const often = (fret: number): number => ranked.filter(({ pair }) => pair.includes(fret)).reduce((sum, { count }) => sum + count, 0) / drawn.length;
    const frets = on.map((index) => problem.tops[index]?.fret ?? 0).filter((fret) => often(fret) >= RARE);
    return { line, frets, pair: ranked[0]?.pair ?? [frets[0] ?? 0, frets.at(-1) ?? 0] };
  });
}

/**
 * The two tops on which a straight beam comes to rest: one on each side of its middle, the pair whose line is highest there; all others lie under that line.
 * @param xMm places, increasing
 * @returns their positions in the list
 * @example equal(restingPair([0, 10, 20, 30, 40], [0, 0.1, 0, 0.2, 0]), [1, 3]);
 */
export function restingPair(xMm: readonly number[], heightMm: readonly number[]): readonly [number, number] {
  const middleMm = ((xMm[0] ?? 0) + (xMm.at(-1) ?? 0)) / 2;
  let best: readonly [number, number] = [0, xMm.length - 1];
  let bestMm = -Infinity;
  for (let a = 0; (xMm[a] ?? Infinity) <= middleMm; a++) {
    for (let b = xMm.length - 1; b > a && (xMm[b] ?? -Infinity) >= middleMm; b--) {
      const t = (middleMm - (xMm[a] ?? 0)) / ((xMm[b] ?? 1) - (xMm[a] ?? 0));
      const atMiddle = (1 - t) * (heightMm[a] ?? 0) + t * (heightMm[b] ?? 0);
      if (atMiddle > bestMm + 1e-12) [best, bestMm] = [[a, b], atMiddle];
    }
  }
  return best;
}
