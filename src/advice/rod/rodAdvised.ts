import type { Neck } from "../../neck/neck.js";
import type { Measured } from "../../units/measured.js";
import type { UnitOrder } from "../../units/words.js";
import { advised, type Advice } from "../advice.js";
import type { ReliefProbabilities } from "./rodProbabilities.js";
import type { RodProfiles } from "./rodProfiles.js";
import type { RodReason, RodSaid } from "./rodReason.js";
import { rodReasonWords, saidWords } from "./rodReasonWords.js";
import type { RodTurns } from "./rodTurns.js";

/** What to do with the rod; `say first`: strung or bare, where that turns the answer round. */
export type RodDecision = "turn toward back bow" | "leave the rod" | "turn toward forward bow" | "not by this rod" | "read first" | "say first";

/** Rod advice with its numbers: relief in mm at the middle, positive forward bow. */
export type RodAdvice = Advice<RodDecision> & {
  readonly neck: Neck;
  /** The headline without the neck's name, what to do apart from what belongs to it. */
  readonly said: RodSaid;
  /** The reasons with their numbers, each of its kind; `reasons` are their words, in the same order. */
  readonly because: readonly RodReason[];
  readonly numbers?: {
    readonly now: Measured;
    /** With strings at pitch and the rod as it is. */
    readonly underStrings: Measured;
    readonly targetMm: readonly [min: number, max: number];
    /** Change of relief at the middle that brings it to the middle of the target; below 0 toward back bow. */
    readonly change: Measured;
    readonly probabilities: ReliefProbabilities;
    /** Fret at which the middle was read. */
    readonly at: string;
  };
  /** Which way round the nut is to go is told, so that the turn can be carried out. */
  readonly isWayKnown: boolean;
  /** How far to turn, where the rod's response is known. */
  readonly turns?: RodTurns;
  /** The neck now, with the rod turned, and with strings; absent where the readings determine no relief. */
  readonly profiles?: RodProfiles;
  /** Both answers, with `say first` alone; `numbers` and `profiles` are then the bare neck's. */
  readonly either?: { readonly bare: RodAdvice; readonly strung: RodAdvice };
};

/** Rod advice whose headline and reasons are worded from its data. */
export function rodAdvised(parts: Omit<RodAdvice, "headline" | "reasons" | "describe">, order: UnitOrder): RodAdvice {
  return advised({ ...parts, headline: `${parts.neck.name}: ${saidWords(parts.said)}`, reasons: parts.because.map((reason) => rodReasonWords(reason, order)) });
}
