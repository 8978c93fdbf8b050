/** Steps above A of the octave, by letter. */
const STEPS: Readonly<Record<string, number>> = { C: -9, D: -7, E: -5, F: -4, G: -2, A: 0, B: 2 };

/** Concert pitch (ISO 16). */
const A4_HZ = 440;

/**
 * Frequency of a note in equal temperament, A4 = 440 Hz.
 * @param note letter, sharp or flat, octave: `E2`, `F#3`, `Bb1`
 * @returns Hz
 * @throws {RangeError} text that is no note with an octave
 * @source definition of equal temperament; checked in tests/published/
 * @example near(noteFrequencyHz("E2"), 82.41, { abs: 0.005 });
 */
export function noteFrequencyHz(note: string): number {
  const match = /^([A-Ga-g])([#b]?)(-?\d)$/.exec(note.trim());
  const steps = STEPS[(match?.[1] ?? "").toUpperCase()];
  if (match === null || steps === undefined) throw new RangeError(`Cannot tell the pitch of "${note}": expected a note with its octave, as E2 or F#3`);
  const sharp = match[2] === "#" ? 1 : match[2] === "b" ? -1 : 0;
  return A4_HZ * 2 ** ((steps + sharp) / 12 + Number(match[3]) - 4);
}
