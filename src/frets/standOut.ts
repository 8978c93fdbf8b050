import { generalisedEsd, modifiedZScores } from "./outliers.js";
import type { FretHeight } from "./fretHeights.js";

/** Frets that a plain outlier test on the heights of one line picks out: a check that knows no limit and no kinds of frets. */
export type StandOut =
  | { readonly status: "tested"; readonly line: string; readonly test: "generalised ESD, 1 %" | "modified z-score over 3.5"; readonly frets: readonly number[] }
  | { readonly status: "too few"; readonly line: string; readonly read: number };

/** Below this many frets the critical values of the generalised ESD test are not to be trusted (Rosner 1983: 25 good, 15 usable). */
const ENOUGH_FOR_ESD = 15;
const ENOUGH = 6;
const ESD_CHANCE = 0.01;
/** Iglewicz and Hoaglin's limit. */
const MODIFIED_Z = 3.5;

/** Each line tested for frets that stand out from the other frets of the same line, up or down. */
export function standOuts(heights: readonly FretHeight[]): readonly StandOut[] {
  const lines = [...new Set(heights.map(({ line }) => line))];
  return lines.map((line): StandOut => {
    const here = heights.filter((height) => height.line === line);
    const values = here.map(({ high }) => high.value);
    const fretsAt = (indices: readonly number[]): readonly number[] => indices.flatMap((index) => here[index]?.fret ?? []).sort((a, b) => a - b);
    if (here.length < ENOUGH) return { status: "too few", line, read: here.length };
    if (here.length >= ENOUGH_FOR_ESD) return { status: "tested", line, test: "generalised ESD, 1 %", frets: fretsAt(generalisedEsd(values, Math.floor(here.length / 4), ESD_CHANCE).outliers) };
    const scores = modifiedZScores(values) ?? [];
    return { status: "tested", line, test: "modified z-score over 3.5", frets: fretsAt([...scores.keys()].filter((index) => Math.abs(scores[index] ?? 0) > MODIFIED_Z)) };
  });
}
