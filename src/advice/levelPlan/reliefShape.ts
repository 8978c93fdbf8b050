import { fretDistanceMm } from "../../neck/frets.js";
import type { Neck } from "../../neck/neck.js";
import type { Profile } from "../../shape/profile.js";
import { heightAt } from "../../shape/profile.js";

/** By how much a place comes down when the rod gives 1 mm more relief at the middle of its reach. */
export type ReliefShape = (xMm: number) => number;

/**
 * The shape in which a rod changes the neck where nothing better is known: an even curve between the rod's ends, or nut and body joint
 * where they are not stated, and straight on beyond them: 4 t (1 - t) between, its tangents outside.
 * @example near(evenRelief(0, 400)(200), 1, { abs: 1e-12 });
 * @example near(evenRelief(0, 400)(500), -1, { abs: 1e-12 });
 */
export function evenRelief(fromMm: number, toMm: number): ReliefShape {
  return (xMm) => {
    const t = (xMm - fromMm) / (toMm - fromMm);
    if (t < 0) return 4 * t;
    return t > 1 ? 4 * (1 - t) : 4 * t * (1 - t);
  };
}

/** The even curve over the reach of this neck's rod. */
export function evenReliefOf(neck: Neck): ReliefShape {
  const jointMm = fretDistanceMm(neck.scaleLengthMm, neck.bodyJoint ?? neck.frets);
  return evenRelief(neck.rod?.fromMm ?? 0, neck.rod?.toMm ?? jointMm);
}

/**
 * The shape of a profile (from the bow model, say) as a relief shape: depth under the profile's own chord, 1 where it is deepest;
 * beyond its ends straight on along its first and last stretch.
 * @throws {RangeError} a profile that does not bend
 */
export function profileRelief(profile: Profile): ReliefShape {
  const [from, to] = [profile.xMm[0] ?? NaN, profile.xMm.at(-1) ?? NaN];
  const [vFrom, vTo] = [profile.vMm[0] ?? NaN, profile.vMm.at(-1) ?? NaN];
  const depth = (xMm: number): number => vFrom + ((vTo - vFrom) * (xMm - from)) / (to - from) - heightAt(profile, xMm);
  const depths = profile.xMm.map(depth);
  const deepest = depths.reduce((best, one) => (Math.abs(one) > Math.abs(best) ? one : best), 0);
  if (!(Math.abs(deepest) > 1e-9)) throw new RangeError(`Cannot take the relief's shape from "${profile.of}": expected a profile that bends, got a straight one`);
  const [second, beforeLast] = [profile.xMm[1] ?? to, profile.xMm.at(-2) ?? from];
  return (xMm) => {
    if (xMm < from) return (depth(second) / deepest / (second - from)) * (xMm - from);
    if (xMm > to) return (depth(beforeLast) / deepest / (to - beforeLast)) * (to - xMm);
    return depth(xMm) / deepest;
  };
}
