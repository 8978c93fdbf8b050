import type { FretAction } from "./finding.js";

/** What the order of work needs to know of a fret. */
export type Job = { readonly fret: number; readonly action: FretAction; readonly heightMm: number };

/** One step of the work: what is done, to which frets, in this order. */
export type WorkStep = { readonly do: Exclude<FretAction["do"], "leave"> | "rock again"; readonly frets: readonly number[] };

/** Looks and readings move nothing and come first; levelling cannot be taken back and comes last. */
const FIRST = ["read", "look into the zone", "look at the joint", "look under the crown"] as const;
const MOVES = ["pull and refit", "seat"] as const;

/**
 * The work in an order that converges. What only looks comes first. Then frets are moved, refits before seating, the highest first, and never two
 * neighbours in one round: a fret that is moved changes what the rocker says of the frets beside it, so those wait until they were rocked again. Each
 * round ends with rocking the moved frets and their neighbours. What is levelled is levelled last and together, after a fresh survey.
 * @param rocks whether a rocker can have a fret in the middle
 * @returns steps in order; none where every fret is to be left
 */
export function workOrder(jobs: readonly Job[], rocks: (fret: number) => boolean): readonly WorkStep[] {
  const looks = FIRST.flatMap((what) => step(what, fretsFor(jobs, what)));
  const moved = MOVES.flatMap((what) => highestFirst(jobs, what).map((job) => ({ what, job })));
  const round = moved.filter(({ job }, index) => !moved.slice(0, index).some((before) => Math.abs(before.job.fret - job.fret) < 2));
  const again = [...new Set(round.flatMap(({ job: { fret } }) => [fret - 1, fret, fret + 1]))].filter(rocks).sort((a, b) => a - b);
  return [
    ...looks,
    ...MOVES.flatMap((what) => step(what, round.filter((one) => one.what === what).map(({ job }) => job.fret))),
    ...(round.length === 0 ? [] : [{ do: "rock again" as const, frets: again }]),
    ...step("level", fretsFor(jobs, "level")),
  ];
}

/** Frets that are to be moved but wait for a later round, because a neighbour is moved in this one. */
export function waiting(jobs: readonly Job[], steps: readonly WorkStep[]): readonly number[] {
  const moved = steps.filter((one) => one.do === "seat" || one.do === "pull and refit").flatMap(({ frets }) => frets);
  return jobs.filter(({ action, fret }) => (action.do === "seat" || action.do === "pull and refit") && !moved.includes(fret)).map(({ fret }) => fret);
}

function step(what: WorkStep["do"], frets: readonly number[]): readonly WorkStep[] {
  return frets.length === 0 ? [] : [{ do: what, frets }];
}

function fretsFor(jobs: readonly Job[], what: FretAction["do"]): readonly number[] {
  return jobs.filter(({ action }) => action.do === what).map(({ fret }) => fret);
}

function highestFirst(jobs: readonly Job[], what: FretAction["do"]): readonly Job[] {
  return jobs.filter(({ action }) => action.do === what).sort((a, b) => a.fret - b.fret).sort((a, b) => b.heightMm - a.heightMm);
}
