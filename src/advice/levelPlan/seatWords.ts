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

/** The frets to seat today where a gap was seen, and those to try a leaf under, planned to be seated or not. */
export function forToday(posed: Levelling, plan: LevelPlan): ToSeat {
  const { seen, look } = toSeat(posed, plan);
  return { seen, look: [...look, ...reseatable(posed.problem).filter((fret) => !plan.reseat.includes(fret))].sort((a, b) => a - b) };
}

/** Whether frets are to be seated, or looked under, first: then the levelling is another day's, and another plan's. */
export function isSeatingDay(posed: Levelling, plan: LevelPlan): boolean {
  const { seen, look } = forToday(posed, plan);
  return seen.length + look.length > 0;
}

/** What to do on such a day, in one sentence or two. */
export function seatHeadline(posed: Levelling, plan: LevelPlan): string {
  const { seen, look } = forToday(posed, plan);
  const seat = seen.length === 0 ? [] : [`seat ${fretsWords(seen)}`];
  const leaf = look.length === 0 ? [] : [`if a leaf goes under ${fretsWords(look)}, seat ${look.length === 1 ? "it" : "them"}`];
  return `Today: ${[...seat, ...leaf].join("; ")}; then read the neck again. Levelling waits for a new plan.`;
}

/** How much comes off is not said on that day. */
export const LATER = "How much comes off then, and where, only the new plan can say: seating moves the neck.";

/** What to do today with the frets that may be off the board, sentence by sentence. */
export function seatSentences(posed: Levelling, plan: LevelPlan): readonly string[] {
  const { seen, look } = forToday(posed, plan);
  const how = "light taps through a shaped caul, the neck supported right under the fret";
  const seat = seen.length === 0 ? [] : [`Strings off. Seat ${fretsWords(seen)}, where a gap was seen: ${how}.`];
  const leaf = look.length === 0 ? [] : [`${seen.length === 0 ? "Strings off. " : ""}A thin leaf under the crown${look.length === 1 ? "" : "s"} of ${fretsWords(look)} where ${look.length === 1 ? "it stands" : "they stand"} up; write down what goes. Seat what moves${seen.length === 0 ? `: ${how}` : " likewise"}. Where no leaf goes the fret is home: do not tap it, and do not file it today.`];
  return [...seat, ...leaf, "Rock over each and its neighbours: still. Read the neck again: seating moves it.", "Stop here and ask for a new plan."];
}

/** What seating a fret first saves: `fret 9, 0.10 mm (3.8 thou) there (treble)`. */
export function savesWords(saving: Saving, order: UnitOrder): string {
  if (saving.status === "needed") return `fret ${saving.fret}, without which there is no plan`;
  const typical = saving.typicalMm >= TOLD_MM ? ` and ${lengthWords(saving.typicalMm, order)} at most tops` : "";
  return `fret ${saving.fret}, ${lengthWords(saving.mostMm, order)} ${saving.mostAt.fret === saving.fret ? `there (${saving.mostAt.line})` : `at fret ${saving.mostAt.fret}, ${saving.mostAt.line}`}${typical}`;
}

const TOLD_MM = 0.005;

