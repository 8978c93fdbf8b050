import { rowVariance, solveBackward, solveForward } from "./arrowFactor.js";
import type { ArrowFactor } from "./arrowFactor.js";
import { checkSparseRow, entryAt } from "./arrowPattern.js";
import type { ArrowPattern, SparseRow } from "./arrowPattern.js";
import { fillInverse, inverseParts } from "./selectedInverse.js";
import type { InverseParts } from "./selectedInverse.js";

/** Of a variance that is smaller than this share of the terms it is made of, too few digits are left. */
const CANCELLED = 1e-9;
/** An unknown in this many rows beyond the pattern (a place that all heights refer to) has its whole column of B^-1 solved. */
const HUB_ROWS = 4;

/**
 * Variances of many rows of unknowns whose covariance is the inverse of A.
 * One pass over the factor for all rows inside the pattern; for what reaches beyond it, one solution for each unknown that many such rows share.
 * A row whose terms cancel is done by `rowVariance` instead. Asked again of another factor with the same pattern, the same list of rows is found worked out.
 * @throws {RangeError} an index outside the matrix, or lists of unlike length
 */
export function rowVariances(factor: ArrowFactor, rows: readonly SparseRow[]): Float64Array {
  const plan = planFor(factor.pattern, rows);
  const parts = partsOf(factor);
  const hubs = plan.hubs.map((at) => innerColumn(factor, at));
  const total = new Float64Array(factor.pattern.stride);
  const size = new Float64Array(factor.pattern.stride);
  return Float64Array.from(rows, (row, k) => {
    const sum = plan.known[k] === 1 ? planned(plan, parts, hubs, k, total, size) : undefined;
    return sum ?? rowVariance(factor, row);
  });
}

/** Parts are kept with their factor: several questions are asked of each. */
const filled = new WeakMap<ArrowFactor, InverseParts>();

function partsOf(factor: ArrowFactor): InverseParts {
  const found = filled.get(factor);
  if (found !== undefined) return found;
  const parts = inverseParts(factor.pattern);
  fillInverse(factor, parts);
  filled.set(factor, parts);
  return parts;
}

/** Where the terms of each row stand: its unknowns, and its pairs among the inner ones, in the pattern's entries or (hub >= 0) in a hub's column. */
type Plan = {
  readonly hubs: readonly number[];
  readonly known: Uint8Array;
  readonly start: Int32Array;
  readonly place: Int32Array;
  readonly coefficient: Float64Array;
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
  const placed = rows.map(({ index }) => index.map((at) => pattern.place[at] ?? 0));
  const hubs = hubsOf(pattern, placed);
  const hubOf = new Map(hubs.map((at, k) => [at, k]));
  const [start, place, coefficient]: [number[], number[], number[]] = [[0], [], []];
  const [pairStart, pairHub, pairAt, pairShare]: [number[], number[], number[], number[]] = [[0], [], [], []];
  const known = new Uint8Array(rows.length).fill(1);
  const pair = (row: number, a: number, b: number, share: number): void => {
    const at = entryAt(pattern, a, b);
    const [hubA, hubB] = at >= 0 ? [undefined, undefined] : [hubOf.get(a), hubOf.get(b)];
    if (at < 0 && hubA === undefined && hubB === undefined) known[row] = 0;
    pairHub.push(at >= 0 ? -1 : hubA ?? hubB ?? 0);
    pairAt.push(at >= 0 ? at : hubA === undefined ? a : b);
    pairShare.push(share);
  };
  for (const [row, places] of placed.entries()) {
    const values = rows[row]?.coefficient ?? [];
    for (const [i, a] of places.entries()) {
      place.push(a);
      coefficient.push(values[i] ?? 0);
      for (let j = 0; j <= i; j++) {
        const b = places[j] ?? 0;
        if (a < pattern.inner && b < pattern.inner) pair(row, a, b, (values[i] ?? 0) * (values[j] ?? 0) * (i === j ? 1 : 2));
      }
    }
    start.push(place.length);
    pairStart.push(pairAt.length);
  }
  return {
    hubs, known, start: Int32Array.from(start), place: Int32Array.from(place), coefficient: Float64Array.from(coefficient),
    pairStart: Int32Array.from(pairStart), pairHub: Int32Array.from(pairHub), pairAt: Int32Array.from(pairAt), pairShare: Float64Array.from(pairShare),
  };
}

/** Unknowns that many rows pair with others outside the pattern. */
function hubsOf(pattern: ArrowPattern, placed: readonly (readonly number[])[]): readonly number[] {
  const reaches = new Map<number, number>();
  for (const place of placed) {
    const outside = place.filter((a) => a < pattern.inner && place.some((b) => b < pattern.inner && entryAt(pattern, a, b) < 0));
    for (const a of outside) reaches.set(a, (reaches.get(a) ?? 0) + 1);
  }
  return [...reaches].filter(([, count]) => count >= HUB_ROWS).map(([at]) => at);
}

/** One column of B^-1. */
function innerColumn({ pattern, entries }: ArrowFactor, at: number): Float64Array {
  const innerOnly = { pattern: { ...pattern, border: 0 }, entries };
  const column = new Float64Array(pattern.inner);
  column[at] = 1;
  solveForward(innerOnly, column);
  solveBackward(innerOnly, column);
  return column;
}

/** A row's variance from the parts; undefined where its terms cancel. */
function planned(plan: Plan, { pattern: { stride }, inner, carried }: InverseParts, hubs: readonly Float64Array[], row: number, total: Float64Array, size: Float64Array): number | undefined {
  const { start, place, coefficient, pairStart, pairHub, pairAt, pairShare } = plan;
  let sum = 0;
  let terms = 0;
  const lastPair = pairStart[row + 1] ?? 0;
  for (let t = pairStart[row] ?? 0; t < lastPair; t++) {
    const hub = pairHub[t] ?? -1;
    const at = pairAt[t] ?? 0;
    const term = (pairShare[t] ?? 0) * (hub < 0 ? inner[at] ?? 0 : hubs[hub]?.[at] ?? 0);
    sum += term;
    terms += Math.abs(term);
  }
  total.fill(0);
  size.fill(0);
  const last = start[row + 1] ?? 0;
  for (let t = start[row] ?? 0; t < last; t++) {
    const from = (place[t] ?? 0) * stride;
    const weight = coefficient[t] ?? 0;
    for (let p = 0; p < stride; p++) {
      const term = weight * (carried[from + p] ?? 0);
      total[p] = (total[p] ?? 0) + term;
      size[p] = (size[p] ?? 0) + Math.abs(term);
    }
  }
  for (let p = 0; p < stride; p++) {
    sum += (total[p] ?? 0) ** 2;
    terms += (size[p] ?? 0) ** 2;
  }
  return sum > CANCELLED * terms || terms === 0 ? sum : undefined;
}
