import type { CrownTop, StringPoint } from "./pressed.js";
import { pressedClearances } from "./pressed.js";
import type { FretAction } from "./finding.js";
import type { FretReportParts } from "./reportParts.js";

/** A fret that makes a string short and that the fret report wants worked on: how far it comes down where it is seated or levelled to the neck line, mm. */
export type FretInTheWay = { readonly fret: number; readonly do: FretAction["do"]; readonly downMm: number };

/** What the fret report may say of a fret that is to be seen to before anything else is changed. */
const SEEN_TO: readonly FretAction["do"][] = ["seat", "level", "look under the crown", "look into the zone", "pull and refit"];

/**
 * The frets over which a pressed string is short and which the fret report wants seated, levelled or looked under: a neck is not bent, nor a string raised, for a fret that is not home.
 * @param highOf how far a fret stands over the neck line on the string's line, mm
 * @param tops crowns as they are thought to be, in one datum with the saddle
 */
export function fretsInTheWay({ frets }: Pick<FretReportParts, "frets">, highOf: (fret: number) => number, tops: readonly CrownTop[], saddle: StringPoint, wantedMm: number): readonly FretInTheWay[] {
  const short = new Set(pressedClearances(tops, saddle).filter(({ leastMm }) => leastMm < wantedMm).map(({ at }) => at));
  return frets.flatMap(({ fret, action }): readonly FretInTheWay[] => {
    const downMm = short.has(fret) && SEEN_TO.includes(action.do) ? highOf(fret) : 0;
    return downMm > 0 ? [{ fret, do: action.do, downMm }] : [];
  });
}

/** Crowns with those frets brought down to the neck line. */
export function broughtDown(tops: readonly CrownTop[], frets: readonly FretInTheWay[]): readonly CrownTop[] {
  return tops.map((top) => ({ ...top, heightMm: top.heightMm - (frets.find(({ fret }) => fret === top.fret)?.downMm ?? 0) }));
}
