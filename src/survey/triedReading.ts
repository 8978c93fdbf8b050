import type { Neck } from "../neck/neck.js";
import type { SurveySheet } from "../readings/reading.js";
import { along } from "./estimation/expectationPropagation.js";
import type { NormalPosterior } from "./estimation/expectationPropagation.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import { trialsOf } from "./estimation/trials.js";
import type { Trial } from "./estimation/trials.js";
import type { Explanation } from "./explanation.js";
import { variancesAfter } from "./functional.js";
import type { Form } from "./functional.js";
import { rowVariance } from "./linear/arrow.js";
import type { SparseRow } from "./linear/arrow.js";
import { equationsOf } from "./model/equations.js";
import { layoutOf } from "./model/layout.js";
import type { Layout, Zone } from "./model/layout.js";
import { stationAt } from "./model/stations.js";
import type { Usable } from "./model/stations.js";
import { openReadings, withinReach } from "./openReadings.js";
import type { Candidate } from "./openReadings.js";
import type { HeightTerm } from "./survey.js";

/** Points of the grid of scatters at which readings are tried; the heaviest alone where all readings are looked through. */
const POINTS = 2;
/** Of all readings so many are looked at closely. */
const CLOSELY = 5;
/** So many rockings are tried; and what a rocker that does not rock leaves open, as a standard uncertainty: a thinnest leaf of 1.5 thou either way (GUM 4.3.7), mm. */
const ROCKINGS = 3;
const ROCKER_MM = 0.02;
/** Readings that may come out so many standard deviations beside what is expected. */
const ROUGH_OFF: readonly number[] = [-0.8, 0.8];
const CLOSE_OFF: readonly number[] = [-1.3, 0, 1.3];

/** A combination of heights, as terms and as a form over the unknowns; of one of several surveys. */
export type AskedForm = { readonly terms: readonly HeightTerm[]; readonly form: Form; readonly survey?: number };

/** A reading that was tried, and the share of the standard uncertainty that is expected to be left after it. */
export type Tried = { readonly candidate: Candidate; readonly left: number };

/**
 * Tries every reading that could be taken now on the lines asked for, as it may come out, each way weighted by its probability, and tells which leaves least of a form's variance.
 * Few readings leave open whether a fret stands high, and a neighbour that settles that tells far more than a normal approximation sees; and a leaf tells an interval, not a number.
 */
export function triedReadings(neck: Neck, sheet: SurveySheet, usable: Usable, explanation: Explanation, { form, terms, survey = 0 }: AskedForm): readonly Tried[] {
  const reached = withinReach(neck, usable);
  const layout = layoutOf(reached, zoneOn(explanation.layout, reached));
  const lines = new Set(terms.map(({ line }) => line));
  const frets = terms.flatMap((term) => (term.of === "fretTop" ? [term.fret] : []));
  const candidates = openReadings(neck, reached, layout, { frets, feelMm: sheet.feelMm, survey }).filter(({ line }) => lines.has(line));
  const trials = trialsOf(layout, equationsOf(neck, reached, layout, sheet.feelMm), candidates, usable.settings.length);
  const points = [...explanation.grid].sort((a, b) => b.weight - a.weight).slice(0, POINTS).flatMap((point) => placed(point, trials(point.scatters)));
  const asked = form(layout);
  const [heaviest] = points;
  if (heaviest === undefined) return [];
  const rough = leftAfter(candidates, worthTrying(candidates, heaviest, asked), [heaviest], asked, ROUGH_OFF);
  const close = leftAfter(candidates, rough.slice(0, CLOSELY).map(({ of }) => of), points, asked, CLOSE_OFF);
  return close.flatMap(({ of, left }) => (candidates[of] === undefined ? [] : [{ candidate: candidates[of], left }]));
}

/**
 * Readings that can be taken as far as is known, by number: an edge under which a far fret should stand higher than the edge itself does not reach it, since it would lie there.
 * Of the rockings those over frets of which a normal approximation says that they tell most.
 */
