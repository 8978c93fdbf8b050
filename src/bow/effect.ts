import type { Profile } from "../shape/profile.js";
import type { Measured } from "../units/measured.js";
import { MM_PER_THOU } from "../units/length.js";
import { bowWords, lengthWords, type UnitOrder } from "../units/words.js";
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
  /** What `reliefMm` may be, where the unknowns were let vary: its median and the middle 95 %. */
  readonly range?: Measured;
  /** Cause, range and sign in words; without a range the sign alone, since one figure from book values misleads. */
  readonly describe: (order?: UnitOrder) => string;
};

/**
 * Makes an effect of a straining: integrates it and takes out the chord of the span.
 * @param range of the relief at the span's middle, where it is known
 * @throws {RangeError} a span whose ends or middle are no nodes of the grid
 */
export function effectOf(cause: string, grid: BowGrid, straining: Straining, span: BowSpan, range?: Measured): Effect {
  const [from, to, middle] = [nodeAt(grid, span.fromMm), nodeAt(grid, span.toMm), nodeAt(grid, span.middleMm)];
  const v = overChord(grid, deflection(grid, straining), from, to);
  const relief = (node: number): number => 0 - (v[node] ?? 0);
  let deepest = from;
  for (let node = from; node <= to; node++) if (Math.abs(relief(node)) > Math.abs(relief(deepest))) deepest = node;
  const reliefMm = relief(middle);
  return {
    ...straining, cause, span, reliefMm, ...(range === undefined ? {} : { range }),
    profile: { of: cause, xMm: Array.from(grid.nodeMm), vMm: Array.from(v) },
    greatest: { reliefMm: relief(deepest), xMm: grid.nodeMm[deepest] ?? 0 },
    describe: (order: UnitOrder = "mm first") => `${cause}: ${range === undefined ? `toward ${bowWords(reliefMm)}` : `${rangeWords(range, order)} at fret ${span.middleFret}`}`,
  };
}

/** Amount and sign of a relief as print needs it: `0.31 mm (12.2 thou) of forward bow (middle low)`; under half a hundredth of a mm it says so. */
export function amountWords(reliefMm: number, order: UnitOrder = "mm first"): string {
  return Math.abs(reliefMm) < NOTHING_MM ? "next to nothing (under 0.01 mm, 0.4 thou)" : `${lengthWords(Math.abs(reliefMm), order)} of ${bowWords(reliefMm)}`;
}

/**
 * A range of relief in words, both units, sign always said: `0.20 to 0.60 mm (7.9 to 23.6 thou) of forward bow (middle low)`.
 * @example equal(rangeWords({ value: 0.4, u: 0.1, unit: "mm", low95: 0.2, high95: 0.6 }), "0.20 to 0.60 mm (7.9 to 23.6 thou) of forward bow (middle low)");
 */
export function rangeWords({ low95, high95 }: Pick<Measured, "low95" | "high95">, order: UnitOrder = "mm first"): string {
  const [least, most] = [Math.min(Math.abs(low95), Math.abs(high95)), Math.max(Math.abs(low95), Math.abs(high95))];
  if (most < NOTHING_MM) return amountWords(0);
  if (low95 < -NOTHING_MM && high95 > NOTHING_MM) return `anything from ${amountWords(low95, order)} to ${amountWords(high95, order)}`;
  const from = low95 * high95 < 0 ? 0 : least;
  const sign = bowWords(Math.abs(low95) > Math.abs(high95) ? low95 : high95);
  if (from.toFixed(2) === most.toFixed(2)) return `${lengthWords(most, order)} of ${sign}`;
  const [mm, thou] = [`${from.toFixed(2)} to ${most.toFixed(2)} mm`, `${(from / MM_PER_THOU).toFixed(1)} to ${(most / MM_PER_THOU).toFixed(1)} thou`];
  return `${order === "mm first" ? `${mm} (${thou})` : `${thou} (${mm})`} of ${sign}`;
}

/** What a feeler cannot see. */
const NOTHING_MM = 0.005;

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
