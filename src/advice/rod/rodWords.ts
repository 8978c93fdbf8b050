import type { TrussRod } from "../../neck/neck.js";
import { betweenWords, turnWords } from "./rodTest.js";
import type { RodTurns } from "./rodTurns.js";

/** Which way to turn the nut, as far as the neck file says which way does what. */
export function nutWords(rod: Pick<TrussRod, "moreRelief"> | undefined, way: "turn toward back bow" | "turn toward forward bow" | "read first"): string {
  if (rod?.moreRelief === undefined) return way === "turn toward back bow" ? "turn the rod toward back bow (tighter)" : "turn the rod toward forward bow (looser)";
  const other = rod.moreRelief === "clockwise" ? "anticlockwise" : "clockwise";
  return `turn the nut ${way === "turn toward back bow" ? other : rod.moreRelief} (seen from the wrench's end)`;
}

/** The same in a word, for a card: `nut clockwise`, or `tighter` where the neck file does not say. */
export function rodTurnWords(rod: Pick<TrussRod, "moreRelief"> | undefined, way: "turn toward back bow" | "turn toward forward bow"): string {
  if (rod?.moreRelief === undefined) return way === "turn toward back bow" ? "tighter" : "looser";
  const other = rod.moreRelief === "clockwise" ? "anticlockwise" : "clockwise";
  return `nut ${way === "turn toward back bow" ? other : rod.moreRelief} (from the wrench's end)`;
}

/** What to try where it is not known which way the nut works; empty where it is. */
export function unknownNutWords(rod: Pick<TrussRod, "moreRelief"> | undefined): string {
  return rod?.moreRelief === undefined ? "Which way the nut works is not known yet. To learn it, and for no more than that: an eighth of a turn toward where it turns easily, anticlockwise first, strings let down if it is stiff; read which way the middle went; back to where it was if nothing moves." : "";
}

/** How far, step by step; and what to do where it is not known which way the nut works. */
export function turningWords(turns: RodTurns | undefined, rod: Pick<TrussRod, "moreRelief"> | undefined): string {
  const unknown = rod?.moreRelief === undefined ? ` ${unknownNutWords(rod)}` : "";
  if (turns === undefined) return `How far is not known for this rod: turn an eighth, wait, read the middle again; what it moved tells how far to go.${unknown}`;
  const { inAll, firstStep, from } = turns;
  const all = `In all about ${turnWords(inAll.value)}${betweenWords(inAll)}, from ${from === "rod test" ? "this rod's own test" : "the bow model"}`;
  const step = firstStep < 1 / 8 ? "less than an eighth of a turn" : turnWords(firstStep);
  return `${all}: first ${step}, wait, read again, then go on from what that moved.${unknown}`;
}
