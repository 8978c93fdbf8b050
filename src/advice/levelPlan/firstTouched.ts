import { fretsWords } from "../../frets/lists.js";
import { linesOf, type LevelProblem } from "./problem.js";
import type { JudgedPlan } from "./judge.js";
import { restingPair } from "./restingPair.js";
import { restingTriple } from "./restingTriple.js";

/**
 * Where a beam laid on a line bears first, one fret on each side of its middle; `frets` are the likely ones, together as good as sure. A block that takes all lines to one plane bears
 * first on three tops of all the lines: a line may then have one of them, or none.
 */
export type FirstTouched = { readonly line: string; readonly frets: readonly number[]; /** Those of the likeliest way to lie. */ readonly pair: readonly number[] };

/** Frets that the beam meets less often than this are left out. */
const RARE = 0.05;

/** More frets than this are no sign by which to tell a wrong start. */
const TELLING = 6;

/** Whether the frets that the beam may meet first are few enough to tell a wrong start by. */
export function isTelling({ frets }: Pick<FirstTouched, "frets">): boolean {
  return frets.length <= TELLING;
}

/** Where the beam bears first on a line, in words: `bears first on frets 2 and 9`. */
export function bearsFirstWords(first: Pick<FirstTouched, "frets" | "pair">): string {
  if (first.frets.length === 0) return "does not bear here first";
  if (!isTelling(first)) return `no fret stands out, likeliest ${fretsWords(first.pair)}`;
  return first.frets.length > 2 ? `bears first on two of ${first.frets.join(", ")}` : `bears first on ${fretsWords(first.frets)}`;
}

/** The frets on which a beam lies down before any filing, the rod set and the frets seated, in all necks that the readings allow. */
export function firstTouched(problem: LevelProblem, plan: JudgedPlan, drawn: readonly ArrayLike<number>[]): readonly FirstTouched[] {
  if (problem.datum === "one plane" && linesOf(problem).length > 1) return firstOfAll(problem, plan, drawn);
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

/** The tops on which a block lies down that takes all lines at once. */
function firstOfAll({ tops, ...problem }: LevelProblem, { reliefChangeMm }: JudgedPlan, drawn: readonly ArrayLike<number>[]): readonly FirstTouched[] {
  const counts = new Map<string, { readonly on: readonly number[]; count: number }>();
  for (const heights of drawn) {
    const { on } = restingTriple(tops.map(({ xMm, yMm, reliefShare }, index) => ({ xMm, yMm, heightMm: (heights[index] ?? 0) - reliefChangeMm * reliefShare })));
    const seen = counts.get(on.join("-")) ?? { on, count: 0 };
    seen.count += 1;
    counts.set(on.join("-"), seen);
  }
  const ranked = [...counts.values()].sort((one, other) => other.count - one.count);
  const often = (index: number): number => ranked.filter(({ on }) => on.includes(index)).reduce((sum, { count }) => sum + count, 0) / drawn.length;
  return linesOf({ ...problem, tops }).map((line) => {
    const fretsOf = (isWanted: (index: number) => boolean): readonly number[] => tops.flatMap(({ fret, line: own }, index) => (own === line && isWanted(index) ? [fret] : []));
    return { line, frets: fretsOf((index) => often(index) >= RARE), pair: fretsOf((index) => ranked[0]?.on.includes(index) === true) };
  });
}
