import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import type { ShapeChange } from "./cure.js";

/** What can be changed for a string to clear: relief by the rod, fall-away beyond the joint, one fret taken down, the saddle. */
export type CureKind = "more relief" | "less relief" | "fall-away" | "take down" | "higher saddle";

/** A change to be tried, and the one fret it is about where it is one. */
export type Tried = { readonly by: CureKind; readonly change: ShapeChange; readonly fret?: number };

/**
 * The changes that are tried for a string to clear, each a shape of one mm: relief as a parabola from fret 1 to the body joint (to the last fret where no joint is
 * stated), either way; fall-away straight from the joint to the last fret; the fret in the way; and the saddle raised, which is the neck tilted away under the string.
 */
export function curesFor(neck: Neck, fretInTheWay: number): readonly Tried[] {
  const x = (fret: number): number => fretDistanceMm(neck.scaleLengthMm, fret);
  const first = Math.max(1, fretTops(neck)[0] ?? 1);
  const joint = neck.bodyJoint ?? neck.frets;
  const relief: ShapeChange = ({ xMm }) => parabola((xMm - x(first)) / (x(joint) - x(first)));
  const fallAway: Tried = { by: "fall-away", change: ({ xMm }) => Math.max(0, (xMm - x(joint)) / (x(neck.frets) - x(joint))) };
  return [
    { by: "take down", change: ({ fret }) => Number(fret === fretInTheWay), fret: fretInTheWay },
    { by: "more relief", change: relief }, { by: "less relief", change: (top) => -relief(top) },
    ...(joint < neck.frets ? [fallAway] : []), { by: "higher saddle", change: ({ xMm }) => xMm / neck.scaleLengthMm },
  ];
}

/** Bow of one mm in the middle, none outside its span. */
function parabola(t: number): number {
  return Math.max(0, 4 * t * (1 - t));
}
