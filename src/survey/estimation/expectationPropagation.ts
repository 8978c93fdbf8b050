import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { factorArrow, fillInverse, inverseParts, logDeterminant, solveBackward, solveForward } from "../linear/arrow.js";
import type { ArrowFactor, InverseParts, SparseRow } from "../linear/arrow.js";
import { invertSmall, smallInverse, smallProduct } from "../linear/smallSpd.js";
import { fretWork, naturalFretMoments, preparedClasses } from "./fretMoments.js";
import type { FretWork, PreparedClasses } from "./fretMoments.js";
import type { FretClass } from "../model/fretClasses.js";
import type { Forms, Problem } from "./problem.js";
import { intervalMoments, startOf } from "./sites.js";
import type { Context, Site } from "./sites.js";

/** Normal approximations of all sites in natural parameters: packed precisions by slot, shifts by form. */
export type Naturals = { readonly precision: Float64Array; readonly shift: Float64Array };

/** The posterior of all unknowns as a normal: its mean, and a factor of its precision. */
export type NormalPosterior = {
  readonly mean: Float64Array;
  readonly factor: ArrowFactor;
  readonly sites: Naturals;
  /** What all other sites and the prior say of each site's linear forms. */
  readonly contexts: readonly Context[];
  /** Logarithm of the probability of all readings under these scatters. */
  readonly logEvidence: number;
  readonly converged: boolean;
  readonly sweeps: number;
  /** Slopes of the log evidence over the logarithm of the roughness, and over the step between the seatings beside. */
  readonly roughnessSlope: number;
  readonly seatingSlope: number;
};

