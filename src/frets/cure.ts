import type { CrownTop, StringPoint } from "./pressed.js";

/** How far each crown goes down for one mm of a change; negative where it goes up. */
export type ShapeChange = (top: CrownTop) => number;

/** The string pressed at one fret, and a fret beyond it. */
export type PressedPair = { readonly pressedAt: number; readonly at: number };

/** The least amount of a change that gives every pressed string the wanted clearance, or that no amount of it does and which pair of frets decides that. */
export type Cure = { readonly status: "cures"; readonly amountMm: number } | { readonly status: "no cure"; readonly decidedBy: PressedPair };

/** A change of more than this makes another neck, mm. */
const MOST_MM = 3;
/** The slope of the string moves by parts in a hundred thousand; each pass takes that off the error of the one before. */
const PASSES = 6;

/**
 * Least amount of a change that cures, good to rounding. Upright, the gap at crown j under the string pressed at crown i grows by g_j - (1 - s) g_i for each
 * mm of the change, s = (x_j - x_i)/(x_saddle - x_i), which is linear: every pair bounds the amount from below or from above. What is wanted at right angles to the string
 * is followed through the string's slope by repeating.
 * @param wantedMm clearance that every pressed string should have, mm
 * @source plane geometry; checked against the geometry of the changed neck in tests/frets/clearance.test.ts
 */
export function cureBy(tops: readonly CrownTop[], saddle: StringPoint, wantedMm: number, change: ShapeChange): Cure {
  let cure: Cure = { status: "cures", amountMm: 0 };
  for (let pass = 0; pass < PASSES && cure.status === "cures"; pass++) cure = boundsAt(tops, saddle, wantedMm, change, cure.amountMm);
  return cure;
}

type Bound = PressedPair & { readonly amountMm: number };

/** The amount with the slopes of the string as they are after `aboutMm` of the change. */
function boundsAt(tops: readonly CrownTop[], saddle: StringPoint, wantedMm: number, change: ShapeChange, aboutMm: number): Cure {
  const drops = tops.map(change);
  let least: Bound = { pressedAt: NaN, at: NaN, amountMm: 0 };
  let most: Bound = { pressedAt: NaN, at: NaN, amountMm: MOST_MM };
  for (const [i, pressed] of tops.entries()) {
    const span = saddle.xMm - pressed.xMm;
    const rise = saddle.heightMm - pressed.heightMm;
    const wanted = wantedMm * Math.hypot(1, (rise + aboutMm * (drops[i] ?? 0)) / span);
    for (let j = i + 1; j < tops.length; j++) {
      const crown = tops[j];
      if (crown === undefined) continue;
      const s = (crown.xMm - pressed.xMm) / span;
      const lackMm = wanted - (s * rise + pressed.heightMm - crown.heightMm);
      const gain = (drops[j] ?? 0) - (1 - s) * (drops[i] ?? 0);
      const bound = { pressedAt: pressed.fret, at: crown.fret, amountMm: lackMm / gain };
      if (gain > 0 && bound.amountMm > least.amountMm) least = bound;
      else if (gain < 0 && bound.amountMm < most.amountMm) most = bound;
      else if (gain === 0 && lackMm > 0) return { status: "no cure", decidedBy: { pressedAt: pressed.fret, at: crown.fret } };
    }
  }
  if (least.amountMm <= Math.max(0, most.amountMm) && most.amountMm >= 0) return { status: "cures", amountMm: least.amountMm };
  const { pressedAt, at } = Number.isNaN(most.at) ? least : most;
  return { status: "no cure", decidedBy: { pressedAt, at } };
}
