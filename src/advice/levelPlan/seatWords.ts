import { fretsWords } from "../../frets/lists.js";
import { lengthWords, type UnitOrder } from "../../units/words.js";
import type { LevelPlan } from "./levelPlan.js";
import type { Levelling } from "./levelling.js";
import { reseatable } from "./problem.js";
import type { Saving } from "./savings.js";

/** The frets that a plan seats: those under whose crowns a gap was seen, and those that first have to be looked at. */
export type ToSeat = { readonly seen: readonly number[]; readonly look: readonly number[] };

/** The frets that a plan seats, told apart. */
export function toSeat({ gapSeen }: Levelling, { reseat }: LevelPlan): ToSeat {
  return { seen: reseat.filter((fret) => gapSeen.includes(fret)), look: reseat.filter((fret) => !gapSeen.includes(fret)) };
}

/** `if a leaf goes under frets 9 and 14, seat them, then `; empty where nothing is to be seated. */
export function seatFirstWords(posed: Levelling, plan: LevelPlan): string {
  const { seen, look } = toSeat(posed, plan);
  const seat = seen.length === 0 ? "" : `seat ${fretsWords(seen)}, ${look.length === 0 ? "" : "and "}`;
  const them = look.length === 1 ? "it" : "them";
  return seen.length + look.length === 0 ? "" : `${seat}${look.length === 0 ? "" : `if a leaf goes under ${fretsWords(look)}, seat ${them}, `}then `;
}

/** What to do today with the frets that may be off the board, sentence by sentence; none where there are none. */
export function seatSentences(posed: Levelling, plan: LevelPlan): readonly string[] {
  const { seen, look } = toSeat(posed, plan);
  const others = reseatable(posed.problem).filter((fret) => !plan.reseat.includes(fret));
  const looked = [...look, ...others].sort((a, b) => a - b);
  if (seen.length + looked.length === 0) return [];
  const how = "light taps through a shaped caul, the neck supported right under the fret";
  const seat = seen.length === 0 ? [] : [`Strings off. Seat ${fretsWords(seen)}, where a gap was seen: ${how}.`];
  const leaf = looked.length === 0 ? [] : [`${seen.length === 0 ? "Strings off. " : ""}A thin leaf under the crown of ${fretsWords(looked)} where it stands up; write down what goes. Seat what moves${seen.length === 0 ? `: ${how}` : " likewise"}. Where no leaf goes the fret is home: it is filed, not tapped.`];
  return [...seat, ...leaf, "Rock over each and its neighbours: still. Read the neck again: seating moves it.", "Stop here and ask for a new plan."];
}

/** What seating a fret first saves: `fret 9, 0.10 mm (3.8 thou) there (treble)`. */
export function savesWords(saving: Saving, order: UnitOrder): string {
  if (saving.status === "needed") return `fret ${saving.fret}, without which there is no plan`;
  const typical = saving.typicalMm >= TOLD_MM ? ` and ${lengthWords(saving.typicalMm, order)} at most tops` : "";
  return `fret ${saving.fret}, ${lengthWords(saving.mostMm, order)} ${saving.mostAt.fret === saving.fret ? `there (${saving.mostAt.line})` : `at fret ${saving.mostAt.fret}, ${saving.mostAt.line}`}${typical}`;
}

const TOLD_MM = 0.005;

