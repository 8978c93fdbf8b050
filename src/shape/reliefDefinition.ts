import type { Measured } from "../units/measured.js";
import type { UnitOrder } from "../units/words.js";
import type { Place } from "../readings/reading.js";

/**
 * What is meant by relief, a closed list in this order.
 * `neckLine`: the smooth line of the fret tops against its own chord, high and low frets apart; the verdict uses this.
 * `chordExtreme`: the fret tops themselves against the chord of the first and the last of them, signed.
 * `fret1ToJointMiddle`: the one fret top nearest mid-way between fret 1 and the body joint against the chord of those two, as seen under a string held down at both.
 * `gapBelow`: the largest gap below a straight edge that rests on the fret tops, between the two frets it bears on; never negative, so it cannot show a back bow.
 */
export type ReliefDefinition = "neckLine" | "chordExtreme" | "fret1ToJointMiddle" | "gapBelow";

/** The four definitions, in the order in which they are told. */
export const RELIEF_DEFINITIONS: readonly ReliefDefinition[] = ["neckLine", "chordExtreme", "fret1ToJointMiddle", "gapBelow"];

/**
 * Relief of one line. Positive is forward bow (middle low), negative back bow (middle high).
 * `at` is the fret nearest to where the line lies farthest from its chord.
 */
export type Relief =
  | {
      readonly status: "determined";
      readonly line: string;
      readonly definition: ReliefDefinition;
      readonly relief: Measured;
      readonly at: Place;
      readonly from: Place;
      readonly to: Place;
      /** The readings reach from fret 1 to the body joint, or to the last fret where no joint was stated. */
      readonly reached: boolean;
      /** Probability that the relief is forward bow. */
      readonly probabilityForward: number;
      /** Where, how much and which way, give or take, in a builder's words. */
      readonly describe: (order?: UnitOrder) => string;
    }
  | { readonly status: "undetermined"; readonly line: string; readonly definition: ReliefDefinition; readonly need: string; readonly describe: () => string };
