import { rowCovariances } from "../linear/arrow.js";
import type { StandingFactor } from "../linear/arrow.js";
import { invertSmall } from "../linear/smallSpd.js";
import type { Naturals } from "./naturals.js";
import { unpackInto } from "./naturals.js";
import { takeShare, updateSite } from "./updates.js";
import { FIRST_SHARE } from "./work.js";
import type { Work } from "./work.js";

/** So many sites may be settled among themselves. */
const MOST_SITES = 6;
const MOST_ROUNDS = 12;
/** Restlessness that is left from one sweep to the next. */
const KEPT = 0.5;
/** A site that was stuck, its move without bound, may come to rest again. */
const MOST_RESTLESS = 1;
/** Those among them count as settled when they move by less than this share of what all must. */
const CLOSER = 0.3;

/**
 * The few sites that still move while all others rest, most often neighbouring frets that could each be of either kind: settled among themselves,
 * one after the other, in the joint normal of their forms alone. Written into `wanted`; the others keep the steps that stand there.
 * Moved all at once they would swing against each other for many sweeps.
 */
export function settleFew(work: Work, factor: StandingFactor, natural: Naturals, wanted: Naturals, settledAt: number): void {
  const few = restlessSites(work, settledAt);
  if (few.length === 0) return;
  for (const site of few) {
    work.shares[site] = FIRST_SHARE;
    for (let form = work.problem.forms.formStart[site] ?? 0; form < (work.problem.forms.formStart[site + 1] ?? 0); form++) work.lastStep[form] = 0;
  }
  const joint = jointOf(work, factor, few);
  const own = { precision: natural.precision.slice(), shift: natural.shift.slice() };
  for (let round = 0, most = Infinity; round < MOST_ROUNDS && most > CLOSER * settledAt; round++) {
    most = 0;
    for (const [k, site] of few.entries()) {
      showMarginals(work, joint, site, joint.starts[k] ?? 0);
      most = Math.max(most, updateSite(work, site, own, wanted));
      takeShare(work, own, wanted, site);
      if (!condition(work, joint, site, joint.starts[k] ?? 0, own, wanted)) return;
    }
  }
}

/** Sites that move by more than they may, and those that lately did; none where too many do. */
function restlessSites({ moves, restless, sites }: Work, settledAt: number): readonly number[] {
  const few: number[] = [];
  let moving = 0;
  for (let site = 0; site < sites.length; site++) {
    const move = moves[site] ?? 0;
    restless[site] = Math.max(Math.min(move, MOST_RESTLESS), KEPT * (restless[site] ?? 0));
    if (move > settledAt) moving += 1;
    if ((restless[site] ?? 0) > KEPT * settledAt) few.push(site);
  }
  if (moving === 0 || moving > MOST_SITES) return [];
  return few.sort((a, b) => (restless[b] ?? 0) - (restless[a] ?? 0)).slice(0, MOST_SITES);
}

/** Mean and covariance of the forms of a few sites, and the first form of each. */
type Joint = { readonly size: number; readonly starts: readonly number[]; readonly mean: Float64Array; readonly covariance: Float64Array };

function jointOf(work: Work, factor: StandingFactor, few: readonly number[]): Joint {
  const { problem: { forms: { formStart } }, sites, formMean } = work;
  const starts: number[] = [];
  const all: number[] = [];
  for (const site of few) {
    starts.push(all.length);
    for (let form = formStart[site] ?? 0; form < (formStart[site + 1] ?? 0); form++) all.push(form);
  }
  const size = all.length;
  const covariance = rowCovariances(factor, few.flatMap((site) => sites[site]?.rows ?? []));
  return { size, starts, mean: Float64Array.from(all, (form) => formMean[form] ?? 0), covariance };
}

/** Puts the marginals of one site where its update looks for them. */
function showMarginals({ problem: { forms }, formMean, covariance }: Work, joint: Joint, site: number, start: number): void {
  const form = forms.formStart[site] ?? 0;
  const count = (forms.formStart[site + 1] ?? 0) - form;
  for (let i = 0, slot = forms.slotStart[site] ?? 0; i < count; i++) {
    formMean[form + i] = joint.mean[start + i] ?? 0;
    for (let j = 0; j <= i; j++, slot++) covariance[slot] = joint.covariance[(start + i) * joint.size + start + j] ?? 0;
  }
}

