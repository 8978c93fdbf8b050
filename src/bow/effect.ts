import type { Profile } from "../shape/profile.js";
import { bowWords, lengthWords } from "../units/words.js";
import { deflection, overChord, type Bending } from "./beam/deflection.js";
import { nodeAt, type BowGrid } from "./beam/grid.js";
import type { BowSpan } from "./beam/span.js";

/** How one cause strains the neck: bending, and lengthening of the elastic axis (or, for a free board, of its mid-plane) at the grid's points. */
export type Straining = Bending & { readonly axialStrain: Float64Array };

/**
 * What one cause does to a neck. Effects on one grid add: curvature, kinks, axial strain, profile and `reliefMm` of a sum are the sums
 * (`sumOfEffects`); `greatest` is not additive. Positive relief and curvature are forward bow (middle low), negative back bow (middle high).
 */
export type Effect = Straining & {
  /** In a builder's words: `strings`, `rod, 0.25 turns tighter`. */
  readonly cause: string;
  /** Height over the chord of the span at the grid's nodes, frets among them. */
  readonly profile: Profile;
  readonly span: BowSpan;
  /** Chord less height at the span's middle fret, mm. */
  readonly reliefMm: number;
  /** The largest departure from the chord within the span, signed like relief, and where. */
  readonly greatest: { readonly reliefMm: number; readonly xMm: number };
  /** Cause, amount and sign in words. */
  readonly describe: () => string;
};

/**
 * Makes an effect of a straining: integrates it and takes out the chord of the span.
 * @throws {RangeError} a span whose ends or middle are no nodes of the grid
 */
export function effectOf(cause: string, grid: BowGrid, straining: Straining, span: BowSpan): Effect {
  const [from, to, middle] = [nodeAt(grid, span.fromMm), nodeAt(grid, span.toMm), nodeAt(grid, span.middleMm)];
  const v = overChord(grid, deflection(grid, straining), from, to);
  const relief = (node: number): number => 0 - (v[node] ?? 0);
  let deepest = from;
  for (let node = from; node <= to; node++) if (Math.abs(relief(node)) > Math.abs(relief(deepest))) deepest = node;
  const reliefMm = relief(middle);
  return {
    ...straining, cause, span, reliefMm,
    profile: { of: cause, xMm: Array.from(grid.nodeMm), vMm: Array.from(v) },
    greatest: { reliefMm: relief(deepest), xMm: grid.nodeMm[deepest] ?? 0 },
    describe: () => `${cause}: ${amountWords(reliefMm)} at fret ${span.middleFret}`,
  };
}

/** Amount and sign of a relief as print needs it: `0.31 mm (12.2 thou) of forward bow (middle low)`; under half a hundredth of a mm it says so. */
export function amountWords(reliefMm: number): string {
  return Math.abs(reliefMm) < 0.005 ? "next to nothing (under 0.01 mm, 0.4 thou)" : `${lengthWords(Math.abs(reliefMm))} of ${bowWords(reliefMm)}`;
}

/**
 * The sum of effects on one grid and span.
 * @throws {RangeError} no effects, or effects on different grids or spans
 */
export function sumOfEffects(cause: string, grid: BowGrid, effects: readonly Effect[]): Effect {
  const [first] = effects;
  if (first === undefined || effects.some(({ span, curvaturePerMm }) => span.fromMm !== first.span.fromMm || span.toMm !== first.span.toMm || curvaturePerMm.length !== first.curvaturePerMm.length)) {
    throw new RangeError(`Cannot add ${effects.length} effects: expected one or more, all over the same span of the same grid`);
  }
  return effectOf(cause, grid, sumOfStrainings(effects), first.span);
}

function sumOfStrainings(all: readonly Straining[]): Straining {
  const sum = (pick: (one: Straining) => Float64Array): Float64Array => {
    const total = new Float64Array(all[0] === undefined ? 0 : pick(all[0]).length);
    for (const one of all) for (const [index, value] of pick(one).entries()) total[index] = (total[index] ?? 0) + value;
    return total;
  };
  return { curvaturePerMm: sum((one) => one.curvaturePerMm), kinkRad: sum((one) => one.kinkRad), axialStrain: sum((one) => one.axialStrain) };
}
