import type { Neck } from "../neck/neck.js";
import { acrossMm, widthMm } from "../neck/surface.js";
import { datumFixed, TWIST_NEED } from "./datumFreedom.js";
import type { Usable } from "./model/stations.js";
import type { HeightTerm, SurveyTwist } from "./survey.js";

/**
 * Twist between two places as terms for `survey.linear` and `survey.draws`: how far the treble edge of the board at `toMm` stands over where it
 * would stand if the board were as level across as it is at `fromMm`, mm over the width at `toMm`. Positive: turned up at the treble side.
 * Bars laid across the outermost lines are compared as angles, since the board widens: a plain difference of heights would change when the neck rolls.
 * @throws {RangeError} a neck with one line
 */
export function twistTerms(neck: Neck, fromMm: number, toMm: number): readonly HeightTerm[] {
  const [bass, treble] = [neck.lines[0], neck.lines.at(-1)];
  if (treble === undefined || bass.name === treble.name) throw new RangeError("Cannot give twist: expected a neck with two lines or more");
  const share = (xMm: number): number => widthMm(neck, toMm) / (acrossMm(neck, treble, xMm) - acrossMm(neck, bass, xMm));
  return ([[toMm, 1], [fromMm, -1]] as const).flatMap(([xMm, sign]): readonly HeightTerm[] => [
    { of: "neckLine", line: treble.name, xMm, weight: sign * share(xMm) }, { of: "neckLine", line: bass.name, xMm, weight: -sign * share(xMm) },
  ]);
}

/** Whether the readings of a survey fix the twist of its neck line, with the terms that ask for it. */
export function twistOf(neck: Neck, usable: Usable, survey: number): SurveyTwist {
  const [start, end] = [usable.stations[0]?.xMm ?? 0, usable.stations.at(-1)?.xMm ?? 1];
  if (neck.lines.length < 2 || !datumFixed(neck, usable, twistTerms(neck, start, end).map((term) => ({ ...term, survey })))) return { status: "undetermined", need: TWIST_NEED };
  return { status: "determined", between: (fromMm, toMm) => twistTerms(neck, fromMm, toMm) };
}
