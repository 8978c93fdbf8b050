import { addOuter, arrowPattern, logDeterminant, standingFactor } from "../linear/arrow.js";
import type { ArrowPattern } from "../linear/arrow.js";
import type { Prior } from "../model/prior.js";
import { formsOf } from "./forms.js";
import type { Forms } from "./forms.js";
import type { Site } from "./sites.js";

/** Prior and sites with every place in the matrix worked out once, so that each sweep only adds numbers at known positions. */
export type Problem = {
  readonly pattern: ArrowPattern;
  /** The prior's precision where it is not zero: what does not change, and what is divided by the square of the roughness. */
  readonly fixed: Held;
  readonly rough: Held;
  readonly roughRank: number;
  /** Log determinant of the prior at roughness 1. */
  readonly logPrior: number;
  readonly sites: readonly Site[];
  readonly forms: Forms;
};

/** Entries that are not zero: where they stand in the pattern, in which row and column, and what they are. */
export type Held = { readonly at: Int32Array; readonly row: Int32Array; readonly column: Int32Array; readonly value: Float64Array };

/**
 * Works a problem out.
 * @throws {RangeError} an index outside the shape, or a prior that is not a proper distribution
 */
export function problemOf(prior: Prior, sites: readonly Site[]): Problem {
  const joint = sites.map((site) => (site.rows.length === 1 ? site.rows[0]?.index ?? [] : [...new Set(site.rows.flatMap((row) => row.index))]));
  const pattern = arrowPattern(prior.shape, [...prior.terms.map(({ row }) => row.index), ...joint]);
  const fixed = new Float64Array(pattern.entries);
  const rough = new Float64Array(pattern.entries);
  for (const term of prior.terms) addOuter(pattern, term.of === "fixed" ? fixed : rough, term.row, term.weight);
  const factor = standingFactor(pattern, (matrix) => {
    for (let entry = 0; entry < matrix.length; entry++) matrix[entry] = (fixed[entry] ?? 0) + (rough[entry] ?? 0);
  });
  if (factor === undefined) throw new RangeError("Cannot adjust: expected a proper prior for every unknown");
  return { pattern, fixed: heldIn(pattern, fixed), rough: heldIn(pattern, rough), roughRank: prior.roughRank, logPrior: logDeterminant(factor), sites, forms: formsOf(pattern, sites) };
}

function heldIn({ first, rowStart, rowPlace, panelAt }: ArrowPattern, entries: Float64Array): Held {
  const count = entries.reduce((sum, value) => sum + (value === 0 ? 0 : 1), 0);
  const held = { at: new Int32Array(count), row: new Int32Array(count), column: new Int32Array(count), value: new Float64Array(count) };
  let t = 0;
  for (let block = 0; block + 1 < first.length; block++) {
    const [from, to, below] = [first[block] ?? 0, first[block + 1] ?? 0, rowStart[block] ?? 0];
    let entry = panelAt[block] ?? 0;
    for (let j = from; j < to; j++) {
      for (let k = from - to + below; k < (rowStart[block + 1] ?? 0); k++, entry++) {
        const value = entries[entry] ?? 0;
        if (value === 0) continue;
        held.at[t] = entry;
        held.row[t] = k < below ? to + k - below : rowPlace[k] ?? 0;
        held.column[t] = j;
        held.value[t] = value;
        t++;
      }
    }
  }
  return held;
}
