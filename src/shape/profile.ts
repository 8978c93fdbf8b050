import type { Survey } from "../survey/survey.js";

/**
 * A shape along the neck, measured or predicted: what the survey gives and the bow model takes and gives.
 * Heights are over whatever chord or datum `of` names; two profiles add where they share one.
 */
export type Profile = {
  /** What this is, in a builder's words: `neck line, centre`, `strings`, `after glue-up`. */
  readonly of: string;
  /** The line of the neck; absent for a shape that all lines share. */
  readonly line?: string;
  /** Distances from the nut, mm, increasing, two or more. */
  readonly xMm: readonly number[];
  /** Height at each of them, mm, positive away from the neck's back: in forward bow the middle is below its chord. */
  readonly vMm: readonly number[];
  /** Standard uncertainty of each height, mm; neighbours are correlated. */
  readonly uMm?: readonly number[];
};

/**
 * Height of a profile at x, mm, straight between its points.
 * @throws {RangeError} a place outside the profile
 * @example near(heightAt({ of: "wedge", xMm: [0, 100], vMm: [0, 1] }, 25), 0.25, { abs: 1e-12 });
 */
export function heightAt(profile: Profile, xMm: number): number {
  const right = profile.xMm.findIndex((x) => x >= xMm);
  const [first, last] = [profile.xMm[0] ?? Infinity, profile.xMm.at(-1) ?? -Infinity];
  if (right < 0 || xMm < first) throw new RangeError(`Cannot give the height of "${profile.of}" at ${xMm} mm: expected a place from ${first} to ${last} mm`);
  const left = Math.max(0, right - 1);
  const [x0, x1] = [profile.xMm[left] ?? 0, profile.xMm[right] ?? 0];
  const [v0, v1] = [profile.vMm[left] ?? 0, profile.vMm[right] ?? 0];
  if (right === left) return v1;
  const share = (xMm - x0) / (x1 - x0); // weights, not a step from v0: between two values that are not negative nothing comes out negative
  return v0 * (1 - share) + v1 * share;
}

/**
 * Heights over the straight line through the first and the last of them.
 * @param xMm places, mm, increasing, two or more
 * @param vMm heights at them, mm
 */
export function overChord(xMm: readonly number[], vMm: readonly number[]): readonly number[] {
  const [from = 0, to = 1] = [xMm[0], xMm.at(-1)];
  const [first = 0, last = 0] = [vMm[0], vMm.at(-1)];
  return vMm.map((v, at) => v - first - ((last - first) * ((xMm[at] ?? from) - from)) / (to - from));
}

/** The smooth neck lines of a survey as profiles, each over the chord of its own datum. */
export function neckLines(survey: Pick<Survey, "lines">): readonly Profile[] {
  return survey.lines.map(({ line, xMm, heightMm, uMm }) => ({ of: `neck line, ${line}`, line, xMm, vMm: heightMm, uMm }));
}
