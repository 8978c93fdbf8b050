import { rodBendOf, type InventedRod } from "./rod.js";
import type { InventedTruth } from "./truth.js";

/**
 * The same neck after something was done to it. Each takes a neck and gives another, so that they can follow one another; what is not named stays as it was,
 * every fret's seating too. Survey both with the same operator for two surveys under one edge.
 */

/** Bent by `bowMm` at mid-way from nut to last fret, positive toward forward bow (middle low): glue-up, moisture, strings. */
export function bentBy(truth: InventedTruth, bowMm: number): InventedTruth {
  return { ...truth, bend: { ...truth.bend, bowMm: truth.bend.bowMm + bowMm } };
}

/** Its rod turned from slack by `turns`, positive tightening. A rod turned before is turned anew from slack. */
export function rodTurned(truth: InventedTruth, rod: InventedRod, turns: number): InventedTruth {
  return { ...truth, rodBends: [rodBendOf(rod, turns)] };
}

/** These frets seated: whatever stood out goes down to `leftMm` over the smooth line, at both ends. */
export function fretsSeated(truth: InventedTruth, frets: readonly number[], leftMm: number): InventedTruth {
  const seating = truth.seating.map((seat) => (frets.includes(seat.fret) ? { fret: seat.fret, wholeMm: leftMm, bassEndMm: 0, trebleEndMm: 0, farOut: "no" as const } : seat));
  return { ...truth, seating, ...(truth.build === undefined ? {} : { build: { ...truth.build, unseated: truth.build.unseated.filter((fret) => !frets.includes(fret)) } }) };
}

/** These frets standing up whole by `upMm` beyond where they stood. */
export function fretsRaised(truth: InventedTruth, frets: readonly number[], upMm: number): InventedTruth {
  return { ...truth, seating: truth.seating.map((seat) => (frets.includes(seat.fret) ? { ...seat, wholeMm: seat.wholeMm + upMm, farOut: "high" as const } : seat)) };
}

/** Twisted so that the treble edge stands `twistMm` over the bass edge at the last fret, with none at the nut. */
export function twistedTo(truth: InventedTruth, twistMm: number): InventedTruth {
  return { ...truth, twistMm };
}
