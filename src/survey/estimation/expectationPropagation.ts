import { keptFactor, logDeterminant } from "../linear/arrow.js";
import type { ArrowFactor, SparseRow, StandingFactor } from "../linear/arrow.js";
import { contextsOf } from "./contexts.js";
import type { Left } from "./contexts.js";
import { assembled } from "./marginals.js";
import { settleFew } from "./focus.js";
import { copiedNaturals, packInto } from "./naturals.js";
import type { Naturals } from "./naturals.js";
import type { Problem } from "./problem.js";
import { startOf } from "./sites.js";
import type { Context, Site } from "./sites.js";
import { updateSite, updateSites } from "./updates.js";
import { workFor } from "./work.js";
import type { AtScatters, Work } from "./work.js";

/** The posterior of all unknowns as a normal: its mean, and a factor of its precision. */
export type NormalPosterior = {
  readonly mean: Float64Array;
  readonly factor: ArrowFactor;
  readonly sites: Left;
  /** What all other sites and the prior say of each site's linear forms. */
  readonly contexts: readonly Context[];
  /** Logarithm of the probability of all readings under these scatters. */
  readonly logEvidence: number;
  readonly converged: boolean;
  readonly sweeps: number;
  /** The largest move that any site would still make. */
  readonly move: number;
  /** Slopes of the log evidence over the logarithm of the roughness, and over that of the seating scatter. */
  readonly roughnessSlope: number;
  readonly seatingSlope: number;
};

const MOST_SWEEPS = 60;
const MOST_HALVINGS = 8;
/** Settled when no site's mean moves by more than this share of its standard deviation: a hundredth of what is unknown anyway. */
const SETTLED = 1e-2;

/**
 * Expectation propagation: every site is replaced by the normal that gives the same first two moments in its context,
 * over and over until nothing moves, so that the joint posterior stays normal.
 * @source T. P. Minka, Expectation propagation for approximate Bayesian inference, UAI 2001 (from memory)
 */
export function normalPosterior(problem: Problem, at: AtScatters, start?: Left, settledAt: number = SETTLED): NormalPosterior | undefined {
  const work = workFor(problem, at);
  let natural = start === undefined ? startNaturals(problem, at.sites) : foreseen(work, start);
  let wanted = copiedNaturals(natural);
  let factor = assembled(work, natural);
  for (let sweep = 1; factor !== undefined; sweep++) {
    const moves = updateSites(work, natural, wanted);
    if (moves < settledAt || sweep === MOST_SWEEPS) return finished(work, factor, natural, wanted, moves < settledAt, sweep, moves);
    settleFew(work, factor, natural, wanted, settledAt);
    factor = stepTaken(work, natural, wanted);
    [natural, wanted] = [wanted, natural];
  }
  return undefined;
}

/** Value of a linear form of the unknowns. */
export function along({ index, coefficient }: SparseRow, parameters: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < index.length; k++) sum += (coefficient[k] ?? 0) * (parameters[index[k] ?? 0] ?? 0);
  return sum;
}

function startNaturals({ forms }: Problem, sites: readonly Site[]): Naturals {
  const precision = new Float64Array(forms.termStart.length - 1);
  const shift = new Float64Array(forms.entryStart.length - 1);
  for (const [index, site] of sites.entries()) {
    const start = startOf(site);
    shift.set(start.shift, forms.formStart[index] ?? 0);
    packInto(start.precision, start.shift.length, precision, forms.slotStart[index] ?? 0);
  }
  return { precision, shift };
}

/** What sites left elsewhere become here: mixtures change with the scatters, in the contexts that they had there, far more than what all else says of them. */
function foreseen(work: Work, start: Left): Naturals {
  const wanted = copiedNaturals(start.next);
  work.formMean.set(start.formMean);
  work.covariance.set(start.covariance);
  for (let site = 0; site < work.sites.length; site++) if (work.sites[site]?.kind === "mixture") updateSite(work, site, start, wanted);
  return wanted;
}

/** The wanted step, halved until the whole stays a proper distribution: updates of all sites at once can overshoot together. */
function stepTaken(work: Work, from: Naturals, wanted: Naturals): StandingFactor | undefined {
  for (let halvings = 0; halvings < MOST_HALVINGS; halvings++) {
    if (halvings > 0) {
      halve(from.precision, wanted.precision);
      halve(from.shift, wanted.shift);
    }
    const factor = assembled(work, wanted);
    if (factor !== undefined) return factor;
  }
  return undefined;
}

function halve(from: Float64Array, wanted: Float64Array): void {
  for (let at = 0; at < wanted.length; at++) wanted[at] = ((from[at] ?? 0) + (wanted[at] ?? 0)) / 2;
}

/** The posterior as it stands in `work`, all sites just visited. */
function finished(work: Work, standing: StandingFactor, natural: Naturals, next: Naturals, converged: boolean, sweeps: number, move: number): NormalPosterior {
  const { problem: { pattern, forms }, sites, logScale, formMean } = work;
  const factor = keptFactor(standing);
  let logEvidence = 0.5 * (work.logPrior - logDeterminant(factor));
  for (let site = 0; site < logScale.length; site++) logEvidence += logScale[site] ?? 0;
  for (let form = 0; form < formMean.length; form++) logEvidence += 0.5 * (natural.shift[form] ?? 0) * (formMean[form] ?? 0);
  const marginals = { formMean: formMean.slice(), covariance: work.covariance.slice() };
  let contexts: readonly Context[] | undefined;
  return {
    mean: byUnknowns(pattern.place, work.mean), factor, sites: { ...natural, ...marginals, next }, logEvidence, converged, sweeps, move,
    // settled sites make the evidence stationary, so that only the prior's and the classes' own dependence counts
    roughnessSlope: priorSlope(work, factor.inverse), seatingSlope: work.slopes.seating,
    get contexts() {
      contexts ??= contextsOf(marginals, natural, forms, sites);
      return contexts;
    },
  };
}

/** What stands by places, in the order of the unknowns. */
function byUnknowns(place: Int32Array, byPlaces: Float64Array): Float64Array {
  const values = new Float64Array(place.length);
  for (let unknown = 0; unknown < place.length; unknown++) values[unknown] = byPlaces[place[unknown] ?? 0] ?? 0;
  return values;
}

/**
 * Slope of the prior's part over the logarithm of the roughness: -rank + E[x' R x], R the roughness part of the precision.
 * @source D. J. C. MacKay, Bayesian interpolation, Neural Computation 4, 1992 (from memory)
 */
function priorSlope({ problem: { rough, roughRank }, roughScale, mean }: Work, inverse: Float64Array): number {
  let expected = 0;
  for (let t = 0; t < rough.at.length; t++) {
    const [row, column] = [rough.row[t] ?? 0, rough.column[t] ?? 0];
    // what stands beside the diagonal counts twice
    expected += (row === column ? 1 : 2) * (rough.value[t] ?? 0) * ((inverse[rough.at[t] ?? 0] ?? 0) + (mean[row] ?? 0) * (mean[column] ?? 0));
  }
  return roughScale * expected - roughRank;
}
