import { TOUCH_U_MM, type RockerMark } from "./gap.js";
import type { Gap } from "./reading.js";

/** Bounds of the middle height over the chord of the outer two, mm, and the uncertainty of those bounds from the leaves. */
export type RockerBounds = { readonly deltaMm: { readonly low: number; readonly high: number }; readonly endsUMm: number };

/**
 * Where the middle fret stands between the outer two, as a share of their distance: r = (x_m - x_1) / (x_3 - x_1).
 * @example near(middleShare(0, 30, 50), 0.6, { abs: 1e-12 });
 */
export function middleShare(firstMm: number, middleMm: number, lastMm: number): number {
  return (middleMm - firstMm) / (lastMm - firstMm);
}

/**
 * What a rocker's mark says about delta, the height of the middle crown over the chord of the outer two.
 * Still: delta at most q r. It says nothing of how low the middle is: a rocker also stands still over a low fret, or beside a high one, and a leaf
 * is not slid under the middle to find out; who did writes three gaps. Rocks with a leaf under the raised end, which end not said: [low min(r, 1-r), high max(r, 1-r)]. Rocks: [0, Infinity].
 * @param share r of `middleShare`
 * @param thinnestMm q, the thinnest leaf that could have slipped in, mm
 * @param leafUMm uncertainty of a leaf, mm
 * @source rules of contact: plane geometry of a straight edge over three points
 * @example near(boundsOfMark({ rocks: false }, 0.5, 0.04, 0.002).deltaMm.high, 0.02, { abs: 1e-12 });
 */
export function boundsOfMark(mark: RockerMark, share: number, thinnestMm: number, leafUMm: number): RockerBounds {
  if (!mark.rocks) return { deltaMm: { low: Number.NEGATIVE_INFINITY, high: thinnestMm * share }, endsUMm: leafUMm };
  if (mark.gap === undefined) return { deltaMm: { low: 0, high: Number.POSITIVE_INFINITY }, endsUMm: 0 };
  const most = Math.max(share, 1 - share);
  const { lowMm, highMm, uMm } = endsOf(mark.gap);
  return { deltaMm: { low: lowMm * Math.min(share, 1 - share), high: highMm * most }, endsUMm: uMm * most };
}

/**
 * What three gaps under a rocker say about delta. At most one of them is not zero: pressed on the first and middle fret the far gap is
 * delta / r, on the middle and last the near gap is delta / (1-r); a gap at the middle is -delta. None of them open: delta in [-q, q r], q the thinnest
 * leaf that could have slipped in.
 * @param gaps under the rocker at the first, middle and last fret, mm
 * @param share r of `middleShare`
 * @returns the bounds, or the text of what was expected
 * @source rules of contact: plane geometry of a straight edge over three points
 */
export function boundsOfGaps(gaps: readonly [Gap, Gap, Gap], share: number): RockerBounds | { readonly expected: string } {
  const open = gaps.flatMap((gap, index) => (mayTouch(gap) ? [] : [index]));
  const [only, second] = open;
  if (second !== undefined) {
    return { expected: open.length === 3 ? "a rocker that stands on two of the three frets: three gaps at once are not possible" : "one gap at most: a rocker stands on two of its three frets, pressed down on two of them" };
  }
  if (only === undefined) return allTouching(gaps, share);
  const { lowMm, highMm, uMm } = endsOf(gaps[only] ?? gaps[0]);
  if (only === 1) return { deltaMm: { low: -highMm, high: -lowMm }, endsUMm: uMm };
  const factor = only === 2 ? share : 1 - share;
  return { deltaMm: { low: lowMm * factor, high: highMm * factor }, endsUMm: uMm * factor };
}

/** All three seen touching says as much as an eye can tell; else the widest leaf that could have slipped in. */
function allTouching(gaps: readonly [Gap, Gap, Gap], share: number): RockerBounds {
  const slipped = gaps.map((gap) => (gap.kind === "exact" ? 2 * gap.uMm : gap.highMm));
  const uMm = Math.max(...gaps.map((gap) => (gap.kind === "exact" ? gap.uMm : gap.endsUMm)));
  const thinnestMm = Math.max(...slipped);
  return { deltaMm: { low: -thinnestMm, high: thinnestMm * share }, endsUMm: uMm };
}

function mayTouch(gap: Gap): boolean {
  return gap.kind === "interval" ? gap.lowMm <= 0 : gap.gapMm <= 2 * Math.max(gap.uMm, TOUCH_U_MM);
}

function endsOf(gap: Gap): { readonly lowMm: number; readonly highMm: number; readonly uMm: number } {
  return gap.kind === "interval"
    ? { lowMm: gap.lowMm, highMm: gap.highMm, uMm: gap.endsUMm }
    : { lowMm: gap.gapMm, highMm: gap.gapMm, uMm: gap.uMm };
}
