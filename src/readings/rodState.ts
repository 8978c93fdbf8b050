import type { TrussRod } from "../neck/neck.js";

/** Which way a nut was turned, as a builder says it: by the clock seen from the wrench's end, or by what it does to the neck. */
export type RodWay = "clockwise" | "anticlockwise" | "toward back bow" | "toward forward bow";

/** Where the rod stands, read from the words of a survey's state. */
export type RodPosition =
  | { readonly kind: "neutral" }
  /** The nut is loose: the rod bears on nothing. */
  | { readonly kind: "slack" }
  | { readonly kind: "turned"; /** Turns from neutral, above 0. */ readonly turns: number; readonly way: RodWay }
  /** Turned, but which way or how far was not said. */
  | { readonly kind: "unclear"; readonly words: string };

const WAYS: readonly (readonly [pattern: RegExp, way: RodWay])[] = [
  [/\b(anti|counter)-?\s?clockwise\b|\bccw\b|\bto the left\b/i, "anticlockwise"],
  [/\bclockwise\b|\bcw\b|\bto the right\b/i, "clockwise"],
  [/\bback ?bow\b|\btight(er|ened)?\b|\bless relief\b/i, "toward back bow"],
  [/\bforward ?bow\b|\bloos(er|ened)\b|\bmore relief\b/i, "toward forward bow"],
];

const WORDED: Readonly<Record<string, number>> = { "an eighth": 1 / 8, "one eighth": 1 / 8, "a quarter": 1 / 4, "one quarter": 1 / 4, "three eighths": 3 / 8, "a half": 1 / 2, "half a": 1 / 2, half: 1 / 2, "three quarters": 3 / 4, "a full": 1, "one full": 1, one: 1, a: 1, two: 2 };

/**
 * Reads where a rod stands: `neutral`, `slack`, `1/4 turn clockwise`, `0.5 turns toward back bow`, `half a turn tighter`.
 * @param words the rod's part of a survey's state; absent means neutral, as the sheet's `assumed` says
 * @example equal(rodPosition("1/4 turn clockwise from neutral"), { kind: "turned", turns: 0.25, way: "clockwise" });
 * @example equal(rodPosition("slack"), { kind: "slack" });
 */
export function rodPosition(words: string | undefined): RodPosition {
  const text = (words ?? "neutral").trim();
  if (/\bturns?\b/i.test(text)) {
    const turns = turnsIn(text);
    const way = WAYS.find(([pattern]) => pattern.test(text))?.[1];
    if (turns === 0) return { kind: "neutral" };
    return turns === undefined || way === undefined ? { kind: "unclear", words: text } : { kind: "turned", turns, way };
  }
  if (/\b(slack|loose)\b/i.test(text)) return { kind: "slack" };
  return /\bneutral\b/i.test(text) ? { kind: "neutral" } : { kind: "unclear", words: text };
}

/** More turns than any nut has are a slip of the pen. */
const MOST_TURNS = 20;

function turnsIn(text: string): number | undefined {
  const before = /^(.*?)\s*-?\s*\bturns?\b/i.exec(text)?.[1] ?? "";
  const digits = /(\d+)\s+(\d+)\/(\d+)\s*(?:of a)?$|(\d+)\/(\d+)\s*(?:of a)?$|(\d+(?:[.,]\d+)?)\s*(?:of a)?$/i.exec(before);
  const worded = Object.entries(WORDED).sort(([a], [b]) => b.length - a.length).find(([name]) => new RegExp(`\\b${name}(?: of a)?$`, "i").test(before))?.[1];
  const number = (index: number): number => Number((digits?.[index] ?? "0").replace(",", "."));
  const turns = digits === null ? worded : digits[1] !== undefined ? number(1) + number(2) / number(3) : digits[4] !== undefined ? number(4) / number(5) : number(6);
  return turns !== undefined && Number.isFinite(turns) && turns <= MOST_TURNS ? turns : undefined;
}

/**
 * Turns from neutral with a sign: above 0 toward back bow, below 0 toward forward bow.
 * @returns undefined for a slack rod, for words that are unclear, and for a turn by the clock where the neck file does not say which way gives more relief
 * @example near(turnsTowardBackBow({ kind: "turned", turns: 0.25, way: "clockwise" }, { moreRelief: "anticlockwise" }) ?? NaN, 0.25, { abs: 1e-12 });
 */
export function turnsTowardBackBow(position: RodPosition, rod: Pick<TrussRod, "moreRelief"> | undefined): number | undefined {
  if (position.kind === "neutral") return 0;
  if (position.kind !== "turned") return undefined;
  const { turns, way } = position;
  if (way === "toward back bow") return turns;
  if (way === "toward forward bow") return -turns;
  return rod?.moreRelief === undefined ? undefined : way === rod.moreRelief ? -turns : turns;
}

/** Turns from neutral by the clock: above 0 clockwise; undefined where that cannot be said. */
export function turnsClockwise(position: RodPosition, rod: Pick<TrussRod, "moreRelief"> | undefined): number | undefined {
  if (position.kind === "neutral") return 0;
  if (position.kind !== "turned") return undefined;
  if (position.way === "clockwise") return position.turns;
  if (position.way === "anticlockwise") return -position.turns;
  const towardBack = turnsTowardBackBow(position, rod);
  return towardBack === undefined || rod?.moreRelief === undefined ? undefined : rod.moreRelief === "clockwise" ? -towardBack : towardBack;
}
