import { addOuter, copyArrow, factorArrow, logDeterminant, rowVariances, solveArrow } from "../linear/arrow.js";
import type { ArrowFactor, ArrowMatrix, SparseRow } from "../linear/arrow.js";
import { smallDot, smallInverse, smallProduct } from "../linear/smallSpd.js";
import { combined } from "../model/layout.js";
import { startOf, tilted } from "./sites.js";
import type { Context, Natural, Site } from "./sites.js";

/** The posterior of all unknowns as a normal: its mean, and a factor of its precision. */
export type NormalPosterior = {
  readonly mean: Float64Array;
  readonly factor: ArrowFactor;
  readonly sites: readonly Natural[];
  /** What all other sites and the prior say of each site's linear forms. */
  readonly contexts: readonly Context[];
  /** Logarithm of the probability of all readings under these scatters. */
  readonly logEvidence: number;
  readonly converged: boolean;
};

const MOST_SWEEPS = 60;
const MOST_HALVINGS = 8;
/** Converged when no site's mean moves by more than this share of its standard deviation: a hundredth of what is unknown anyway. */
const SETTLED = 1e-2;

/**
 * Expectation propagation: every site is replaced by the normal that gives the same first two moments in its context,
 * over and over until nothing moves, so that the joint posterior stays normal.
 * @source T. P. Minka, Expectation propagation for approximate Bayesian inference, UAI 2001 (from memory)
 */
export function normalPosterior(prior: ArrowMatrix, sites: readonly Site[], start?: readonly Natural[]): NormalPosterior | undefined {
  const forms = sites.map((site) => formsOf(site.rows));
  let natural: readonly Natural[] = start ?? sites.map(startOf);
  let state = assembled(prior, forms, natural);
  for (let sweep = 0; sweep < MOST_SWEEPS && state !== undefined; sweep++) {
    const reached: State = state;
    const moved = sites.map((site, index) => updated(site, reached.marginals[index], natural[index] ?? startOf(site), dampingAt(sweep)));
    if (moved.every(({ moves }) => moves < SETTLED)) return finished(prior, sites, natural, reached, true);
    const step = possibleStep(prior, forms, natural, moved.map((site) => site.natural));
    natural = step?.natural ?? natural;
    state = step?.state;
  }
  return state === undefined ? undefined : finished(prior, sites, natural, state, false);
}

/** Value of a linear form of the unknowns. */
export function along(row: SparseRow, parameters: Float64Array): number {
  return row.index.reduce((sum, at, position) => sum + (row.coefficient[position] ?? 0) * (parameters[at] ?? 0), 0);
}

/** Share of the wanted step that is taken: less when two explanations keep swapping. */
function dampingAt(sweep: number): number {
  if (sweep < 8) return 0.85;
  return sweep < 20 ? 0.5 : 0.25;
}

/** The forms of a site and the sums of its pairs: precisions of a matrix are added, and covariances read, through these. */
type Forms = { readonly size: number; readonly single: readonly SparseRow[]; readonly pairs: readonly { readonly i: number; readonly j: number; readonly row: SparseRow }[] };

function formsOf(rows: readonly SparseRow[]): Forms {
  const pairs = rows.flatMap((row, i) => rows.slice(i + 1).map((other, offset) => ({ i, j: i + 1 + offset, row: combined([[1, row], [1, other]]) })));
  return { size: rows.length, single: rows, pairs };
}

type State = { readonly factor: ArrowFactor; readonly mean: Float64Array; readonly marginals: readonly Context[] };

/** The wanted step, halved until the whole stays a proper distribution: updates of all sites at once can overshoot together. */
function possibleStep(prior: ArrowMatrix, forms: readonly Forms[], from: readonly Natural[], to: readonly Natural[]): { readonly natural: readonly Natural[]; readonly state: State } | undefined {
  for (let halvings = 0; halvings < MOST_HALVINGS; halvings++) {
    const natural = halvings === 0 ? to : to.map((wanted, index) => between(from[index] ?? wanted, wanted, 0.5 ** halvings));
    const state = assembled(prior, forms, natural);
    if (state !== undefined) return { natural, state };
  }
  return undefined;
}

function between(from: Natural, to: Natural, share: number): Natural {
  const mix = (a: Float64Array, b: Float64Array): Float64Array => a.map((value, at) => value + share * ((b[at] ?? value) - value));
  return { precision: mix(from.precision, to.precision), shift: mix(from.shift, to.shift) };
}

function assembled(prior: ArrowMatrix, forms: readonly Forms[], natural: readonly Natural[]): State | undefined {
  const matrix = copyArrow(prior);
  const right = new Float64Array(prior.banded + prior.border);
  for (const [index, { size, single, pairs }] of forms.entries()) {
    const { precision, shift } = natural[index] ?? { precision: new Float64Array(size * size), shift: new Float64Array(size) };
    for (const { i, j, row } of pairs) addOuter(matrix, row, precision[i * size + j] ?? 0);
    for (const [i, row] of single.entries()) {
      addOuter(matrix, row, ownWeight(precision, size, i));
      for (const [position, at] of row.index.entries()) right[at] = (right[at] ?? 0) + (shift[i] ?? 0) * (row.coefficient[position] ?? 0);
    }
  }
  const factor = factorArrow(matrix);
  if (factor === undefined) return undefined;
  const mean = solveArrow(factor, right);
  return { factor, mean, marginals: marginalsOf(factor, mean, forms) };
}

