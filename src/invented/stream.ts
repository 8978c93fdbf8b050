import erfcinv from "@stdlib/math-base-special-erfcinv";
import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { xoroshiro128plusFromState } from "pure-rand/generator/xoroshiro128plus";

/** Random numbers that repeat: the same (seed, study, neck) gives the same numbers in the same order, on every machine. */
export type InventedStream = {
  /** Uniform between `low` (included) and `high` (excluded). */
  readonly uniform: (low: number, high: number) => number;
  /** Normal, by inversion: one uniform number a draw, so that streams stay in step when a deviation changes. */
  readonly normal: (mean: number, sd: number) => number;
  /** True with this probability. */
  readonly chance: (probability: number) => boolean;
  /** A whole number from `low` to `high`, both included. */
  readonly whole: (low: number, high: number) => number;
  /** One of these, each as likely as the other. */
  readonly pick: <T>(choices: readonly [T, ...T[]]) => T;
};

/**
 * One stream of random numbers per (seed, study, neck), so that a neck of a study can be made again without those before it.
 * Give the neck and its operator streams of different studies (`"relief/neck"`, `"relief/operator"`): then another plan of
 * readings does not change the neck.
 * @param seed any whole number
 * @param study a name
 * @param neck number of the neck in the study
 * @source generator: xoroshiro128+ of the library pure-rand, its 128 bits of state hashed from the three arguments
 */
export function inventedStream(seed: number, study: string, neck: number): InventedStream {
  const label = `${seed}|${study}|${neck}`;
  const generator = xoroshiro128plusFromState([hash(label, 1), hash(label, 2), hash(label, 3), hash(label, 4)]);
  const unit = (): number => uniformFloat64(generator);
  const whole = (low: number, high: number): number => low + Math.floor(unit() * (high - low + 1));
  return {
    uniform: (low, high) => low + (high - low) * unit(),
    normal: (mean, sd) => mean + sd * standardNormal(unit()),
    chance: (probability) => unit() < probability,
    whole,
    pick: (choices) => choices[whole(0, choices.length - 1)] ?? choices[0],
  };
}

/** Quantile of the standard normal; half of the generator's last digit keeps 0 out. */
function standardNormal(probability: number): number {
  return -Math.SQRT2 * erfcinv(2 * (probability + 2 ** -54));
}

/** FNV-1a of the label with a salt, finished by the mixer of MurmurHash3 (both from memory; any well-mixed 32 bits would do). */
function hash(label: string, salt: number): number {
  let h = 0x811c9dc5 ^ Math.imul(salt, 0x9e3779b1);
  for (let i = 0; i < label.length; i += 1) h = Math.imul(h ^ label.charCodeAt(i), 0x01000193);
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
}