/** Takes one site's step into the joint normal and into `own`; false, and nothing taken, where no proper distribution would be left. */
function condition(work: Work, joint: Joint, site: number, start: number, own: Naturals, wanted: Naturals): boolean {
  const step = stepOf(work, joint, site, start, own, wanted);
  if (step === undefined) return false;
  const { formStart, slotStart } = work.problem.forms;
  takeFromCovariance(joint, start, step);
  moveMean(joint, start, step);
  for (let form = formStart[site] ?? 0; form < (formStart[site + 1] ?? 0); form++) own.shift[form] = wanted.shift[form] ?? 0;
  for (let slot = slotStart[site] ?? 0; slot < (slotStart[site + 1] ?? 0); slot++) own.precision[slot] = wanted.precision[slot] ?? 0;
  return true;
}

/** A site's change of precision and shift, and V^-1 - V^-1 V' V^-1 with V and V' its forms' covariance before and after; all of n forms, flat. */
type SiteStep = { readonly n: number; readonly precision: Float64Array; readonly shift: Float64Array; readonly gain: Float64Array };

function stepOf({ problem: { forms } }: Work, { size, covariance }: Joint, site: number, start: number, own: Naturals, wanted: Naturals): SiteStep | undefined {
  const form = forms.formStart[site] ?? 0;
  const slot = forms.slotStart[site] ?? 0;
  const n = (forms.formStart[site + 1] ?? 0) - form;
  const square = (): Float64Array => new Float64Array(n * n);
  const [before, known, precision, factor, after] = [square(), square(), square(), square(), square()];
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) before[i * n + j] = covariance[(start + i) * size + start + j] ?? 0;
  if (invertSmall(before, n, factor, known) === undefined) return undefined;
  unpackInto(wanted.precision, slot, n, precision);
  unpackInto(own.precision, slot, n, before);
  for (let t = 0; t < n * n; t++) {
    precision[t] = (precision[t] ?? 0) - (before[t] ?? 0);
    before[t] = (known[t] ?? 0) + (precision[t] ?? 0);
  }
  if (invertSmall(before, n, factor, after) === undefined) return undefined;
  const shift = Float64Array.from({ length: n }, (_, i) => (wanted.shift[form + i] ?? 0) - (own.shift[form + i] ?? 0));
  return { n, precision, shift, gain: lessBetween(known, after, n) };
}

/** C - C_s (V^-1 - V^-1 V' V^-1) C_s', C_s the columns of the site. */
function takeFromCovariance({ size, covariance }: Joint, start: number, { n, gain }: SiteStep): void {
  const columns = new Float64Array(size * n);
  const gained = new Float64Array(size * n);
  for (let a = 0; a < size; a++) {
    for (let i = 0; i < n; i++) {
      let sum = 0;
      for (let j = 0; j < n; j++) sum += (covariance[a * size + start + j] ?? 0) * (gain[j * n + i] ?? 0);
      columns[a * n + i] = covariance[a * size + start + i] ?? 0;
      gained[a * n + i] = sum;
    }
  }
  for (let a = 0; a < size; a++) {
    for (let b = 0; b <= a; b++) {
      let left = covariance[a * size + b] ?? 0;
      for (let j = 0; j < n; j++) left -= (gained[a * n + j] ?? 0) * (columns[b * n + j] ?? 0);
      covariance[a * size + b] = left;
      covariance[b * size + a] = left;
    }
  }
}

/** m + C'_s (shift - precision m_s), C'_s the site's columns after the step. */
function moveMean({ size, mean, covariance }: Joint, start: number, { n, precision, shift }: SiteStep): void {
  const pull = shift.map((own, i) => {
    let sum = own;
    for (let j = 0; j < n; j++) sum -= (precision[i * n + j] ?? 0) * (mean[start + j] ?? 0);
    return sum;
  });
  for (let a = 0; a < size; a++) for (let j = 0; j < n; j++) mean[a] = (mean[a] ?? 0) + (covariance[a * size + start + j] ?? 0) * (pull[j] ?? 0);
}

/** V^-1 - V^-1 V' V^-1. */
function lessBetween(known: Float64Array, after: Float64Array, n: number): Float64Array {
  const gain = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      let sum = known[i * n + j] ?? 0;
      for (let k = 0; k < n; k++) for (let l = 0; l < n; l++) sum -= (known[i * n + k] ?? 0) * (after[k * n + l] ?? 0) * (known[l * n + j] ?? 0);
      gain[i * n + j] = sum;
    }
  }
  return gain;
}
