import type { UnsplitBow } from "../../frets/unsplitBow.js";
import type { StringsState } from "../../readings/stringsState.js";
import type { Measured } from "../../units/measured.js";
import type { LineRelief } from "./rodLines.js";
import type { RodTurns } from "./rodTurns.js";

/** A headline without the neck's name: what to do in a sentence or two, and what belongs to it where there is room. */
export type RodSaid = { readonly inShort: string; readonly more?: string };

/** What is wanted of the relief at the middle, mm: asked for, or by the shop's limits; `isAssumed` where common practice stands in for one of those. */
export type RodWanted = { readonly judged: "asked" | "bare" | "under strings"; readonly minMm: number; readonly maxMm: number; readonly isAssumed?: boolean };

/** Where a relief that no rod mends lies, and by how much it misses what is wanted, mm above 0. */
export type RodMiss = { readonly lies: "too much" | "short" | "back bow"; readonly byMm: number; /** On, or reckoned with. */ readonly areStringsOn: boolean };

/**
 * One reason of rod advice with its numbers, told apart by `kind`; `rodReasonWords` has the words of all of them. Lengths in mm, relief positive forward bow.
 * `hasRod` is false of a neck whose file says that it has none.
 */
export type RodReason =
  | { readonly kind: "relief now"; readonly relief: Measured; readonly at: string; readonly lines: readonly string[] }
  | { readonly kind: "strings"; readonly state: StringsState; /** How the sheet says it. */ readonly written: string; /** What they are expected to add. */ readonly added?: Measured; readonly under: Measured; readonly hasRod: boolean }
  | ({ readonly kind: "wanted" } & RodWanted)
  | { readonly kind: "after the turn, bare"; readonly bareMm: number; readonly strungMm: number }
  | { readonly kind: "how far, once the way is known"; readonly turns?: RodTurns }
  | { readonly kind: "nut unclear"; readonly written: string }
  | { readonly kind: "nut at its end" }
  | { readonly kind: "file against test"; readonly fileSays: string }
  | { readonly kind: "twist first"; readonly hasRod: boolean }
  | { readonly kind: "lines wide apart"; readonly least: string; readonly most: string; readonly apart: Measured; readonly wantedWidthMm: number; /** The reading that would show a twist; absent where it was read. */ readonly twistNeed?: string; readonly hasRod: boolean }
  | { readonly kind: "lines on both sides"; readonly hasRod: boolean }
  | ({ readonly kind: "line outside"; readonly hasRod: boolean } & Pick<LineRelief, "line" | "relief" | "lies">)
  | { readonly kind: "no rod" }
  | ({ readonly kind: "without a rod" } & RodMiss)
  | { readonly kind: "does not work"; readonly way: "toward back bow" }
  | { readonly kind: "only lets go"; readonly isTested: boolean }
  | ({ readonly kind: "nothing to let go"; readonly isTested: boolean; /** Absent where nobody said where the nut stands. */ readonly stands?: "neutral" | "slack" } & RodMiss)
  | { readonly kind: "bow or fret"; readonly bow: UnsplitBow }
  /** A reading that was set aside, contradicts others, or is too wide for a neck: as the survey tells it. */
  | { readonly kind: "set aside" | "contradiction" | "unlikely gap"; readonly sentence: string }
  | { readonly kind: "contradiction decides nothing"; /** Ways to resolve it, each reading that may be the slip left out in turn. */ readonly ways: number; /** By how much the change of the middle differs between them, at most. */ readonly differsMm: number }
  | { readonly kind: "first either way" }
  | { readonly kind: "same if strung"; /** What the middle is then to move, where a rod is turned. */ readonly change?: Measured; /** By what it then misses what is wanted, where there is no rod. */ readonly miss?: RodMiss }
  | { readonly kind: "strings to be given" }
  | { readonly kind: "if strung" | "if bare"; readonly said: RodSaid }
  | { readonly kind: "ask again" };
