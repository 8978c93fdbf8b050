import { inverseEntries, rowVariance, solvePlaced } from "./arrowFactor.js";
import type { ArrowFactor } from "./arrowFactor.js";
import { checkSparseRow, entryAt } from "./arrowPattern.js";
import type { ArrowPattern, SparseRow } from "./arrowPattern.js";

/** Of a variance that is smaller than this share of the terms it is made of, too few digits are left. */
const CANCELLED = 1e-9;
/** An unknown in this many rows beyond the pattern (a place that all heights refer to) has its whole column of the inverse solved. */
const HUB_ROWS = 4;

/**
 * Variances of many rows of unknowns whose covariance is the inverse of A.
 * One pass over the factor for all rows inside the pattern; for what reaches beyond it, one solution for each unknown that many such rows share.
 * A row whose terms cancel is done by `rowVariance` instead. Asked again of another factor with the same pattern, the same list of rows is found worked out.
 * @throws {RangeError} an index outside the matrix, or lists of unlike length
 */
export function rowVariances(factor: ArrowFactor, rows: readonly SparseRow[]): Float64Array {
  const plan = planFor(factor.pattern, rows);
  const inverse = inverseOf(factor);
  const hubs = columnsOf(factor, plan.hubs);
  const variances = new Float64Array(rows.length);
  for (let k = 0; k < rows.length; k++) {
    const known = plan.known[k] === 1 ? planned(plan, inverse, hubs, k) : NaN;
    variances[k] = Number.isNaN(known) ? rowVariance(factor, rows[k] ?? NO_ROW) : known;
  }
  return variances;
}

const NO_ROW: SparseRow = { index: [], coefficient: [] };

/** The inverse is kept with its factor: several questions are asked of each. */
const filled = new WeakMap<ArrowFactor, Float64Array>();

function inverseOf(factor: ArrowFactor): Float64Array {
  const found = factor.inverse ?? filled.get(factor);
  if (found !== undefined) return found;
  const inverse = inverseEntries(factor).slice();
  filled.set(factor, inverse);
  return inverse;
}

/** Where the pairs of each row's terms stand: in the pattern's entries or (hub >= 0) in a hub's column. */
type Plan = {
  readonly hubs: readonly number[];
  readonly known: Uint8Array;
  readonly pairStart: Int32Array;
  readonly pairHub: Int32Array;
  readonly pairAt: Int32Array;
  readonly pairShare: Float64Array;
};

const plans = new WeakMap<readonly SparseRow[], { readonly pattern: ArrowPattern; readonly plan: Plan }>();

function planFor(pattern: ArrowPattern, rows: readonly SparseRow[]): Plan {
  const found = plans.get(rows);
  if (found?.pattern === pattern) return found.plan;
  const plan = plannedRows(pattern, rows);
  plans.set(rows, { pattern, plan });
  return plan;
}

function plannedRows(pattern: ArrowPattern, rows: readonly SparseRow[]): Plan {
  for (const row of rows) checkSparseRow(pattern.shape, row);
  const pairStart = new Int32Array(rows.length + 1);
  for (const [row, { index: { length } }] of rows.entries()) pairStart[row + 1] = (pairStart[row] ?? 0) + (length * (length + 1)) / 2;
  const pairs = pairStart[rows.length] ?? 0;
  const plan = { known: new Uint8Array(rows.length).fill(1), pairStart, pairHub: new Int32Array(pairs).fill(-1), pairAt: new Int32Array(pairs), pairShare: new Float64Array(pairs) };
  const hubs = hubsOf(pattern, rows);
  for (const [row, own] of rows.entries()) planPairs(pattern, hubs, own, row, plan);
  return { hubs, ...plan };
}

function planPairs(pattern: ArrowPattern, hubs: readonly number[], { index, coefficient }: SparseRow, row: number, { known, pairStart, pairHub, pairAt, pairShare }: Omit<Plan, "hubs">): void {
  let pair = pairStart[row] ?? 0;
  for (let i = 0; i < index.length; i++) {
    const a = pattern.place[index[i] ?? 0] ?? 0;
    for (let j = 0; j <= i; j++, pair++) {
      const b = pattern.place[index[j] ?? 0] ?? 0;
      pairShare[pair] = (coefficient[i] ?? 0) * (coefficient[j] ?? 0) * (i === j ? 1 : 2);
      const at = entryAt(pattern, a, b);
      pairAt[pair] = at;
      if (at >= 0) continue;
      const hubOfA = hubs.indexOf(a);
      const hub = hubOfA >= 0 ? hubOfA : hubs.indexOf(b);
      if (hub < 0) known[row] = 0;
      pairHub[pair] = Math.max(hub, 0);
      pairAt[pair] = hubOfA >= 0 ? b : a;
    }
  }
}

/** Places of unknowns that many rows pair with others outside the pattern. */
function hubsOf(pattern: ArrowPattern, rows: readonly SparseRow[]): readonly number[] {
  const reaches = new Map<number, number>();
  for (const { index } of rows) {
    for (let i = 0; i < index.length; i++) {
      const a = pattern.place[index[i] ?? 0] ?? 0;
      let isOutside = false;
      for (let j = 0; j < index.length && !isOutside; j++) isOutside = entryAt(pattern, a, pattern.place[index[j] ?? 0] ?? 0) < 0;
      if (isOutside) reaches.set(a, (reaches.get(a) ?? 0) + 1);
    }
  }
  return [...reaches].filter(([, count]) => count >= HUB_ROWS).map(([at]) => at);
}

/** Columns are kept with their factor too: heights and lines of a survey refer to the same places. */
const columns = new WeakMap<ArrowFactor, Map<number, Float64Array>>();

/** Columns of the inverse, those not yet known solved for together. */
function columnsOf(factor: ArrowFactor, places: readonly number[]): readonly Float64Array[] {
  const known = columns.get(factor) ?? new Map<number, Float64Array>();
  columns.set(factor, known);
  const missing = places.filter((at) => !known.has(at)).map((at) => [at, unitColumn(factor.pattern.place.length, at)] as const);
  solvePlaced(factor, missing.map(([, column]) => column));
  for (const [at, column] of missing) known.set(at, column);
  return places.flatMap((at) => known.get(at) ?? []);
}

function unitColumn(size: number, at: number): Float64Array {
  const column = new Float64Array(size);
  column[at] = 1;
  return column;
}

/** A row's variance; NaN where its terms cancel. */
function planned({ pairStart, pairHub, pairAt, pairShare }: Plan, inverse: Float64Array, hubs: readonly Float64Array[], row: number): number {
  let sum = 0;
  let terms = 0;
  const last = pairStart[row + 1] ?? 0;
  for (let t = pairStart[row] ?? 0; t < last; t++) {
    const hub = pairHub[t] ?? -1;
    const at = pairAt[t] ?? 0;
    const term = (pairShare[t] ?? 0) * (hub < 0 ? inverse[at] ?? 0 : hubs[hub]?.[at] ?? 0);
    sum += term;
    terms += Math.abs(term);
  }
  return sum > CANCELLED * terms || terms === 0 ? sum : NaN;
}