function worthTrying(candidates: readonly Candidate[], heaviest: Point, asked: SparseRow): readonly number[] {
  const gaps = [...candidates.entries()].filter(([, { tool }]) => tool === "straightedge").filter(([, candidate]) => {
    const { expectedMm, sdMm } = expected(candidate, heaviest);
    return !candidate.isBeyond || expectedMm + candidate.knownMm > -sdMm;
  });
  const rockers = [...candidates.entries()].filter(([, { tool }]) => tool === "rocker");
  const told = variancesAfter(heaviest.trial.before, asked, rockers.map(([, { row, noiseMm }]) => ({ row, noiseMm: Math.hypot(noiseMm, ROCKER_MM) })));
  const best = rockers.map(([of], index) => ({ of, variance: told[index] ?? Infinity })).sort((a, b) => a.variance - b.variance).slice(0, ROCKINGS);
  return [...gaps, ...best.map(({ of }) => [of] as const)].map(([of]) => of);
}

function zoneOn({ zone, stations }: Layout, reached: Usable): Zone | undefined {
  const moved = (station: number): number => stationAt(reached.stations, { xMm: stations[station]?.xMm ?? NaN });
  return zone === undefined ? undefined : { ...zone, from: moved(zone.from), to: moved(zone.to) };
}

type Point = { readonly weight: number; readonly scatters: GridPoint["scatters"]; readonly trial: Trial };

function placed({ weight, scatters }: GridPoint, trial: Trial | undefined): readonly Point[] {
  return trial === undefined ? [] : [{ weight, scatters, trial }];
}

/** Share of the standard uncertainty of a form that some of the readings leave, least first. */
function leftAfter(candidates: readonly Candidate[], which: readonly number[], points: readonly Point[], asked: SparseRow, off: readonly number[]): readonly { readonly of: number; readonly left: number }[] {
  const now = mixed(points.map(({ weight, trial: { before } }) => part(weight, before, asked))).variance;
  return which.flatMap((of) => {
    const candidate = candidates[of];
    return candidate === undefined ? [] : [{ of, left: Math.sqrt(varianceAfter(candidate, of, points, asked, off) / now) }];
  }).sort((a, b) => a.left - b.left);
}

/** Expected variance of a form after a reading, over the ways in which it may come out. */
function varianceAfter(candidate: Candidate, of: number, points: readonly Point[], asked: SparseRow, off: readonly number[]): number {
  const [heaviest] = points;
  if (heaviest === undefined) return Infinity;
  const { expectedMm, sdMm } = expected(candidate, heaviest);
  const ways = candidate.outcomes(expectedMm, off.map((by) => by * sdMm)).map((interval) => mixed(points.flatMap(({ weight, trial }) => {
    const after = trial.after({ of, ...interval });
    return after === undefined ? [] : [part(weight * Math.exp(after.logEvidence - trial.before.logEvidence), after, asked)];
  })));
  const chance = ways.reduce((sum, { weight }) => sum + weight, 0);
  return chance > 0 ? ways.reduce((sum, { weight, variance }) => sum + (weight > 0 ? weight * variance : 0), 0) / chance : Infinity;
}

/** What is expected of a reading: of a fret of which nothing was read, that it stands as frets mostly do. */
function expected({ row, lineRow }: Candidate, { scatters, trial: { before } }: Point): { readonly expectedMm: number; readonly sdMm: number } {
  const known = Math.sqrt(rowVariance(before.factor, row));
  const usual = Math.hypot(Math.sqrt(rowVariance(before.factor, lineRow)), scatters.seatingMm);
  return usual < known ? { expectedMm: along(lineRow, before.mean), sdMm: usual } : { expectedMm: along(row, before.mean), sdMm: known };
}

type Part = { readonly weight: number; readonly mean: number; readonly variance: number };

function part(weight: number, { mean, factor }: NormalPosterior, asked: SparseRow): Part {
  return { weight, mean: along(asked, mean), variance: rowVariance(factor, asked) };
}

/** A mixture of normals: sum of weights, and variance about their common mean. */
function mixed(parts: readonly Part[]): { readonly weight: number; readonly variance: number } {
  const weight = parts.reduce((sum, one) => sum + one.weight, 0);
  const mean = parts.reduce((sum, one) => sum + one.weight * one.mean, 0) / weight;
  return { weight, variance: parts.reduce((sum, one) => sum + one.weight * (one.variance + (one.mean - mean) ** 2), 0) / weight };
}
