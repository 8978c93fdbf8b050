import { readNeck } from "../../src/neck/neckFile.js";
import type { Neck } from "../../src/neck/neck.js";
import { problemSentence, valueOrThrow, type Outcome } from "../../src/units/problem.js";

/** 25 in scale, 22 frets, nut; invented. */
export const NECK: Neck = valueOrThrow(readNeck({ name: "Ash", scaleLength: "25 in", frets: 22, bodyJoint: 16 }), "neck");

/** The same with a zero fret. */
export const ZERO_FRET_NECK: Neck = { ...NECK, zeroFret: true };

/** The value, or a failure that tells the problems. */
export function read<T>(outcome: Outcome<T>): T {
  return valueOrThrow(outcome, "readings");
}

/** Every problem of an outcome as its sentence; none where it was read. */
export function complaints(outcome: Outcome<unknown>): readonly string[] {
  return outcome.status === "read" ? [] : outcome.problems.map(problemSentence);
}
