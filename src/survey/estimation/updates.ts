import { invertSmall, smallProduct } from "../linear/smallSpd.js";
import { keepProper } from "./keepProper.js";
import { integralSlope, naturalMixtureMoments } from "./mixtureMoments.js";
import type { Naturals } from "./naturals.js";
import { unpackInto } from "./naturals.js";
import { intervalMoments } from "./sites.js";
import type { Site } from "./sites.js";
import { FIRST_SHARE, mixtureRoom } from "./work.js";
import type { MixtureRoom, Work } from "./work.js";

/** A site's share is less while it swings to and fro, more again while it goes on in one direction. */
const LEAST_SHARE = 0.05;
const SWINGING = 0.8;
const GOING_ON = 1.05;
/** What a site reports that cannot move because nothing proper is left in its context: the iteration has not settled. */
const STUCK = Infinity;

/** Writes the wanted sites, a damped step away, and returns the largest move of any; the sites' constants and slopes are left in `work`. */
export function updateSites(work: Work, natural: Naturals, wanted: Naturals): number {
  const { sites, slopes, moves } = work;
  slopes.seating = 0;
  let most = 0;
  for (let index = 0; index < sites.length; index++) {
    const move = updateSite(work, index, natural, wanted);
    moves[index] = move;
    most = Math.max(most, move);
    if (sites[index]?.kind !== "exact") takeShare(work, natural, wanted, index);
  }
  return most;
}

/** Writes what one site wants to be, and returns how far it moves. */
export function updateSite(work: Work, index: number, natural: Naturals, wanted: Naturals): number {
  const { problem: { forms } } = work;
  const site = work.sites[index];
  const form = forms.formStart[index] ?? 0;
  const slot = forms.slotStart[index] ?? 0;
  if (site?.kind === "interval") return updateInterval(work, site, index, natural, wanted, form, slot);
  if (site?.kind === "mixture") return updateMixture(work, site, index, natural, wanted, form, slot);
  if (site !== undefined) work.logScale[index] = -0.5 * (Math.log(2 * Math.PI * site.u ** 2) + (site.value / site.u) ** 2);
  return 0;
}

/** Shortens a site's wanted step to its share, which follows whether the site swings or goes on. */
export function takeShare({ problem: { forms }, shares, lastStep }: Work, natural: Naturals, wanted: Naturals, index: number): void {
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

function updateInterval(work: Work, site: Site & { kind: "interval" }, index: number, natural: Naturals, wanted: Naturals, form: number, slot: number): number {
  const mean = work.formMean[form] ?? 0;
  const variance = work.covariance[slot] ?? 1;
  const precision = natural.precision[slot] ?? 0;
  const shift = natural.shift[form] ?? 0;
  const contextPrecision = 1 / variance - precision;
  const contextShift = mean / variance - shift;
  const after = intervalMoments(site.low, site.high, site.s, contextPrecision, contextShift);
  work.logScale[index] = (after?.logIntegral ?? 0) - 0.5 * (Math.log(2 * Math.PI * variance) + (mean * mean) / variance);
  if (after === undefined || !(after.variance > 0)) {
    wanted.precision[slot] = precision;
    wanted.shift[form] = shift;
    return STUCK;
  }
  wanted.precision[slot] = 1 / after.variance - contextPrecision;
  wanted.shift[form] = after.mean / after.variance - contextShift;
  return moved(mean, variance, after.mean, after.variance);
}

function updateMixture(work: Work, site: Site & { kind: "mixture" }, index: number, natural: Naturals, wanted: Naturals, form: number, slot: number): number {
  const room = mixtureRoom(work, site.rows.length);
  const { work: moments, after, marginalShift } = room;
  const { size } = moments;
  const { mixture } = site;
  for (let i = 0; i < size; i++) wanted.shift[form + i] = natural.shift[form + i] ?? 0;
  for (let t = 0; t < (size * (size + 1)) / 2; t++) wanted.precision[slot + t] = natural.precision[slot + t] ?? 0;
  work.logScale[index] = 0;
  const marginalLog = fillContext(work, room, natural, form, slot);
  if (marginalLog === undefined || !naturalMixtureMoments(mixture, moments)) return STUCK;
  work.logScale[index] = moments.logIntegral - 0.5 * (size * Math.log(2 * Math.PI) + marginalLog + quadratic(work, marginalShift, form));
  if (mixture.isChanging) work.slopes.seating += integralSlope(mixture, moments);
  if (invertSmall(moments.covariance, size, moments.factor, after) === undefined) return STUCK;
  keepProper(mixture, moments, after);
  // keepProper writes over the covariance, and may have raised the precision
  if (invertSmall(after, size, moments.factor, moments.covariance) === undefined) return STUCK;
  let most = 0;
  let t = slot;
  for (let i = 0; i < size; i++) {
    let pull = 0;
    for (let j = 0; j < size; j++) {
      const precision = (after[i * size + j] ?? 0) - (moments.precision[i * size + j] ?? 0);
      pull += (after[i * size + j] ?? 0) * (moments.mean[j] ?? 0);
      if (j > i) continue;
      wanted.precision[t] = precision;
      t++;
    }
    wanted.shift[form + i] = pull - (moments.shift[i] ?? 0);
    const variance = work.covariance[t - 1] ?? 1;
    most = Math.max(most, moved(work.formMean[form + i] ?? 0, variance, moments.mean[i] ?? 0, moments.covariance[i * (size + 1)] ?? 0));
  }
  return most;
}

/** How far a form moves: its mean in standard deviations, its variance in the logarithm. */
function moved(mean: number, variance: number, meanAfter: number, varianceAfter: number): number {
  return Math.max(Math.abs(meanAfter - mean) / Math.sqrt(variance), Math.abs(Math.log(varianceAfter / variance)));
}

function quadratic({ formMean }: Work, marginalShift: Float64Array, form: number): number {
  let sum = 0;
  for (let i = 0; i < marginalShift.length; i++) sum += (formMean[form + i] ?? 0) * (marginalShift[i] ?? 0);
  return sum;
}

/** Puts a site's context into the room in natural parameters; returns the log determinant of the marginal covariance, or undefined where it is none. */
function fillContext({ covariance, formMean }: Work, { work, marginal, marginalShift }: MixtureRoom, natural: Naturals, form: number, slot: number): number | undefined {
  const { size, precision, shift, matrix, factor, right } = work;
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
