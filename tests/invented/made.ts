import { inventedNeck } from "../../src/invented/neck.js";
import { inventedOperator, type InventedOperator, type OperatorChoice } from "../../src/invented/operator.js";
import { inventedStream, type InventedStream } from "../../src/invented/stream.js";
import type { InventedFamily, InventedTruth } from "../../src/invented/truth.js";
import { fretTops } from "../../src/neck/frets.js";

/** Hands and leaves without error: then every reading must hold for the truth. */
export const EXACT_HANDS: OperatorChoice = { feelMm: 0, leafToleranceMm: 0 };

export function drawnNeck(study: string, number: number, family: InventedFamily = "smooth", choice: OperatorChoice = EXACT_HANDS): { truth: InventedTruth; operator: InventedOperator; stream: InventedStream } {
  const truth = inventedNeck(inventedStream(3, `${study}/neck`, number), family);
  const stream = inventedStream(3, `${study}/operator`, number);
  return { truth, stream, operator: inventedOperator(stream, choice) };
}

/** A neck with nothing on it: no bow, no scatter, flat board. */
export function levelNeck(change: Partial<InventedTruth> = {}): InventedTruth {
  const neck: InventedTruth["neck"] = {
    name: "PLAIN", scaleLengthMm: 635, frets: 22, zeroFret: false, bodyJoint: 16,
    fingerboardRadiusMm: { nut: Infinity, lastFret: Infinity }, widthMm: { nut: 43, lastFret: 56 },
    lines: [{ name: "bass", share: 0.1 }, { name: "centre", share: 0.5 }, { name: "treble", share: 0.9 }], assumed: [],
  };
  const seating = fretTops(neck).map((fret) => ({ fret, wholeMm: 0, bassEndMm: 0, trebleEndMm: 0, farOut: "no" as const }));
  return { family: "smooth", neck, bend: { bowMm: 0, sShapeMm: 0, waveMm: 0 }, lineBends: {}, twistMm: 0, kinks: [], zones: [], fallAwayMm: 0, seating, ...change };
}
