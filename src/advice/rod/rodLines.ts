import { joined } from "../../frets/lists.js";
import { lineOverChord, scaled } from "../../shape/span.js";
import { normalCdf } from "../../survey/likelihood/normal.js";
import type { Survey } from "../../survey/survey.js";
import type { Measured } from "../../units/measured.js";
import { bowWords, lengthWords, type UnitOrder } from "../../units/words.js";
import type { MiddleRelief } from "./middleRelief.js";

type Middle = Extract<MiddleRelief, { status: "determined" }>;

/** A line counts as outside what is wanted when it is so probable (own judgement). */
const SURE = 0.95;

/** A line's relief at the middle, what strings will add included. */
export type LineRelief = { readonly line: string; readonly relief: Measured; readonly lies: "over" | "within" | "under" | "open" };

/**
 * Relief of each line over the chord that all share, and where it surely lies against what is wanted.
 * @param added what strings will add
 */
export function lineReliefs(survey: Pick<Survey, "linearAll">, { lines, fromMm, toMm, atMm }: Middle, added: Measured | undefined, min: number, max: number): readonly LineRelief[] {
  const reliefs = survey.linearAll(lines.map((line) => scaled(-1, lineOverChord(line, fromMm, toMm, atMm))));
  return lines.flatMap((line, index) => {
    const relief = reliefs[index];
    if (relief === undefined) return [];
    const [value, u] = [relief.value + (added?.value ?? 0), Math.hypot(relief.u, added?.u ?? 0)];
    const [over, under] = [normalCdf((value - max) / u), normalCdf((min - value) / u)];
    return [{ line, relief, lies: over > SURE ? "over" : under > SURE ? "under" : 1 - over - under > SURE ? "within" : "open" } as const];
  });
}

/** Of several lines those that surely lie outside what is wanted, while others may not. */
export function linesOutside(reliefs: readonly LineRelief[]): readonly LineRelief[] {
  return reliefs.length < 2 ? [] : reliefs.filter(({ lies }) => lies === "over" || lies === "under");
}

/** Two lines and how far apart they lie, mm above 0. */
export type WideApart = { readonly least: string; readonly most: string; readonly apart: Measured };

/** Lines that surely lie farther apart than what is wanted is wide: wherever their mean is brought, it does not suit both. */
export function linesWideApart(survey: Pick<Survey, "linear">, { fromMm, toMm, atMm }: Middle, reliefs: readonly LineRelief[], min: number, max: number): WideApart | undefined {
  const sorted = [...reliefs].sort((a, b) => a.relief.value - b.relief.value);
  const [least, most] = [sorted[0], sorted.at(-1)];
  if (least === undefined || most === undefined || least === most) return undefined;
  const apart = survey.linear([...scaled(-1, lineOverChord(most.line, fromMm, toMm, atMm)), ...scaled(1, lineOverChord(least.line, fromMm, toMm, atMm))]);
  return normalCdf((apart.value - (max - min)) / apart.u) <= SURE ? undefined : { least: least.line, most: most.line, apart };
}

/** As `the bass line has 0.36 mm (14.2 thou) forward bow (middle low)`. */
export function lineWords({ line, relief }: Pick<LineRelief, "line" | "relief">, order: UnitOrder): string {
  return `the ${line} line has ${lengthWords(Math.abs(relief.value), order)} ${bowWords(relief.value)}`;
}

/** Several lines, each with its relief. */
export function linesWords(reliefs: readonly LineRelief[], order: UnitOrder): string {
  return joined(reliefs.map((one) => lineWords(one, order)));
}
