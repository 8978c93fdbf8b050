import { addOuter, copyArrow, factorArrow, logDeterminant, rowVariances, solveArrow } from "../linear/arrow.js";
import type { ArrowFactor, ArrowMatrix, SparseRow } from "../linear/arrow.js";
import { startOf, tilted } from "./sites.js";
import type { Natural, Site } from "./sites.js";

/** The posterior of all unknowns as a normal: its mean, and a factor of its precision. */
export type NormalPosterior = {
  readonly mean: Float64Array;
  readonly factor: ArrowFactor;
  readonly sites: readonly Natural[];
  /** What all other sites and the prior say of each site's linear form. */
  readonly cavities: readonly { readonly mean: number; readonly variance: number }[];
  /** Logarithm of the probability of all readings under these scatters. */
  readonly logEvidence: number;
  readonly converged: boolean;
};

const MOST_SWEEPS = 60;
/** Converged when no site's mean moves by more than this share of its standard deviation. */
const SETTLED = 1e-3;
const DAMPING = 0.85;
const MOST_HALVINGS = 8;

/**
 * Expectation propagation: every site is replaced by the normal that gives the same first two moments in its context,
 * over and over until nothing moves, so that the joint posterior stays normal.
 * @source T. P. Minka, Expectation propagation for approximate Bayesian inference, UAI 2001 (from memory)
 */
export function normalPosterior(prior: ArrowMatrix, sites: readonly Site[], start?: readonly Natural[]): NormalPosterior | undefined {
  const rows = sites.map((site) => site.row);
  let natural: readonly Natural[] = start ?? sites.map(startOf);
  let state = assembled(prior, rows, natural);
  for (let sweep = 0; sweep < MOST_SWEEPS && state !== undefined; sweep++) {
    const reached: State = state;
    const moved = sites.map((site, index) => updated(site, reached, natural, index));
    if (moved.every(({ shift }) => shift < SETTLED)) return finished(prior, sites, natural, reached, true);
    const step = possibleStep(prior, rows, natural, moved.map((site) => site.natural));
    natural = step?.natural ?? natural;
    state = step?.state;
  }
  return state === undefined ? undefined : finished(prior, sites, natural, state, false);
}

/** The wanted step, halved until the whole stays a proper distribution: updates of all sites at once can overshoot together. */
function possibleStep(prior: ArrowMatrix, rows: readonly SparseRow[], from: readonly Natural[], to: readonly Natural[]): { readonly natural: readonly Natural[]; readonly state: State } | undefined {
  for (let halvings = 0; halvings < MOST_HALVINGS; halvings++) {
    const share = 0.5 ** halvings;
    const natural = halvings === 0 ? to : to.map((wanted, index) => between(from[index] ?? wanted, wanted, share));
    const state = assembled(prior, rows, natural);
    if (state !== undefined) return { natural, state };
  }
  return undefined;
}

function between(from: Natural, to: Natural, share: number): Natural {
  return { precision: from.precision + share * (to.precision - from.precision), shift: from.shift + share * (to.shift - from.shift) };
}

type State = { readonly factor: ArrowFactor; readonly mean: Float64Array; readonly means: Float64Array; readonly variances: Float64Array };

function assembled(prior: ArrowMatrix, rows: readonly SparseRow[], natural: readonly Natural[]): State | undefined {
  const matrix = copyArrow(prior);
  const right = new Float64Array(prior.banded + prior.border);
  for (const [index, row] of rows.entries()) {
    const site = natural[index];
    if (site === undefined) continue;
    addOuter(matrix, row, site.precision);
    for (const [position, at] of row.index.entries()) right[at] = (right[at] ?? 0) + site.shift * (row.coefficient[position] ?? 0);
  }
  const factor = factorArrow(matrix);
  if (factor === undefined) return undefined;
  const mean = solveArrow(factor, right);
  return { factor, mean, means: Float64Array.from(rows, (row) => along(row, mean)), variances: rowVariances(factor, rows) };
}

function updated(site: Site, state: State, natural: readonly Natural[], index: number): { natural: Natural; shift: number } {
  const now = natural[index] ?? { precision: 0, shift: 0 };
  const mean = state.means[index] ?? 0;
  const variance = state.variances[index] ?? 1;
  const cavity = cavityOf(mean, variance, now);
  if (site.kind === "exact" || cavity === undefined) return { natural: now, shift: 0 };
  const after = tilted(site, cavity);
  const wanted = { precision: 1 / after.variance - 1 / cavity.variance, shift: after.mean / after.variance - cavity.mean / cavity.variance };
  return { natural: between(now, wanted, DAMPING), shift: Math.max(Math.abs(after.mean - mean) / Math.sqrt(variance), Math.abs(Math.log(after.variance / variance))) };
}

function cavityOf(mean: number, variance: number, site: Natural): { readonly mean: number; readonly variance: number } | undefined {
  const precision = 1 / variance - site.precision;
  return precision > 1e-9 / variance ? { mean: (mean / variance - site.shift) / precision, variance: 1 / precision } : undefined;
}

function finished(prior: ArrowMatrix, sites: readonly Site[], natural: readonly Natural[], state: State, converged: boolean): NormalPosterior | undefined {
  const priorFactor = factorArrow(prior);
  if (priorFactor === undefined) return undefined;
  const cavities = sites.map((_, index) => {
    const variance = state.variances[index] ?? 1;
    return cavityOf(state.means[index] ?? 0, variance, natural[index] ?? { precision: 0, shift: 0 }) ?? { mean: state.means[index] ?? 0, variance };
  });
  const scale = sites.reduce((sum, site, index) => sum + logScale(site, cavities[index] ?? { mean: 0, variance: 1 }, natural[index] ?? { precision: 0, shift: 0 }), 0);
  const quadratic = natural.reduce((sum, site, index) => sum + site.shift * (state.means[index] ?? 0), 0);
  const logEvidence = scale + 0.5 * (logDeterminant(priorFactor) - logDeterminant(state.factor)) + 0.5 * quadratic;
  return { mean: state.mean, factor: state.factor, sites: natural, cavities, logEvidence, converged };
}

/** Logarithm of the constant with which the site's normal stands for the site: tilted integral over the integral of cavity times exp(shift g - precision g^2 / 2). */
function logScale(site: Site, cavity: { readonly mean: number; readonly variance: number }, natural: Natural): number {
  const total = 1 / cavity.variance + natural.precision;
  const shift = cavity.mean / cavity.variance + natural.shift;
  const normal = -0.5 * Math.log(cavity.variance * total) + 0.5 * (shift ** 2 / total - cavity.mean ** 2 / cavity.variance);
  return tilted(site, cavity).logZ - normal;
}

/** Value of a linear form of the unknowns. */
export function along(row: SparseRow, parameters: Float64Array): number {
  return row.index.reduce((sum, at, position) => sum + (row.coefficient[position] ?? 0) * (parameters[at] ?? 0), 0);
}
