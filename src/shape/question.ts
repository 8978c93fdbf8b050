import type { Place } from "../readings/reading.js";
import type { NextReading } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import type { WantedRelief } from "./wantedRelief.js";

/**
 * What a builder asks of a survey. `relief`: how much relief on a line. `fret`: is this fret high there. `rod`: which way to turn the rod,
 * for a relief between two limits (unless said the shop's: of relief where the strings were on, of a bare neck's bow either way otherwise).
 */
export type Question =
  | { readonly about: "relief"; readonly line: string }
  | { readonly about: "fret"; readonly line: string; readonly fret: number }
  | { readonly about: "rod"; readonly line: string; readonly wantedMm?: { readonly low: number; readonly high: number } };

/** What a decision is as the readings stand, and how likely it is to be the right one. */
export type Decision = {
  readonly choice: "high" | "not high" | "more relief" | "less relief" | "leave it";
  readonly probability: number;
  /** The relief that the rod was judged by, mm, and as what: as it was asked for, or by the shop's limits for a bare neck or under strings. */
  readonly wanted?: { readonly lowMm: number; readonly highMm: number; readonly judged: "as asked" | WantedRelief["judged"] };
};

/** The reading that still gains most where none gains much, or where none changes the decision. */
export type StillBest = { readonly tool: "straightedge" | "rocker" | "sightingBars"; readonly line: string; readonly at: Place; readonly uThenMm: number };

/** The one reading to take next for a question, or why there is none. */
export type ReadNext =
  | {
      readonly status: "read";
      readonly question: Question;
      readonly reading: Extract<NextReading, { status: "worthwhile" }>;
      /** Give or take of the asked number now, and expected after the reading, mm. */
      readonly nowMm: number;
      readonly thenMm: number;
      readonly decision?: Decision;
      /** Chance that the reading changes the decision; absent where nothing is decided. */
      readonly chanceOfChange?: number;
      readonly describe: (order?: UnitOrder) => string;
    }
  /** No further reading changes the decision. */
  | { readonly status: "decided"; readonly question: Question; readonly decision: Decision; readonly chanceOfChange: number; readonly best?: StillBest; readonly describe: (order?: UnitOrder) => string }
  | { readonly status: "little to gain"; readonly question: Question; readonly nowMm: number; /** How much of it, mm, is the edge's own bow, where that is most of it. */ readonly edgeMm?: number; readonly decision?: Decision; readonly best?: StillBest; readonly describe: (order?: UnitOrder) => string }
  | { readonly status: "undetermined"; readonly question: Question; readonly need: string; readonly describe: (order?: UnitOrder) => string };

/** A result before it has its words. */
export type Untold<T> = T extends { readonly describe: unknown } ? Omit<T, "describe"> : never;
