import type { SparseRow } from "../linear/arrow.js";
import { combined } from "./layout.js";
import type { Layout } from "./layout.js";
import { slopeForm } from "./prior.js";
import type { PriorTerm } from "./prior.js";

/**
 * How far a neck with a corner stands up (or dips) there over the chord from `CORNER_REACH_MM` before it to as much after it, standard deviation about nothing, mm:
 * some hundredths, at times a tenth (own judgement).
 */
const CORNER_MM = 0.08;
export const CORNER_REACH_MM = 100;
/**
 * How likely a neck is to have a corner at its body joint, where neck and body are two pieces, and how likely one anywhere else, every place alike (own judgement; half way between
 * necks that have none and invented ones that all have one).
 */
const AT_JOINT = 0.3;
const ELSEWHERE = 0.3;

/**
 * A corner that the lines of a neck may share. For a corner of 1 mm, g in the unknowns, and the prior's precision K: `row` is K g, `known` g' K g; both are divided by the square of the
 * roughness where they are `of` it, as terms of the prior are. What the corner adds to the prior is the variance `sdMm` squared along g.
 */
export type Corner = { readonly row: SparseRow; readonly known: number; readonly of: PriorTerm["of"]; readonly sdMm: number; /** How likely the neck is to have it, beforehand. */ readonly probability: number };

/** The corners that a neck may have, one of them at most: in the middle of each step from place to place, as likely as the step is long, and at the body joint where its hinge is an unknown. */
export function cornersOf(layout: Layout): readonly Corner[] {
  const lengthMm = (layout.stations.at(-1)?.xMm ?? 0) - (layout.stations[0]?.xMm ?? 0);
  const steps = layout.stations.slice(1).map((station, index): Corner => {
    const hMm = station.xMm - (layout.stations[index]?.xMm ?? 0);
    // the slope changes by twice the height over the reach
    const { row, known } = slopeForm(layout, index + 1, 2 / CORNER_REACH_MM);
    return { row, known, of: "roughness", sdMm: CORNER_MM, probability: (ELSEWHERE * hMm) / lengthMm };
  });
  const bend = layout.bends.findIndex(({ name }) => name === "hinge at the body joint");
  const at = layout.sharedBends(0)[bend];
  const known = 1 / (layout.bends[bend]?.sdMm ?? 1) ** 2;
  return at === undefined ? steps : [...steps, { row: combined([[known, { index: [at], coefficient: [1] }]]), known, of: "fixed", sdMm: CORNER_MM, probability: AT_JOINT }];
}
