import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import type { InventedStream } from "./stream.js";
import type { InventedFamily, InventedSeating, InventedTruth, Kink, NeckBend, Zone } from "./truth.js";

/** Spreads of the drawing that a study may change; all other numbers stay as published at `inventedNeck`. */
export type InventedSpread = {
  /** Seating of frets pressed in as intended, standard deviation, mm. */
  readonly seatingMm: number;
  /** The share of high frets is uniform between these two. */
  readonly highShare: readonly [low: number, high: number];
  readonly liftedShare: number;
  /** Standard deviations of the S-shape and of the one and a half waves are multiplied by this. */
  readonly waviness: number;
};

/** As published at `inventedNeck`. */
export const PUBLISHED_SPREAD: InventedSpread = { seatingMm: 0.008, highShare: [0.05, 0.1], liftedShare: 0.02, waviness: 1 };

/**
 * Draws an invented neck. Nothing here was measured on real necks: the numbers are a designer's guess at a bench's days, and are published
 * here so that results on them can be judged.
 *
 * What it is: scale 628.65, 635, 647.7 or 650 mm; 20 to 24 frets, one neck in ten with a zero fret; body joint 14 or 16; radius 9.5, 12 or 16 in,
 * or 10 in at the nut and 16 in at the last fret; width 43 and 56 mm; lines at 0.1, 0.5 and 0.9 of the width. Each as likely as the other.
 *
 * Smooth line, all families: bow uniform within +-0.3 mm at mid-way (`atTheBench`: half of the necks in back bow, uniform 0.05 to 0.3 mm, the others in
 * forward bow, uniform 0 to 0.3 mm); S-shape normal, sd 0.03 mm; one and a half waves normal, sd 0.01 mm; each line beyond that: bow sd 0.015 mm, S-shape sd
 * 0.005 mm; twist normal, sd 0.2 mm from edge to edge over the length.
 *
 * Frets, all families: seating normal, sd 0.008 mm. The share of high frets is drawn for the neck, uniform 5 to 10 %; a high fret stands
 * up by another 0.04 to 0.14 mm, uniform; six in ten of them whole, four at one end (bass or treble alike). Of the other fret ends 2 % are
 * lifted by 0.02 to 0.10 mm, uniform. What stands up at an end falls linearly to nothing at the centre of the board.
 *
 * `kinksAndZones` adds: one kink, at the body joint (half), at the rod's end near the heel (20 to 60 mm before the joint, a third) or near the nut (60 to 100 mm from it, a sixth);
 * up or down alike, 0.03 to 0.10 mm over the chord of 100 mm before and after it; seven in ten necks have a zone of 4 to 6 frets up by 0.04 to 0.08 mm, half of them
 * by the board, half by their frets; half of the necks have a tongue that falls away by 0.05 to 0.25 mm at the last fret. All uniform.
 * @param change other spreads than the published ones; the same stream then draws the same neck with these spreads
 */
export function inventedNeck(stream: InventedStream, family: InventedFamily, change: Partial<InventedSpread> = {}): InventedTruth {
  const spread = { ...PUBLISHED_SPREAD, ...change };
  const neck = drawnNeck(stream);
  const bend = neckBend(stream, family, spread.waviness);
  const lineBends = Object.fromEntries(neck.lines.map((line) => [line.name, { bowMm: stream.normal(0, 0.015), sShapeMm: stream.normal(0, 0.005), waveMm: 0 }]));
  const twistMm = stream.normal(0, 0.2);
  const seating = drawnSeating(stream, neck, spread);
  const uneven = family === "kinksAndZones" ? drawnUnevenness(stream, neck) : { kinks: [], zones: [], fallAwayMm: 0 };
  return { family, neck, bend, lineBends, twistMm, seating, ...uneven };
}

