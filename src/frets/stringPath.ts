import { fretDistanceMm } from "../neck/frets.js";
import type { Neck, NeckLine } from "../neck/neck.js";
import { acrossMm, widthMm } from "../neck/surface.js";
import type { CrownTop, StringPoint } from "./pressed.js";

/** Shares of the width at which the outer strings run (common practice, no source). */
const OUTER = { bass: 0.1, treble: 0.9 } as const;

/** Heights of the open string over the crowns, on one line, mm: over the crown plane at the nut, and over the last fret. */
export type StringHeights = { readonly atNutMm: number; readonly atLastFretMm: number };

/** The string's heights on a line as the neck file states them for bass and treble, mm; undefined where it does not. */
export function stringHeights(neck: Neck, line: NeckLine): StringHeights | undefined {
  const { heightAtNutMm, heightAtLastFretMm } = neck.strings ?? {};
  if (heightAtNutMm === undefined || heightAtLastFretMm === undefined) return undefined;
  const xMm = fretDistanceMm(neck.scaleLengthMm, neck.frets);
  const share = 0.5 + acrossMm(neck, line, xMm) / widthMm(neck, xMm);
  const t = Math.min(1, Math.max(0, (share - OUTER.bass) / (OUTER.treble - OUTER.bass)));
  return { atNutMm: heightAtNutMm, atLastFretMm: (1 - t) * heightAtLastFretMm.bass + t * heightAtLastFretMm.treble };
}

/**
 * Where the underside of the string lies at the saddle: on through the nut and over the last crown. The saddle stands at the scale length, without compensation.
 * @param tops over a datum that is 0 at the nut: crown heights over the chord of the first and the last; the last is the one over which `atLastFretMm` is stated
 * @throws {RangeError} no crown
 * @example near(saddleOf(600, [{ fret: 12, xMm: 300, heightMm: 0 }], { atNutMm: 0, atLastFretMm: 1 }).heightMm, 2, { abs: 1e-12 });
 */
export function saddleOf(scaleLengthMm: number, tops: readonly CrownTop[], { atNutMm, atLastFretMm }: StringHeights): StringPoint {
  const last = tops.at(-1);
  if (last === undefined) throw new RangeError("Cannot place the saddle: expected the crown of the last fret");
  const slope = (last.heightMm + atLastFretMm - atNutMm) / last.xMm;
  return { xMm: scaleLengthMm, heightMm: atNutMm + slope * scaleLengthMm };
}
