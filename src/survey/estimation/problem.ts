import { addOuter, arrowPattern, factorArrow, logDeterminant } from "../linear/arrow.js";
import type { ArrowPattern } from "../linear/arrow.js";
import type { Prior } from "../model/prior.js";
import { formsOf } from "./forms.js";
import type { Forms } from "./forms.js";
import type { Site } from "./sites.js";

/** Prior and sites with every place in the matrix worked out once, so that each sweep only adds numbers at known positions. */
export type Problem = {
  readonly pattern: ArrowPattern;
  readonly fixed: Float64Array;
  readonly rough: Float64Array;
  /** Entries of `rough` that are not zero: where they stand, in which row and column, and their weight, doubled beside the diagonal. */
  readonly roughAt: Int32Array;
  readonly roughRow: Int32Array;
  readonly roughColumn: Int32Array;
  readonly roughWeight: Float64Array;
  readonly roughRank: number;
  /** Log determinant of the prior at roughness 1. */
  readonly logPrior: number;
  readonly sites: readonly Site[];
  readonly forms: Forms;
};

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
  const whole = fixed.slice();
  for (let entry = 0; entry < whole.length; entry++) whole[entry] = (whole[entry] ?? 0) + (rough[entry] ?? 0);
  const factor = factorArrow(pattern, whole);
  if (factor === undefined) throw new RangeError("Cannot adjust: expected a proper prior for every unknown");
  return { pattern, fixed, rough, ...roughEntries(pattern, rough), roughRank: prior.roughRank, logPrior: logDeterminant(factor), sites, forms: formsOf(pattern, sites) };
}

function roughEntries({ first, rowStart, rowPlace, panelAt }: ArrowPattern, rough: Float64Array): Pick<Problem, "roughAt" | "roughRow" | "roughColumn" | "roughWeight"> {
  const [at, row, column, weight]: [number[], number[], number[], number[]] = [[], [], [], []];
  for (let block = 0; block + 1 < first.length; block++) {
    const [from, to, below] = [first[block] ?? 0, first[block + 1] ?? 0, rowStart[block] ?? 0];
    let entry = panelAt[block] ?? 0;
    for (let j = from; j < to; j++) {
      for (let t = from - to + below; t < (rowStart[block + 1] ?? 0); t++, entry++) {
        const value = rough[entry] ?? 0;
        if (value === 0) continue;
        const i = t < below ? to + t - below : rowPlace[t] ?? 0;
        at.push(entry);
        row.push(i);
        column.push(j);
        weight.push(i === j ? value : 2 * value);
      }
    }
  }
  return { roughAt: Int32Array.from(at), roughRow: Int32Array.from(row), roughColumn: Int32Array.from(column), roughWeight: Float64Array.from(weight) };
}
