import { magnitude } from "../../shape/drawn.js";
import type { Survey } from "../../survey/survey.js";
import type { Measured } from "../../units/measured.js";
import { measuredWords, type UnitOrder } from "../../units/words.js";

/** Twist of what was read, from its first to its last place. */
export type BoardTwist =
  | { readonly status: "determined"; /** mm over the width, positive where the treble side is turned up toward the far end. */ readonly twist: Measured; readonly describe: (order?: UnitOrder) => string }
  | { readonly status: "undetermined"; readonly need: string; readonly describe: () => string };

/** Twist between the first and the last place read. */
export function boardTwist(survey: Survey): BoardTwist {
  const places = survey.datum.flatMap(({ from, to }) => [from, to]).sort((a, b) => a.xMm - b.xMm);
  const [first, last] = [places[0], places.at(-1)];
  if (survey.twist.status === "undetermined" || first === undefined || last === undefined) {
    const need = survey.twist.status === "undetermined" ? survey.twist.need : "lay two sighting bars at fret 1 and the last fret";
    return { status: "undetermined", need, describe: () => "Twist: not determined by these readings." };
  }
  const twist = survey.linear(survey.twist.between(first.xMm, last.xMm));
  const side = twist.value < 0 ? "bass" : "treble";
  return { status: "determined", twist, describe: (order: UnitOrder = "mm first") => `Twist from place ${first.label} to place ${last.label}: the ${side} side turned up by ${measuredWords(magnitude(twist), order)}.` };
}