/** The scatters at which a problem is looked at: the roughness, the sites with the fret classes of a seating, and the classes at seatings a little below and above. */
export type AtScatters = {
  readonly roughnessMm: number;
  readonly sites: readonly Site[];
  readonly beside?: { readonly below: readonly FretClass[]; readonly above: readonly FretClass[]; readonly apart: number };
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
export function normalPosterior(problem: Problem, at: AtScatters, start?: Naturals, settledAt: number = SETTLED): NormalPosterior | undefined {
  const work = workFor(problem, at);
  let natural = start === undefined ? startNaturals(problem, at.sites) : copied(start);
  let wanted = copied(natural);
  if (!assembled(work, natural)) return undefined;
  for (let sweep = 1; sweep <= MOST_SWEEPS; sweep++) {
    const moves = updateSites(work, natural, wanted);
    if (moves < settledAt) return finished(work, natural, true, sweep);
    if (!stepTaken(work, natural, wanted)) return undefined;
    [natural, wanted] = [wanted, natural];
  }
  return finished(work, natural, false, MOST_SWEEPS);
}

/** Value of a linear form of the unknowns. */
export function along(row: SparseRow, parameters: Float64Array): number {
  return row.index.reduce((sum, at, position) => sum + (row.coefficient[position] ?? 0) * (parameters[at] ?? 0), 0);
}

/** Share of its wanted step that a site takes: less while it swings to and fro, more again while it goes on in one direction. */
const FIRST_SHARE = 1;
const LEAST_SHARE = 0.05;
const SWINGING = 0.8;
const GOING_ON = 1.05;

/** Everything that one run of the iteration writes into. */
type Work = {
  readonly problem: Problem;
  readonly at: AtScatters;
  readonly sites: readonly Site[];
  readonly classes: ReadonlyMap<unknown, PreparedClasses>;
  readonly logPrior: number;
  readonly prior: Float64Array;
  readonly entries: Float64Array;
  readonly factor: Float64Array;
  readonly parts: InverseParts;
  /** Mean by places, and what all sites say of each form. */
  readonly mean: Float64Array;
  readonly formMean: Float64Array;
  readonly covariance: Float64Array;
  readonly carried: Float64Array;
  readonly frets: Map<number, FretRoom>;
  /** Share of its wanted step that each site takes, and the last step of each form. */
  readonly shares: Float64Array;
  readonly lastStep: Float64Array;
};

/** Room for the update of a site with several forms. */
type FretRoom = { readonly fret: FretWork; readonly marginal: Float64Array; readonly marginalShift: Float64Array; readonly after: Float64Array };

function workFor(problem: Problem, at: AtScatters): Work {
  const { fixed, rough } = problem;
  const room = rooms.get(problem) ?? roomOf(problem);
  rooms.set(problem, room);
  const scale = 1 / at.roughnessMm ** 2;
  const { prior, shares, lastStep } = room;
  for (let entry = 0; entry < prior.length; entry++) prior[entry] = (fixed[entry] ?? 0) + scale * (rough[entry] ?? 0);
  shares.fill(FIRST_SHARE);
  lastStep.fill(0);
  return { ...room, at, sites: at.sites, classes: preparedByClasses(at.sites), logPrior: problem.logPrior + problem.roughRank * Math.log(scale) };
}

/** Room is kept from look to look at the same problem: new large arrays cost as much as filling them. */
const rooms = new WeakMap<Problem, Room>();

type Room = Omit<Work, "at" | "sites" | "classes" | "logPrior">;

function roomOf(problem: Problem): Room {
  const { pattern, forms, sites } = problem;
  const entries = (): Float64Array => new Float64Array(pattern.entries);
  const ofForms = (): Float64Array => new Float64Array(forms.entryStart.length - 1);
  return {
    problem, prior: entries(), entries: entries(), factor: entries(), parts: inverseParts(pattern), mean: new Float64Array(pattern.place.length),
    formMean: ofForms(), covariance: new Float64Array(forms.termStart.length - 1), carried: new Float64Array(pattern.stride * mostForms(forms)),
    frets: new Map(), shares: new Float64Array(sites.length), lastStep: ofForms(),
  };
}

function preparedByClasses(sites: readonly Site[]): ReadonlyMap<unknown, PreparedClasses> {
  const known = new Map<unknown, PreparedClasses>();
  for (const site of sites) if (site.kind === "fret" && !known.has(site.classes)) known.set(site.classes, preparedClasses(site.classes, site.baseSd));
  return known;
}

function mostForms({ formStart }: Forms): number {
  return formStart.reduce((most, from, site) => Math.max(most, from - (formStart[site - 1] ?? 0)), 1);
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

function copied({ precision, shift }: Naturals): Naturals {
  return { precision: precision.slice(), shift: shift.slice() };
}

/** The wanted step, halved until the whole stays a proper distribution: updates of all sites at once can overshoot together. */
function stepTaken(work: Work, from: Naturals, wanted: Naturals): boolean {
  for (let halvings = 0; halvings < MOST_HALVINGS; halvings++) {
    if (halvings > 0) {
      halve(from.precision, wanted.precision);
      halve(from.shift, wanted.shift);
    }
    if (assembled(work, wanted)) return true;
  }
  return false;
}

function halve(from: Float64Array, wanted: Float64Array): void {
  for (let at = 0; at < wanted.length; at++) wanted[at] = ((from[at] ?? 0) + (wanted[at] ?? 0)) / 2;
}

/** Fills matrix, factor, mean and marginals; false where the sites leave no proper distribution. */
function assembled(work: Work, { precision, shift }: Naturals): boolean {
  const { entries, prior, mean, factor, parts, problem: { pattern, forms } } = work;
  const { termStart, termAt, termProduct, entryStart, entryPlace, entryCoefficient } = forms;
  entries.set(prior);
  mean.fill(0);
  for (let slot = 0; slot < precision.length; slot++) {
    const weight = precision[slot] ?? 0;
    const end = termStart[slot + 1] ?? 0;
    for (let t = termStart[slot] ?? 0; t < end; t++) {
      const at = termAt[t] ?? 0;
      entries[at] = (entries[at] ?? 0) + weight * (termProduct[t] ?? 0);
    }
  }
  for (let form = 0; form < shift.length; form++) {
    const weight = shift[form] ?? 0;
    const end = entryStart[form + 1] ?? 0;
    for (let t = entryStart[form] ?? 0; t < end; t++) {
      const at = entryPlace[t] ?? 0;
      mean[at] = (mean[at] ?? 0) + weight * (entryCoefficient[t] ?? 0);
    }
  }
  const found = factorArrow(pattern, entries, undefined, factor);
  if (found === undefined) return false;
  solveForward(found, mean);
  solveBackward(found, mean);
  fillInverse(found, parts);
  for (let site = 0; site < work.sites.length; site++) fillMarginal(work, site);
  return true;
}

/** A form of no unknowns has no variance; so small a one says the same and can be divided by. */
const LEAST_VARIANCE = 1e-24;

function fillMarginal({ problem: { forms }, parts, mean, formMean, covariance, carried }: Work, site: number): void {
  const { stride } = parts.pattern;
  const { formStart, slotStart, entryStart, entryPlace, entryCoefficient, termStart, innerEnd, termAt, termShare } = forms;
  const from = formStart[site] ?? 0;
  const to = formStart[site + 1] ?? 0;
  let slot = slotStart[site] ?? 0;
  for (let form = from; form < to; form++) {
    const own = (form - from) * stride;
    for (let p = 0; p < stride; p++) carried[own + p] = 0;
    let value = 0;
    const end = entryStart[form + 1] ?? 0;
    for (let t = entryStart[form] ?? 0; t < end; t++) {
      const coefficient = entryCoefficient[t] ?? 0;
      const place = entryPlace[t] ?? 0;
      value += coefficient * (mean[place] ?? 0);
      for (let p = 0, at = place * stride; p < stride; p++, at++) carried[own + p] = (carried[own + p] ?? 0) + coefficient * (parts.carried[at] ?? 0);
    }
    formMean[form] = value;
    for (let before = from; before <= form; before++) {
      const other = (before - from) * stride;
      let sum = 0;
      for (let p = 0; p < stride; p++) sum += (carried[own + p] ?? 0) * (carried[other + p] ?? 0);
      const last = innerEnd[slot] ?? 0;
      for (let t = termStart[slot] ?? 0; t < last; t++) sum += (termShare[t] ?? 0) * (parts.inner[termAt[t] ?? 0] ?? 0);
      covariance[slot] = before === form ? Math.max(sum, LEAST_VARIANCE) : sum;
      slot++;
    }
  }
}

/** What a site reports that cannot move because nothing proper is left in its context: the iteration has not settled. */
const STUCK = Infinity;

/** Writes the wanted sites, a damped step away, and returns the largest move of any. */
function updateSites(work: Work, natural: Naturals, wanted: Naturals): number {
  const { sites, problem: { forms } } = work;
  let most = 0;
  for (let index = 0; index < sites.length; index++) {
    const site = sites[index];
    const [form, slot] = [forms.formStart[index] ?? 0, forms.slotStart[index] ?? 0];
    if (site?.kind === "interval") most = Math.max(most, updateInterval(work, site, natural, wanted, form, slot));
    else if (site?.kind === "fret") most = Math.max(most, updateFret(work, site, natural, wanted, form, slot));
    if (site?.kind !== "exact") takeShare(work, natural, wanted, index);
  }
  return most;
}

/** Shortens a site's wanted step to its share, which follows whether the site swings or goes on. */
function takeShare({ problem: { forms }, shares, lastStep }: Work, natural: Naturals, wanted: Naturals, index: number): void {
  let agreement = 0;
  for (let form = forms.formStart[index] ?? 0; form < (forms.formStart[index + 1] ?? 0); form++) {
    const step = (wanted.shift[form] ?? 0) - (natural.shift[form] ?? 0);
    const before = lastStep[form] ?? 0;
    agreement += step * before;
    lastStep[form] = step;
  }
  const before = shares[index] ?? FIRST_SHARE;
  const swings = agreement < 0;
  const share = swings ? Math.max(LEAST_SHARE, SWINGING * before) : Math.min(1, GOING_ON * before);
  shares[index] = share;
  for (let form = forms.formStart[index] ?? 0; form < (forms.formStart[index + 1] ?? 0); form++) wanted.shift[form] = mixed(natural.shift[form] ?? 0, wanted.shift[form] ?? 0, share);
  for (let slot = forms.slotStart[index] ?? 0; slot < (forms.slotStart[index + 1] ?? 0); slot++) wanted.precision[slot] = mixed(natural.precision[slot] ?? 0, wanted.precision[slot] ?? 0, share);
}

function mixed(from: number, to: number, share: number): number {
  return from + share * (to - from);
}

function updateInterval(work: Work, site: Site & { kind: "interval" }, natural: Naturals, wanted: Naturals, form: number, slot: number): number {
  const [mean, variance] = [work.formMean[form] ?? 0, work.covariance[slot] ?? 1];
  const [precision, shift] = [natural.precision[slot] ?? 0, natural.shift[form] ?? 0];
  wanted.precision[slot] = precision;
  wanted.shift[form] = shift;
  const contextPrecision = 1 / variance - precision;
  const contextShift = mean / variance - shift;
  const after = intervalMoments(site.low, site.high, site.s, contextPrecision, contextShift);
  if (after === undefined || !(after.variance > 0)) return STUCK;
  wanted.precision[slot] = 1 / after.variance - contextPrecision;
  wanted.shift[form] = after.mean / after.variance - contextShift;
  return Math.max(Math.abs(after.mean - mean) / Math.sqrt(variance), Math.abs(Math.log(after.variance / variance)));
}

function updateFret(work: Work, site: Site & { kind: "fret" }, natural: Naturals, wanted: Naturals, form: number, slot: number): number {
  const room = roomFor(work, site.rows.length);
  const { fret, after, marginal, marginalShift } = room;
  const { size } = fret;
  for (let i = 0; i < size; i++) wanted.shift[form + i] = natural.shift[form + i] ?? 0;
  for (let t = 0; t < (size * (size + 1)) / 2; t++) wanted.precision[slot + t] = natural.precision[slot + t] ?? 0;
  const prepared = work.classes.get(site.classes);
  if (prepared === undefined || contextLog(work, room, natural, form, slot) === undefined || !naturalFretMoments(prepared, fret)) return STUCK;
  if (invertSmall(fret.covariance, size, fret.factor, after) === undefined) return STUCK;
  keepProper(room, prepared);
  let most = 0;
  let t = slot;
  for (let i = 0; i < size; i++) {
    let pull = 0;
    let apart = 0;
    for (let j = 0; j < size; j++) {
      const precision = (after[i * size + j] ?? 0) - (fret.precision[i * size + j] ?? 0);
      pull += (after[i * size + j] ?? 0) * (fret.mean[j] ?? 0);
      apart += ((after[i * size + j] ?? 0) - (marginal[i * size + j] ?? 0)) * (work.formMean[form + j] ?? 0);
      if (j > i) continue;
      wanted.precision[t] = precision;
      t++;
    }
    wanted.shift[form + i] = pull - (fret.shift[i] ?? 0);
    const variance = work.covariance[t - 1] ?? 1;
    const change = (after[i * (size + 1)] ?? 0) - (marginal[i * (size + 1)] ?? 0);
    most = Math.max(most, Math.abs(pull - (marginalShift[i] ?? 0) - apart) * Math.sqrt(variance), Math.abs(change) * variance);
  }
  return most;
}

/** Base and site of a fret together are no wider than this: no kind of fret is. */
const WIDEST_FRET_MM = 0.1;
const LEAST_PRECISION = 1 / WIDEST_FRET_MM ** 2;
/** They are centred no farther than this beyond the centres of its classes. */
const BEYOND_CLASSES_MM = 0.035;

/**
 * A fret between two classes can be more uncertain than its readings alone make it; its normal would then have to take precision away from
 * what the readings say, and these, taken out in turn, would leave nothing proper, or a fret far from any class. Where base and site together would be
 * no such distribution, their precision is raised in that direction; the mean stays, and the uncertainty is a little under that of the two classes.
 */
function keepProper({ fret, after }: FretRoom, { basePrecision, classes }: PreparedClasses): void {
  const { size, precision, shift, mean, matrix, factor, right, covariance } = fret;
  for (let i = 0; i < size; i++) {
    let pull = -(shift[i] ?? 0) - basePrecision * (mean[i] ?? 0);
    for (let j = 0; j < size; j++) {
      pull += (precision[i * size + j] ?? 0) * (mean[j] ?? 0);
      matrix[i * size + j] = (after[i * size + j] ?? 0) - (precision[i * size + j] ?? 0);
    }
    right[i] = pull;
    matrix[i * (size + 1)] = (matrix[i * (size + 1)] ?? 0) + basePrecision - LEAST_PRECISION;
  }
  if (invertSmall(matrix, size, factor, covariance) !== undefined && isBetween(covariance, right, mean, classes)) return;
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(Matrix.from1DArray(size, size, matrix), { assumeSymmetric: true });
  for (const [k, value] of realEigenvalues.entries()) {
    const direction = eigenvectorMatrix.getColumn(k);
    const raise = Math.max(LEAST_PRECISION, leastPrecision(dotWith(direction, right), dotWith(direction, mean), classes.map((one) => dotWith(direction, one.mean)))) - LEAST_PRECISION - value;
    if (!(raise > 0)) continue;
    for (let i = 0; i < size; i++) for (let j = 0; j < size; j++) after[i * size + j] = (after[i * size + j] ?? 0) + raise * (direction[i] ?? 0) * (direction[j] ?? 0);
  }
}

/** The precision with which a pull at a mean comes from a centre no farther out than the classes'. */
function leastPrecision(pull: number, mean: number, centres: readonly number[]): number {
  const limit = pull > 0 ? Math.max(...centres) + BEYOND_CLASSES_MM : Math.min(...centres) - BEYOND_CLASSES_MM;
  return Math.max(0, pull / (limit - mean));
}

function dotWith(direction: readonly number[], vector: Float64Array): number {
  return direction.reduce((sum, value, i) => sum + value * (vector[i] ?? 0), 0);
}

/** Whether the centre lies among those of the classes, line by line, if the precision less the least one is the inverse of `covariance`. */
function isBetween(covariance: Float64Array, pull: Float64Array, mean: Float64Array, classes: PreparedClasses["classes"]): boolean {
  const size = pull.length;
  for (let i = 0; i < size; i++) {
    let centre = mean[i] ?? 0;
    for (let j = 0; j < size; j++) centre += (covariance[i * size + j] ?? 0) * (pull[j] ?? 0);
    let low = Infinity;
    let high = -Infinity;
    for (const one of classes) {
      low = Math.min(low, one.mean[i] ?? 0);
      high = Math.max(high, one.mean[i] ?? 0);
    }
    if (!(centre > low - BEYOND_CLASSES_MM && centre < high + BEYOND_CLASSES_MM)) return false;
  }
  return true;
}

function roomFor(work: Work, size: number): FretRoom {
  const known = work.frets.get(size);
  if (known !== undefined) return known;
  const made = { fret: fretWork(size), marginal: new Float64Array(size * size), marginalShift: new Float64Array(size), after: new Float64Array(size * size) };
  work.frets.set(size, made);
  return made;
}

/** Puts a site's context into `room.fret` in natural parameters; returns the log determinant of the marginal covariance, or undefined where it is none. */
function contextLog({ covariance, formMean }: Work, { fret, marginal, marginalShift }: FretRoom, natural: Naturals, form: number, slot: number): number | undefined {
  const { size, precision, shift, matrix, factor, right } = fret;
  unpackInto(covariance, slot, size, matrix);
  const log = invertSmall(matrix, size, factor, marginal);
  if (log === undefined) return undefined;
  unpackInto(natural.precision, slot, size, precision);
  for (let at = 0; at < precision.length; at++) precision[at] = (marginal[at] ?? 0) - (precision[at] ?? 0);
  for (let i = 0; i < size; i++) right[i] = formMean[form + i] ?? 0;
  smallProduct(marginal, right, marginalShift);
  for (let i = 0; i < size; i++) shift[i] = (marginalShift[i] ?? 0) - (natural.shift[form + i] ?? 0);
  return log;
}

function packInto(full: Float64Array, size: number, packed: Float64Array, from: number): void {
  for (let i = 0, t = from; i < size; i++) for (let j = 0; j <= i; j++, t++) packed[t] = full[i * size + j] ?? 0;
}

function unpackInto(packed: Float64Array, from: number, size: number, full: Float64Array): void {
  for (let i = 0, t = from; i < size; i++) {
    for (let j = 0; j <= i; j++, t++) {
      full[i * size + j] = packed[t] ?? 0;
      full[j * size + i] = packed[t] ?? 0;
    }
  }
}

function finished(work: Work, natural: Naturals, converged: boolean, sweeps: number): NormalPosterior {
  const { problem: { pattern, forms }, sites } = work;
  const factor = { pattern, entries: work.factor.slice() };
  let logEvidence = 0.5 * (work.logPrior - logDeterminant(factor));
  for (const [index, site] of sites.entries()) {
    const [form, slot] = [forms.formStart[index] ?? 0, forms.slotStart[index] ?? 0];
    logEvidence += site.kind === "fret" ? fretScale(work, site, natural, form, slot) : scalarScale(work, site, natural, form, slot);
    for (let i = 0; i < site.rows.length; i++) logEvidence += 0.5 * (natural.shift[form + i] ?? 0) * (work.formMean[form + i] ?? 0);
  }
  const marginals = { formMean: work.formMean.slice(), covariance: work.covariance.slice() };
  let contexts: readonly Context[] | undefined;
  return {
    mean: Float64Array.from(pattern.place, (at) => work.mean[at] ?? 0), factor, sites: natural, logEvidence, converged, sweeps,
    roughnessSlope: roughnessSlope(work), seatingSlope: seatingSlope(work, natural),
    get contexts() {
      contexts ??= sites.map((site, index) => contextOf(marginals, natural, site.rows.length, forms.formStart[index] ?? 0, forms.slotStart[index] ?? 0));
      return contexts;
    },
  };
}

/** The marginal with one site taken out; the marginal itself where nothing proper is left. */
function contextOf({ formMean, covariance }: Pick<Work, "formMean" | "covariance">, natural: Naturals, size: number, form: number, slot: number): Context {
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

/** Settled sites make the evidence stationary, so that only the classes' own dependence on the seating counts. */
function seatingSlope(work: Work, natural: Naturals): number {
  const { at: { beside }, problem: { forms } } = work;
  if (beside === undefined) return 0;
  let sum = 0;
  let prepared: { readonly below: PreparedClasses; readonly above: PreparedClasses } | undefined;
  for (const [index, site] of work.sites.entries()) {
    if (site.kind !== "fret") continue;
    prepared ??= { below: preparedClasses(beside.below, site.baseSd), above: preparedClasses(beside.above, site.baseSd) };
    const room = roomFor(work, site.rows.length);
    if (contextLog(work, room, natural, forms.formStart[index] ?? 0, forms.slotStart[index] ?? 0) === undefined || !naturalFretMoments(prepared.above, room.fret)) continue;
    const above = room.fret.logIntegral;
    if (naturalFretMoments(prepared.below, room.fret)) sum += above - room.fret.logIntegral;
  }
  return sum / beside.apart;
}

/**
 * Settled sites make the evidence stationary, so that only the prior's own dependence counts: -rank + E[x' R x], R the roughness part of the precision.
 * @source D. J. C. MacKay, Bayesian interpolation, Neural Computation 4, 1992 (from memory)
 */
function roughnessSlope({ problem: { pattern, rough, roughRank }, at: { roughnessMm }, mean, parts }: Work): number {
  const { inner, stride, rowStart, rowColumn, diagonalAt } = pattern;
  let expected = 0;
  for (let i = 0; i < inner; i++) {
    const end = rowStart[i + 1] ?? 0;
    for (let t = rowStart[i] ?? 0; t <= end; t++) {
      const at = t === end ? diagonalAt + i : t;
      const j = t === end ? i : rowColumn[t] ?? 0;
      const weight = rough[at] ?? 0;
      if (weight === 0) continue;
      let covariance = (parts.inner[at] ?? 0) + (mean[i] ?? 0) * (mean[j] ?? 0);
      for (let p = 0; p < stride; p++) covariance += (parts.carried[i * stride + p] ?? 0) * (parts.carried[j * stride + p] ?? 0);
      expected += (i === j ? 1 : 2) * weight * covariance;
    }
  }
  return expected / roughnessMm ** 2 - roughRank;
}

/**
 * Logarithm of the constant with which a site's normal stands for the site: its integral in context over that of exp(shift' g - g' precision g / 2).
 */
function scalarScale(work: Work, site: Exclude<Site, { kind: "fret" }>, natural: Naturals, form: number, slot: number): number {
  if (site.kind === "exact") return -0.5 * (Math.log(2 * Math.PI * site.u ** 2) + (site.value / site.u) ** 2);
  const [mean, variance] = [work.formMean[form] ?? 0, work.covariance[slot] ?? 1];
  const after = intervalMoments(site.low, site.high, site.s, 1 / variance - (natural.precision[slot] ?? 0), mean / variance - (natural.shift[form] ?? 0));
  return (after?.logIntegral ?? 0) - 0.5 * (Math.log(2 * Math.PI * variance) + (mean * mean) / variance);
}

function fretScale(work: Work, site: Site & { kind: "fret" }, natural: Naturals, form: number, slot: number): number {
  const size = site.rows.length;
  const room = roomFor(work, size);
  const prepared = work.classes.get(site.classes);
  const marginalLog = contextLog(work, room, natural, form, slot);
  if (prepared === undefined || marginalLog === undefined || !naturalFretMoments(prepared, room.fret)) return 0;
  let quadratic = 0;
  for (let i = 0; i < size; i++) quadratic += (work.formMean[form + i] ?? 0) * (room.marginalShift[i] ?? 0);
  return room.fret.logIntegral - 0.5 * (size * Math.log(2 * Math.PI) + marginalLog + quadratic);
}
