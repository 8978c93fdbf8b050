import { smallInverse, smallProduct } from "../linear/smallSpd.js";
import type { Naturals } from "./naturals.js";
import { unpackInto } from "./naturals.js";
import type { Forms } from "./forms.js";
import type { Context, Site } from "./sites.js";

/** Means of all forms and the packed covariances of each site's. */
export type Marginals = { readonly formMean: Float64Array; readonly covariance: Float64Array };

/** Sites as an iteration left them, what they would become next, and the marginals that they then had: from these they foresee themselves at other scatters. */
export type Left = Naturals & Marginals & { readonly next: Naturals };

/** What all else says of each site's forms: the marginals with one site taken out. */
export function contextsOf(marginals: Marginals, natural: Naturals, forms: Forms, sites: readonly Site[]): readonly Context[] {
  return sites.map((site, index) => contextOf(marginals, natural, site.rows.length, forms.formStart[index] ?? 0, forms.slotStart[index] ?? 0));
}

/** The marginal itself where nothing proper is left. */
function contextOf({ formMean, covariance }: Marginals, natural: Naturals, size: number, form: number, slot: number): Context {
  const marginal = { mean: formMean.slice(form, form + size), covariance: new Float64Array(size * size) };
  unpackInto(covariance, slot, size, marginal.covariance);
  const known = smallInverse(marginal.covariance, size);
  const own = new Float64Array(size * size);
  unpackInto(natural.precision, slot, size, own);
  const rest = known === undefined ? undefined : smallInverse(known.inverse.map((value, at) => value - (own[at] ?? 0)), size);
  if (known === undefined || rest === undefined) return marginal;
  const shift = smallProduct(known.inverse, marginal.mean).map((value, i) => value - (natural.shift[form + i] ?? 0));
  return { mean: smallProduct(rest.inverse, shift), covariance: rest.inverse };
}
