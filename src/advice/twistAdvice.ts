import type { Twist } from "../shape/twist.js";
import type { UnitOrder } from "../units/words.js";

/** Twist in one sentence or two: which side is turned up toward which end, and what to do where it is over the limit or may be. Nothing where it was not determined. */
export function twistAdvice(twist: Twist, order: UnitOrder): readonly string[] {
  if (twist.status === "undetermined") return [];
  return [[twist.describe(order), ...WHAT_TO_DO[twist.within]].join(" ")];
}

/** Twist that is surely over the limit belongs in the headline: `twisted, the treble side turned up toward fret 22`. */
export function twistHeadline(twist: Twist): string {
  if (twist.status === "undetermined" || twist.within !== "no") return "";
  return `, and twisted beyond the limit, the ${twist.twist.value < 0 ? "bass" : "treble"} side turned up toward fret ${twist.to.label}`;
}

const NO_ROD = "The rod cannot cure twist: it bends both sides alike.";

const WHAT_TO_DO: Readonly<Record<Extract<Twist, { status: "determined" }>["within"], readonly string[]>> = {
  yes: [],
  open: [`${NO_ROD} Exchange the two bars and sight it again before you decide.`],
  no: [`${NO_ROD} Exchange the two bars and sight it again; if it stays, do not go on to glue or string: a free board is flattened, on a neck the board is planed true with the frets out, and only as much as the crowns allow is levelled out of the frets (common practice, no source). Dust harms lungs: extraction, and a mask that fits.`],
};
