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

const WHOLE: Readonly<Record<string, number>> = { a: 1, an: 1, one: 1, two: 2, three: 3, four: 4 };
const PART: Readonly<Record<string, number>> = { eighth: 1 / 8, "three eighths": 3 / 8, "five eighths": 5 / 8, "seven eighths": 7 / 8, quarter: 1 / 4, "three quarters": 3 / 4, half: 1 / 2 };

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

/** Words beside the amount that say nothing of it. */
const BESIDE = /\b(nut|rod|at|about|roughly|turned|now|full|whole|of|anti-?\s?clockwise|counter-?\s?clockwise|clockwise|ccw|cw)\b/gi;

/** The amount before the word turn, where all that stands there is understood; a minus, or a second turn, is not. */
function turnsIn(text: string): number | undefined {
  const [before = "", , ...others] = text.split(/(\bturns?\b)/i);
  if (others.some((part) => /^turns?$/i.test(part))) return undefined;
  const turns = amountOf(before.replace(BESIDE, " ").replace(/\s+/g, " ").trim().toLowerCase());
  return turns !== undefined && Number.isFinite(turns) && turns <= MOST_TURNS ? turns : undefined;
}

function amountOf(written: string): number | undefined {
  const text = written.replace(/(?<=\S)\s+an?$/, "");
  const mixed = /^(.+?)(?: and |\s+|-)(\d+\/\d+|(?:an? |one )?[a-z ]+)$/.exec(text);
  return partOf(text) ?? wholeOf(text) ?? (mixed === null ? undefined : sumOf(wholeOf(mixed[1] ?? ""), partOf(mixed[2] ?? "")));
}

function sumOf(a: number | undefined, b: number | undefined): number | undefined {
  return a === undefined || b === undefined ? undefined : a + b;
}

function wholeOf(text: string): number | undefined {
  return /^\d+(?:[.,]\d+)?$/.test(text) ? Number(text.replace(",", ".")) : Object.hasOwn(WHOLE, text) ? WHOLE[text] : undefined;
}

function partOf(text: string): number | undefined {
  const fraction = /^(\d+)\/(\d+)$/.exec(text);
  if (fraction !== null) return Number(fraction[1]) / Number(fraction[2]);
  const name = text.replace(/^(?:an?|one)\s+/, "").replace(/\s+an?$/, "");
  return Object.hasOwn(PART, name) ? PART[name] : undefined;
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
