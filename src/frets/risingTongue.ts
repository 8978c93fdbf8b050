import { limitsOf } from "../neck/limits.js";
import { turned } from "../shape/drawn.js";
import { tongues } from "../shape/tongue.js";
import type { Tongue } from "../shape/tongue.js";
import type { Survey } from "../survey/survey.js";
import { giveOrTakeMm, lengthWords, measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";

/** A tongue that rises over the line of the neck. */
export type RisingTongue = Extract<Tongue, { overBow: unknown }>;

/**
 * The tongue on the line where it rises most beyond what the neck's bow would lift it; undefined where it surely rises by no more than a fret may stand
 * up: a neck in forward bow lifts its tongue too, and a rod that takes out the one takes out the other.
 */
export function risingTongue(survey: Survey): RisingTongue | undefined {
  const limitMm = limitsOf(survey.neck).highMm;
  const rising = tongues(survey).flatMap((tongue) => (tongue.status === "rises" && tongue.overBow.low95 > limitMm ? [tongue] : []));
  return rising.sort((a, b) => b.overBow.value - a.overBow.value)[0];
}

/** Where the tongue rises, by how much, what cannot cure it and what can; nothing where it does not. */
export function risingTongueWords(survey: Survey, order: UnitOrder): readonly string[] {
  const tongue = risingTongue(survey);
  if (tongue === undefined) return [];
  const { line, at, joint, fall, overBow } = tongue;
  const beyond = `${lengthWords(overBow.value, order)}, give or take ${lengthWords(giveOrTakeMm(overBow), order)}, more than the bow of the neck carried on would lift it`;
  return [
    `The tongue rises beyond the body joint (fret ${joint.label}): at fret ${at.label}, ${line} line, the neck line stands ${measuredWords(turned(fall), order)} above the straight line from fret 1 through the joint, ${beyond}. High notes may choke there.`,
    "The rod does not reach the tongue, and no single fret of it is to be filed: bring the neck to its relief, read it again, and take what still rises off as fall-away in a levelling (notebook 05), or out of the board with the frets out.",
  ];
}
