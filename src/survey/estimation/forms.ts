import { entryAt } from "../linear/arrow.js";
import type { ArrowPattern } from "../linear/arrow.js";
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

/** Works the forms out. */
export function formsOf(pattern: ArrowPattern, sites: readonly Site[]): Forms {
  const places = placesOf(pattern, sites);
  const formStart = new Int32Array(sites.length + 1);
  const slotStart = new Int32Array(sites.length + 1);
  for (const [site, { rows: { length } }] of sites.entries()) {
    formStart[site + 1] = (formStart[site] ?? 0) + length;
    slotStart[site + 1] = (slotStart[site] ?? 0) + (length * (length + 1)) / 2;
  }
  return { formStart, slotStart, ...places, ...termsOf(pattern, places, formStart, slotStart) };
}

type Places = Pick<Forms, "entryStart" | "entryPlace" | "entryCoefficient">;

/** Each row's places and coefficients, equal places merged and exact zeros left out. */
function placesOf(pattern: ArrowPattern, sites: readonly Site[]): Places {
  const [entryStart, entryPlace, entryCoefficient]: [number[], number[], number[]] = [[0], [], []];
  for (const { rows } of sites) {
    for (const row of rows) {
      const start = entryPlace.length;
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
  }
  return { entryStart: Int32Array.from(entryStart), entryPlace: Int32Array.from(entryPlace), entryCoefficient: Float64Array.from(entryCoefficient) };
}

type Terms = Pick<Forms, "termStart" | "termAt" | "termProduct" | "termShare">;

/** For each slot precision times (form' other + other' form), or form' form for a form with itself, entry by entry on and below the diagonal. */
function termsOf(pattern: ArrowPattern, places: Places, formStart: Int32Array, slotStart: Int32Array): Terms {
  const { entryStart } = places;
  const sizeOf = (form: number): number => (entryStart[form + 1] ?? 0) - (entryStart[form] ?? 0);
  const slots = slotStart.at(-1) ?? 0;
  const termStart = new Int32Array(slots + 1);
  eachSlot(formStart, (slot, form, other) => {
    termStart[slot + 1] = (termStart[slot] ?? 0) + (form === other ? (sizeOf(form) * (sizeOf(form) + 1)) / 2 : sizeOf(form) * sizeOf(other));
  });
  const count = termStart[slots] ?? 0;
  const terms = { termStart, termAt: new Int32Array(count), termProduct: new Float64Array(count), termShare: new Float64Array(count) };
  eachSlot(formStart, (slot, form, other) => fillTerms(pattern, places, terms, slot, form, other));
  return terms;
}

/** Calls for each pair of a site's forms, and each form with itself, in the order of the slots. */
function eachSlot(formStart: Int32Array, call: (slot: number, form: number, other: number) => void): void {
  for (let site = 0, slot = 0; site + 1 < formStart.length; site++) {
    const first = formStart[site] ?? 0;
    for (let form = first; form < (formStart[site + 1] ?? 0); form++) for (let other = first; other <= form; other++, slot++) call(slot, form, other);
  }
}

function fillTerms(pattern: ArrowPattern, { entryStart, entryPlace, entryCoefficient }: Places, { termStart, termAt, termProduct, termShare }: Terms, slot: number, form: number, other: number): void {
  const same = form === other;
  let term = termStart[slot] ?? 0;
  for (let i = entryStart[form] ?? 0; i < (entryStart[form + 1] ?? 0); i++) {
    for (let j = entryStart[other] ?? 0; j < (entryStart[other + 1] ?? 0); j++) {
      const a = entryPlace[i] ?? 0;
      const b = entryPlace[j] ?? 0;
      if (same && b > a) continue;
      const value = (entryCoefficient[i] ?? 0) * (entryCoefficient[j] ?? 0);
      termAt[term] = entryAt(pattern, a, b);
      termProduct[term] = !same && a === b ? 2 * value : value;
      termShare[term] = same && a !== b ? 2 * value : value;
      term++;
    }
  }
}
