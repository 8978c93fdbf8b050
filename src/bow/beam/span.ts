import { fretDistanceMm } from "../../neck/frets.js";
import type { Neck } from "../../neck/neck.js";

/** The stretch over which bow is told: its chord's ends, and the place at which reliefs of several causes add. All of them fret places. */
export type BowSpan = {
  readonly fromMm: number;
  readonly toMm: number;
  /** Fret nearest to mid-way (in mm) between the ends. */
  readonly middleMm: number;
  /** In a builder's words: `frets 1 to 16`. */
  readonly words: string;
  readonly middleFret: number;
};

/** The neck's span as the survey takes it: from fret 1 to the body joint, or to the last fret where no joint was stated. */
export function neckSpan(neck: Neck): BowSpan {
  return spanBetween(neck, 1, neck.bodyJoint ?? neck.frets);
}

/** A free board's span: from its nut end to the last fret. */
export function boardSpan(neck: Neck): BowSpan {
  return { ...spanBetween(neck, 0, neck.frets), words: `the whole board to fret ${neck.frets}` };
}

function spanBetween(neck: Neck, from: number, to: number): BowSpan {
  const at = (fret: number): number => fretDistanceMm(neck.scaleLengthMm, fret);
  const [fromMm, toMm] = [at(from), at(to)];
  const frets = Array.from({ length: to - from + 1 }, (_, index) => from + index);
  const middleFret = frets.reduce((best, fret) => (Math.abs(at(fret) - (fromMm + toMm) / 2) < Math.abs(at(best) - (fromMm + toMm) / 2) ? fret : best), from);
  return { fromMm, toMm, middleMm: at(middleFret), middleFret, words: `frets ${from} to ${to}` };
}
