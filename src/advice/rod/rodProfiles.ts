import { heightAt, type Profile } from "../../shape/profile.js";

/**
 * Profiles with a change of relief added to each, in the rod's shape.
 * @param shape what the rod does, of any height; it must not be flat at the middle. A parabola over each profile where absent
 * @param changeMm relief added at the middle of each profile, mm; positive is forward bow, so the middle goes down
 */
export function scaledProfiles(profiles: readonly Profile[], shape: Profile | undefined, changeMm: number): readonly Profile[] {
  return profiles.map((profile): Profile => {
    const [first, last] = [profile.xMm[0] ?? 0, profile.xMm.at(-1) ?? 1];
    const share = (x: number): number => (shape === undefined ? parabola((x - first) / (last - first)) : shareOf(shape, first, last, x));
    return {
      of: `${profile.of}, after the rod is turned`,
      ...(profile.line === undefined ? {} : { line: profile.line }),
      xMm: profile.xMm,
      vMm: profile.vMm.map((v, index) => v - changeMm * share(profile.xMm[index] ?? first)),
    };
  });
}

/** 0 at both ends, 1 in the middle. */
function parabola(t: number): number {
  return 4 * t * (1 - t);
}

/** The shape over the chord between two places, as a share of its value in their middle. */
function shareOf(shape: Profile, first: number, last: number, x: number): number {
  const overChord = (at: number): number => {
    const t = (at - first) / (last - first);
    return inside(shape, at) - (1 - t) * inside(shape, first) - t * inside(shape, last);
  };
  const middle = overChord((first + last) / 2);
  if (middle === 0) throw new RangeError(`Cannot take "${shape.of}" for the rod's shape: expected one that moves the middle of the neck`);
  return overChord(x) / middle;
}

function inside(shape: Profile, x: number): number {
  return heightAt(shape, Math.min(shape.xMm.at(-1) ?? x, Math.max(shape.xMm[0] ?? x, x)));
}
