import { fretDistanceMm } from "../neck/frets.js";
import { normalQuantile } from "./likelihood/normal.js";
import { NORMAL_95 } from "../units/measured.js";
import type { Measured } from "../units/measured.js";
import type { HeightTerm, Survey } from "./survey.js";

/** A fret that stands otherwise over the neck line than it did: mm, positive is up. */
export type FretChange = { readonly line: string; readonly fret: number; readonly up: Measured };

/** Chance per pair of surveys that one of all frets, none of which moved, is taken as moved. */
const CHANCE = 0.05;
/** A smaller change is of no use to know (common practice, no source). */
const LEAST_MM = 0.015;

/**
 * Frets read in both surveys that stand otherwise over the neck line than before, beyond what chance gives one of all of them; most surely first.
 * @param changeOf how much higher a fret stands over the neck line of its line in the later survey, mm
 */
export function fretChanges(before: Survey, after: Survey, changeOf: (line: string, fret: number) => Measured): readonly FretChange[] {
  const readBefore = topsIn(before);
  const tops = topsIn(after).filter(({ line, fret }) => readBefore.some((other) => other.line === line && other.fret === fret));
  const limit = normalQuantile(1 - CHANCE / (2 * Math.max(1, tops.length)));
  return tops
    .map(({ line, fret }) => ({ line, fret, up: changeOf(line, fret) }))
    .filter(({ up }) => Math.abs(up.value) > Math.max(LEAST_MM, limit * up.u))
    .sort((a, b) => Math.abs(b.up.value) / b.up.u - Math.abs(a.up.value) / a.up.u);
}

/**
 * Frets that stand off the neck line otherwise in the later of two surveys, each adjusted by itself, than luck allows: lifted or settled, though no
 * seating was logged. An edge's own bow shows in the neck line and not in a single fret.
 */
export function movedFrets(before: Survey, after: Survey): readonly number[] {
  const apart = fretChanges(before, after, (line, fret) => {
    const [then, now] = [before.linear(standing(before, line, fret)), after.linear(standing(after, line, fret))];
    const [value, u] = [now.value - then.value, Math.hypot(now.u, then.u)];
    return { value, u, unit: "mm", low95: value - NORMAL_95 * u, high95: value + NORMAL_95 * u };
  });
  return [...new Set(apart.map(({ fret }) => fret))].sort((a, b) => a - b);
}

/** A fret over the smooth neck line at its place. */
export function standing({ neck }: Pick<Survey, "neck">, line: string, fret: number): readonly HeightTerm[] {
  return [
    { of: "fretTop", line, fret, weight: 1 },
    { of: "neckLine", line, xMm: fretDistanceMm(neck.scaleLengthMm, fret), weight: -1 },
  ];
}

function topsIn({ heights }: Survey): readonly { readonly line: string; readonly fret: number }[] {
  return heights.flatMap(({ surface, line, place: { fret } }) => (surface === "fretTops" && fret !== undefined ? [{ line, fret }] : []));
}