/** Lambda = sum over pairs of Lambda_ij (e_i + e_j)(e_i + e_j)' + diagonal rest: what is left for the single form. */
function ownWeight(precision: Float64Array, size: number, i: number): number {
  let weight = 2 * (precision[i * size + i] ?? 0);
  for (let j = 0; j < size; j++) weight -= precision[i * size + j] ?? 0;
  return weight;
}

function marginalsOf(factor: ArrowFactor, mean: Float64Array, forms: readonly Forms[]): readonly Context[] {
  const variances = rowVariances(factor, forms.flatMap(({ single, pairs }) => [...single, ...pairs.map(({ row }) => row)]));
  let next = 0;
  return forms.map(({ size, single, pairs }): Context => {
    const covariance = new Float64Array(size * size);
    for (let i = 0; i < size; i++) covariance[i * size + i] = variances[next++] ?? 0;
    for (const { i, j } of pairs) {
      const shared = ((variances[next++] ?? 0) - (covariance[i * size + i] ?? 0) - (covariance[j * size + j] ?? 0)) / 2;
      covariance[i * size + j] = shared;
      covariance[j * size + i] = shared;
    }
    return { mean: Float64Array.from(single, (row) => along(row, mean)), covariance };
  });
}

function updated(site: Site, marginal: Context | undefined, now: Natural, damping: number): { readonly natural: Natural; readonly moves: number } {
  const context = marginal === undefined ? undefined : without(marginal, now);
  const after = site.kind === "exact" || context === undefined ? undefined : tilted(site, context);
  if (marginal === undefined || context === undefined || after === undefined) return { natural: now, moves: 0 };
  const wanted = quotient(after, context);
  return wanted === undefined ? { natural: now, moves: 0 } : { natural: between(now, wanted, damping), moves: movement(marginal, after) };
}

/** The largest change of a mean in its standard deviations, or of a variance in its logarithm. */
function movement(before: Context, after: Context): number {
  const size = before.mean.length;
  let most = 0;
  for (let i = 0; i < size; i++) {
    const [was = 1, is = 1] = [before.covariance[i * size + i], after.covariance[i * size + i]];
    most = Math.max(most, Math.abs((after.mean[i] ?? 0) - (before.mean[i] ?? 0)) / Math.sqrt(was), Math.abs(Math.log(is / was)));
  }
  return most;
}

/** The marginal with one site taken out; undefined where nothing proper is left. */
function without(marginal: Context, site: Natural): Context | undefined {
  const size = marginal.mean.length;
  const inverse = smallInverse(marginal.covariance, size);
  if (inverse === undefined) return undefined;
  const rest = smallInverse(inverse.inverse.map((value, at) => value - (site.precision[at] ?? 0)), size);
  if (rest === undefined) return undefined;
  const shift = smallProduct(inverse.inverse, marginal.mean).map((value, at) => value - (site.shift[at] ?? 0));
  return { mean: smallProduct(rest.inverse, shift), covariance: rest.inverse };
}

/** The natural parameters that turn a context into the given moments. */
function quotient(after: Context, context: Context): Natural | undefined {
  const size = after.mean.length;
  const [is, was] = [smallInverse(after.covariance, size), smallInverse(context.covariance, size)];
  if (is === undefined || was === undefined) return undefined;
  const pull = smallProduct(was.inverse, context.mean);
  return {
    precision: is.inverse.map((value, at) => value - (was.inverse[at] ?? 0)),
    shift: smallProduct(is.inverse, after.mean).map((value, at) => value - (pull[at] ?? 0)),
  };
}

function finished(prior: ArrowMatrix, sites: readonly Site[], natural: readonly Natural[], state: State, converged: boolean): NormalPosterior | undefined {
  const priorFactor = factorArrow(prior);
  if (priorFactor === undefined) return undefined;
  let scale = 0;
  let quadratic = 0;
  const contexts = state.marginals.map((marginal, index): Context => {
    const [site, own] = [sites[index], natural[index]];
    const context = own === undefined ? undefined : without(marginal, own);
    if (site === undefined || own === undefined || context === undefined) return marginal;
    scale += logScale(site, context, own);
    quadratic += smallDot(own.shift, marginal.mean);
    return context;
  });
  const logEvidence = scale + 0.5 * (logDeterminant(priorFactor) - logDeterminant(state.factor)) + 0.5 * quadratic;
  return { mean: state.mean, factor: state.factor, sites: natural, contexts, logEvidence, converged };
}

/** Logarithm of the constant with which the site's normal stands for the site: its integral in context over that of exp(shift' g - g' precision g / 2). */
function logScale(site: Site, context: Context, natural: Natural): number {
  const size = context.mean.length;
  const known = smallInverse(context.covariance, size);
  const after = tilted(site, context);
  if (known === undefined || after === undefined) return 0;
  const total = smallInverse(known.inverse.map((value, at) => value + (natural.precision[at] ?? 0)), size);
  if (total === undefined) return 0;
  const pull = smallProduct(known.inverse, context.mean);
  const right = pull.map((value, at) => value + (natural.shift[at] ?? 0));
  const normal = -0.5 * (known.logDeterminant + total.logDeterminant) + 0.5 * (smallDot(right, smallProduct(total.inverse, right)) - smallDot(pull, context.mean));
  return after.logZ - normal;
}
