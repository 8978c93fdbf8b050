import { fretStages, mayBeDone } from "../readings/fretStages.js";
import type { SurveySheet } from "../readings/reading.js";
import type { Reseat, Station } from "./model/stations.js";

/** Work after which frets stand anew, where only one of two surveys states their state. */
const WORKED_ON = ["levelled", "crowned", "seated", "refretted", "filed"] as const;

/**
 * Frets that stand anew from a survey on: those that a seating log names in that survey or the one before (it is not said whether the readings were
 * taken before or after), all of them where the state of the frets is another, and those that the readings themselves show to have moved.
 * @param moved frets that moved up to each survey after the first, by the readings
 */
export function reseatsOf(sheets: readonly SurveySheet[], stations: readonly Station[], lines: readonly string[], moved: readonly (readonly number[])[]): { readonly reseats: readonly Reseat[]; readonly notes: readonly string[] } {
  const told = sheets.slice(1).map((sheet, index) => {
    const survey = index + 1;
    const before = sheets[index];
    if (before !== undefined && isWorkedOn(before, sheet)) return { survey, frets: undefined, logged: [], unlogged: [] };
    const logged = [...new Set([...(before?.seating ?? []), ...sheet.seating].map(({ fret }) => fret))].sort((a, b) => a - b);
    const unlogged = (moved[index] ?? []).filter((fret) => !logged.includes(fret));
    return { survey, frets: [...logged, ...unlogged], logged, unlogged };
  });
  return {
    reseats: told.flatMap(({ survey, frets }) => [...stations.entries()].filter(([, { fret }]) => fret !== undefined && (frets === undefined || frets.includes(fret))).flatMap(([station]) => lines.map((line): Reseat => ({ survey, line, station })))),
    notes: told.flatMap(({ survey, frets, logged, unlogged }) => {
      if (frets === undefined) return [`survey ${survey + 1}: the frets are in another state than before, so each may stand anew`];
      return [
        ...(logged.length === 0 ? [] : [`survey ${survey + 1}: taken as reseated since the survey before (seating log): ${fretsWords(logged)}`]),
        ...(unlogged.length === 0 ? [] : [`survey ${survey + 1}: ${fretsWords(unlogged)} stand${unlogged.length === 1 ? "s" : ""} otherwise than in the survey before by more than your readings can do by luck, though no seating was logged: taken as moved`]),
      ];
    }),
  };
}

function fretsWords(frets: readonly number[]): string {
  return `fret${frets.length === 1 ? "" : "s"} ${frets.join(", ")}`;
}

function isWorkedOn(before: SurveySheet, after: SurveySheet): boolean {
  const [a, b] = [before.state.fretState?.trim().toLowerCase(), after.state.fretState?.trim().toLowerCase()];
  if (a !== undefined && b !== undefined) return a !== b;
  return mayBeDone(fretStages(a ?? b), WORKED_ON);
}