function drawnNeck(stream: InventedStream): Neck {
  const scaleLengthMm = stream.pick([628.65, 635, 647.7, 650]);
  const frets = stream.whole(20, 24);
  const radius = stream.pick([[9.5, 9.5], [12, 12], [16, 16], [10, 16]]);
  return {
    name: "INVENTED",
    scaleLengthMm,
    frets,
    zeroFret: stream.chance(0.1),
    bodyJoint: stream.pick([14, 16]),
    fingerboardRadiusMm: { nut: 25.4 * (radius[0] ?? 12), lastFret: 25.4 * (radius[1] ?? 12) },
    widthMm: { nut: 43, lastFret: 56 },
    lines: [{ name: "bass", share: 0.1 }, { name: "centre", share: 0.5 }, { name: "treble", share: 0.9 }],
    assumed: [],
  };
}

function neckBend(stream: InventedStream, family: InventedFamily, waviness: number): NeckBend {
  return { bowMm: family === "atTheBench" ? benchBow(stream) : stream.uniform(-0.3, 0.3), sShapeMm: stream.normal(0, 0.03 * waviness), waveMm: stream.normal(0, 0.01 * waviness) };
}

function benchBow(stream: InventedStream): number {
  return stream.chance(0.5) ? stream.uniform(-0.3, -0.05) : stream.uniform(0, 0.3);
}

function drawnSeating(stream: InventedStream, neck: Neck, spread: InventedSpread): InventedSeating[] {
  const highShare = stream.uniform(...spread.highShare);
  return fretTops(neck).map((fret) => drawnFret(stream, fret, highShare, spread));
}

function drawnFret(stream: InventedStream, fret: number, highShare: number, spread: InventedSpread): InventedSeating {
  const scatterMm = stream.normal(0, spread.seatingMm);
  const level = { fret, wholeMm: scatterMm, bassEndMm: 0, trebleEndMm: 0 };
  if (!stream.chance(highShare)) return withLiftedEnds(stream, level, spread.liftedShare);
  const upMm = stream.uniform(0.04, 0.14);
  if (stream.chance(0.6)) return { ...level, wholeMm: scatterMm + upMm, farOut: "high" };
  return stream.chance(0.5) ? { ...level, bassEndMm: upMm, farOut: "high at an end" } : { ...level, trebleEndMm: upMm, farOut: "high at an end" };
}

function withLiftedEnds(stream: InventedStream, level: Omit<InventedSeating, "farOut">, liftedShare: number): InventedSeating {
  const bassEndMm = stream.chance(liftedShare) ? stream.uniform(0.02, 0.1) : 0;
  const trebleEndMm = stream.chance(liftedShare) ? stream.uniform(0.02, 0.1) : 0;
  return { ...level, bassEndMm, trebleEndMm, farOut: bassEndMm > 0 || trebleEndMm > 0 ? "lifted end" : "no" };
}

function drawnUnevenness(stream: InventedStream, neck: Neck): { kinks: Kink[]; zones: Zone[]; fallAwayMm: number } {
  const kinks = [drawnKink(stream, neck)];
  const zones = stream.chance(0.7) ? [drawnZone(stream, neck)] : [];
  return { kinks, zones, fallAwayMm: stream.chance(0.5) ? stream.uniform(0.05, 0.25) : 0 };
}

function drawnKink(stream: InventedStream, neck: Neck): Kink {
  const jointMm = fretDistanceMm(neck.scaleLengthMm, neck.bodyJoint ?? 16);
  const upMm = stream.pick([-1, 1]) * stream.uniform(0.03, 0.1);
  if (stream.chance(1 / 2)) return { where: "body joint", xMm: jointMm, upMm };
  return { where: "rod end", upMm, xMm: stream.chance(2 / 3) ? jointMm - stream.uniform(20, 60) : stream.uniform(60, 100) };
}

function drawnZone(stream: InventedStream, neck: Neck): Zone {
  const count = stream.whole(4, 6);
  const fromFret = stream.whole(1, neck.frets - count + 1);
  return { fromFret, toFret: fromFret + count - 1, upMm: stream.uniform(0.04, 0.08), of: stream.pick(["board", "frets"]) };
}
