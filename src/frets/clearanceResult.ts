import type { Measured } from "../units/measured.js";
import type { UnitOrder } from "../units/words.js";
import type { CureShare } from "./curePair.js";
import type { PressedPair } from "./cure.js";
import type { FretInTheWay } from "./fretsFirst.js";
import type { CureKind } from "./cures.js";

/** How much of one change cures the least clearance, or that none does and which pair of frets decides that. */
export type CureFound = {
  readonly by: CureKind;
  /** The fret that is taken down, where a single one is. */
  readonly fret?: number;
} & (
  | { readonly status: "cures"; readonly amount: Measured; /** Share of the draws in which it cures at all. */ readonly probability: number }
  | { readonly status: "no cure"; readonly decidedBy: PressedPair }
);

/** What a string clears on one line when it is pressed at each fret. */
export type Clearance =
  | {
      readonly status: "determined";
      readonly line: string;
      readonly wantedMm: number;
      /** The least of all, mm; negative where a crown stands in the way of the string. Where it is made: pressed at one fret, over another. */
      readonly least: Measured;
      readonly pressedAt: number;
      readonly at: number;
      /** Probability that the least is under what is wanted, and that the string touches. */
      readonly probabilityShort: number;
      readonly probabilityTouches: number;
      /** The best estimate for every fret pressed. */
      readonly each: readonly { readonly pressedAt: number; readonly at: number; readonly leastMm: number }[];
      /** Frets that make it short and that the fret report wants seated, levelled or looked under: they come first, and cures are worked out as if they were done. */
      readonly fretsFirst: readonly FretInTheWay[];
      /** What is least then; absent where no fret comes first. */
      readonly afterwards?: { readonly leastMm: number; readonly pressedAt: number; readonly at: number };
      /** What would cure it, one by one; empty where the best estimate is as wanted, or is as soon as the frets that come first are done. */
      readonly cures: readonly CureFound[];
      /** The two changes that would cure the best estimate together, where none but a higher saddle does alone; the saddle is one of them only where it does not alone either. */
      readonly pair?: readonly [CureShare, CureShare];
      readonly describe: (order?: UnitOrder) => string;
    }
  | { readonly status: "undetermined"; readonly line: string; readonly need: string; readonly describe: (order?: UnitOrder) => string };
