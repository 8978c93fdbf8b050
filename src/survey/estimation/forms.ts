import { entryAt } from "../linear/arrow.js";
import type { ArrowPattern, SparseRow } from "../linear/arrow.js";
import type { Site } from "./sites.js";

/**
 * All linear forms of all sites with every place in the matrix worked out.
 * Precisions and covariances of a site's forms are kept packed, row by row below and on the diagonal: `slots`.
 */
export type Forms = {
  /** First form and first slot of each site. */
  readonly formStart: Int32Array;
  readonly slotStart: Int32Array;
  /** Places and coefficients of each form. */
  readonly entryStart: Int32Array;
  readonly entryPlace: Int32Array;
  readonly entryCoefficient: Float64Array;
  /** Where each slot's precision enters the matrix and with which factor. */
  readonly termStart: Int32Array;
  readonly termAt: Int32Array;
  readonly termProduct: Float64Array;
  /** Factor with which the inverse's entry there enters the slot's covariance. */
  readonly termShare: Float64Array;
};

type Growing = { readonly formStart: number[]; readonly slotStart: number[]; readonly entryStart: number[]; readonly entryPlace: number[]; readonly entryCoefficient: number[]; readonly termStart: number[]; readonly termAt: number[]; readonly termProduct: number[]; readonly termShare: number[] };

/** Works the forms out. */
export function formsOf(pattern: ArrowPattern, sites: readonly Site[]): Forms {
  const all: Growing = { formStart: [0], slotStart: [0], entryStart: [0], entryPlace: [], entryCoefficient: [], termStart: [0], termAt: [], termProduct: [], termShare: [] };
  for (const site of sites) {
    for (const row of site.rows) pushForm(pattern, all, row);
    const first = all.formStart.at(-1) ?? 0;
    for (let i = 0; i < site.rows.length; i++) for (let j = 0; j <= i; j++) pushSlot(pattern, all, first + i, first + j);
    all.formStart.push(all.entryStart.length - 1);
    all.slotStart.push(all.termStart.length - 1);
  }
  return {
    formStart: Int32Array.from(all.formStart), slotStart: Int32Array.from(all.slotStart), entryStart: Int32Array.from(all.entryStart),
    entryPlace: Int32Array.from(all.entryPlace), entryCoefficient: Float64Array.from(all.entryCoefficient),
    termStart: Int32Array.from(all.termStart),
    termAt: Int32Array.from(all.termAt), termProduct: Float64Array.from(all.termProduct), termShare: Float64Array.from(all.termShare),
  };
}

/** A row's places and coefficients, equal places merged and exact zeros left out. */
function pushForm(pattern: ArrowPattern, { entryStart, entryPlace, entryCoefficient }: Growing, row: SparseRow): void {
  const start = entryStart.at(-1) ?? 0;
  for (let k = 0; k < row.index.length; k++) {
    const coefficient = row.coefficient[k] ?? 0;
    if (coefficient === 0) continue;
    const place = pattern.place[row.index[k] ?? 0] ?? 0;
    const known = entryPlace.indexOf(place, start);
    if (known >= 0) entryCoefficient[known] = (entryCoefficient[known] ?? 0) + coefficient;
    else {
      entryPlace.push(place);
      entryCoefficient.push(coefficient);
    }
  }
  entryStart.push(entryPlace.length);
}

/** precision times (form' other + other' form), or form' form for a form with itself, entry by entry on and below the diagonal. */
function pushSlot(pattern: ArrowPattern, { entryStart, entryPlace, entryCoefficient, termStart, termAt, termProduct, termShare }: Growing, form: number, other: number): void {
  const same = form === other;
  for (let i = entryStart[form] ?? 0; i < (entryStart[form + 1] ?? 0); i++) {
    for (let j = entryStart[other] ?? 0; j < (entryStart[other + 1] ?? 0); j++) {
      const a = entryPlace[i] ?? 0;
      const b = entryPlace[j] ?? 0;
      if (same && b > a) continue;
      const value = (entryCoefficient[i] ?? 0) * (entryCoefficient[j] ?? 0);
      termAt.push(entryAt(pattern, a, b));
      termProduct.push(!same && a === b ? 2 * value : value);
      termShare.push(same && a !== b ? 2 * value : value);
    }
  }
  termStart.push(termAt.length);
}
