import { normalCdf } from "../../survey/likelihood/normal.js";
import type { Measured } from "../../units/measured.js";
import type { RodQuestion } from "./rodQuestion.js";

/** Probabilities of the three places where a relief can lie; they sum to 1. */
export type ReliefProbabilities = { readonly tooMuchRelief: number; readonly within: number; readonly tooLittleRelief: number };

/**
 * Where the relief will lie against the target, with the rod as it is: normal about each draw of what the strings add.
 * @param relief as surveyed, mm
 */
export function probabilitiesOf({ value, u }: Pick<Measured, "value" | "u">, { strings, stringsDrawsMm }: Pick<RodQuestion, "strings" | "stringsDrawsMm">, min: number, max: number): ReliefProbabilities {
  const added = stringsDrawsMm === undefined || stringsDrawsMm.length === 0 ? [strings?.value ?? 0] : stringsDrawsMm;
  const spread = stringsDrawsMm === undefined || stringsDrawsMm.length === 0 ? Math.hypot(u, strings?.u ?? 0) : u;
  const mean = (of: (add: number) => number): number => added.reduce((sum, add) => sum + of(add) / added.length, 0);
  const tooMuchRelief = mean((add) => normalCdf((value + add - max) / spread));
  const tooLittleRelief = mean((add) => normalCdf((min - value - add) / spread));
  return { tooMuchRelief, tooLittleRelief, within: Math.max(0, 1 - tooMuchRelief - tooLittleRelief) };
}
