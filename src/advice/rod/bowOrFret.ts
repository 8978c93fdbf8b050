import { joined } from "../../frets/lists.js";
import { unsplitBows, type UnsplitBow } from "../../frets/unsplitBow.js";
import type { Survey } from "../../survey/survey.js";
import type { Measured } from "../../units/measured.js";

/** Frets that may be high where the rod sees a back bow: three places of a line cannot tell, and a rod is not turned for a high fret. */
export function bowsOrFrets(survey: Survey, lines: readonly string[]): readonly UnsplitBow[] {
  return unsplitBows(survey).filter((bow) => bow.lines.some((line) => lines.includes(line)));
}

/** The relief if none of these frets is high, so that each stands up by the bow alone; the bow that is less sure gives the uncertainty. */
export function reliefIfStill(bows: readonly UnsplitBow[]): Pick<Measured, "value" | "u"> {
  return { value: -bows.reduce((sum, { up }) => sum + up.value / bows.length, 0), u: Math.max(...bows.map(({ up }) => up.u)) };
}

/** What to rock, and what each answer means. */
export function rockFirstWords(bows: readonly UnsplitBow[], isRodTheCure: boolean): { readonly rock: string; readonly answers: string } {
  const places = bows.map(({ fret, lines }) => `fret ${fret} on the ${joined(lines)} line${lines.length === 1 ? "" : "s"}`);
  const [still, rocks] = bows.length === 1 ? ["it is still", "it rocks"] : ["they are still", "one rocks"];
  return { rock: `Rock ${joined(places)}.`, answers: `If ${still}, it is back bow (middle high)${isRodTheCure ? " and the rod is the cure" : ": write that in the sheet and ask again"}; if ${rocks}, see to the fret first.` };
}
