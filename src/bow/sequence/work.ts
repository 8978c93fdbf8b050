import type { Clamp } from "../cases/gluing.js";

/** A cause of the user's own: it adds a bow that was seen elsewhere, or lets board and neck want to be longer by unlike strains (wet glue, say). */
export type NamedExtra =
  | { readonly named: string; readonly reliefMm: number }
  | { readonly named: string; readonly boardStrain: number; readonly neckStrain: number };

/** The order of work of one neck. What is left out is not done. */
export type OrderOfWork = {
  /** No order is the default. */
  readonly frets: "before glue-up" | "after glue-up";
  /**
   * Relief that the board had by itself before it was fretted or glued, mm over the neck's span, positive is forward bow, taken as an even curve; 0 where not said.
   * What its frets do comes on top.
   */
  readonly boardReliefMm?: number;
  /** How the parts were held while the glue set; flat where not said. */
  readonly clamp?: Clamp;
  /** Turns of the rod from slack; above 0 tightens toward back bow, below 0 is the other way of a rod that works both ways. */
  readonly rodTurns?: number;
  readonly strings?: boolean;
  /** Let the seasons change as the unknowns `boardSeasonStrain` and `neckSeasonStrain` say. */
  readonly season?: boolean;
  /** Let what rod and strings did grow with the years, by the unknown `settling`: 1.0 to 2.0 times. */
  readonly years?: boolean;
  readonly extras?: readonly NamedExtra[];
};

/** The stages of an order of work, in the order in which they come; those not done are left out. */
export type StageName = "fretted board" | "glue-up" | "frets pressed" | "rod" | "strings" | "season" | "years" | "own cause";

/** What a stage is called in a builder's words. */
export const STAGE_WORDS: Readonly<Record<StageName, string>> = {
  "fretted board": "the fretted board, not glued",
  "glue-up": "glued up and let go",
  "frets pressed": "frets pressed into the glued neck",
  rod: "rod turned",
  strings: "strings at pitch",
  season: "after the season's change",
  years: "after years under load",
  "own cause": "with your own cause",
};

/**
 * What in an order of work is no number, in words; undefined where all is well.
 * @example equal(unsoundWork({ frets: "before glue-up", rodTurns: Number.NaN }), "rodTurns: expected a finite number, got NaN");
 */
export function unsoundWork({ boardReliefMm, rodTurns, clamp, extras }: OrderOfWork): string | undefined {
  const numbers: readonly (readonly [string, number | undefined])[] = [
    ["boardReliefMm", boardReliefMm], ["rodTurns", rodTurns],
    ["clamp.reliefMm", clamp?.kind === "bent" ? clamp.reliefMm : undefined], ["clamp.shareOfBoardBow", clamp?.kind === "caul" ? clamp.shareOfBoardBow : undefined],
    ...(extras ?? []).flatMap((extra): readonly (readonly [string, number])[] =>
      "boardStrain" in extra ? [[`extras "${extra.named}"`, extra.boardStrain], [`extras "${extra.named}"`, extra.neckStrain]] : [[`extras "${extra.named}"`, extra.reliefMm]]),
  ];
  const bad = numbers.find(([, value]) => value !== undefined && !Number.isFinite(value));
  return bad && `${bad[0]}: expected a finite number, got ${bad[1] ?? ""}`;
}
