import { normalQuantile } from "./likelihood/normal.js";
import type { HeightTerm, Survey } from "./survey.js";

/** Chance per pair of surveys that a fret which did not move is taken as moved. */
const CHANCE = 0.01;
/** Smaller movements of a fret are not taken apart (common practice, no source). */
const LEAST_MM = 0.025;

/**
 * Frets that stand off the neck line otherwise in the later of two surveys, each adjusted by itself, than luck allows: lifted or settled, though no
 * seating was logged.
 */
export function movedFrets(before: Survey, after: Survey): readonly number[] {
  const tops = topsIn(after).filter(({ line, fret }) => topsIn(before).some((other) => other.line === line && other.fret === fret));
  const limit = normalQuantile(1 - CHANCE / (2 * Math.max(1, tops.length)));
  const moved = tops.filter(({ line, fret, xMm }) => {
    const terms: readonly HeightTerm[] = [{ of: "fretTop", line, fret, weight: 1 }, { of: "neckLine", line, xMm, weight: -1 }];
    const [then, now] = [before.linear(terms), after.linear(terms)];
    const apart = Math.abs(now.value - then.value);
    return apart > LEAST_MM && apart > limit * Math.hypot(then.u, now.u);
  });
  return [...new Set(moved.map(({ fret }) => fret))].sort((a, b) => a - b);
}

function topsIn({ heights }: Survey): readonly { readonly line: string; readonly fret: number; readonly xMm: number }[] {
  return heights.flatMap(({ surface, line, place: { fret, xMm } }) => (surface === "fretTops" && fret !== undefined ? [{ line, fret, xMm }] : []));
}
