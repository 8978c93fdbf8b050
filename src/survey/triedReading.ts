import type { Neck } from "../neck/neck.js";
import type { SurveySheet } from "../readings/reading.js";
import { along } from "./estimation/expectationPropagation.js";
import type { NormalPosterior } from "./estimation/expectationPropagation.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import { trialsOf } from "./estimation/trials.js";
import type { Outcome, Trial } from "./estimation/trials.js";
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
import { normalNoiseMm, openReadings, withinReach } from "./openReadings.js";
import type { Candidate } from "./openReadings.js";
import type { HeightTerm } from "./survey.js";

/** Points of the grid of scatters at which readings are tried, of each explanation; the heaviest alone where all readings are looked through. */
const POINTS = 2;
/** So many fits are tried, the likeliest, and none less probable than this: others could hardly change which reading tells most, and each takes as long as the first. */
const FITS = 3;
const LEAST_PROBABILITY = 0.05;
/** Of all readings so many are looked at closely. */
const CLOSELY = 5;
/** So many rockings are tried. */
const ROCKINGS = 3;
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
 * All ways are weighed over the explanations: beside a zone most of the doubt is which of them is true, and a reading that all foresee alike takes nothing off it.
 */
export function triedReadings(neck: Neck, sheet: SurveySheet, usable: Usable, explanations: readonly Explanation[], { form, terms, survey = 0 }: AskedForm): readonly Tried[] {
  const reached = withinReach(neck, usable);
  const candidates = openReadings(neck, reached, { terms, hand: sheet, survey });
  const each = likeliestFits(explanations).map((fit) => pointsOf(neck, sheet, reached, fit, candidates, form));
  const heaviest = each.flatMap((points) => points.slice(0, 1));
  if (heaviest.length === 0) return [];
  const rough = leftAfter(candidates, worthTrying(candidates, heaviest), heaviest, ROUGH_OFF);
  const close = leftAfter(candidates, rough.slice(0, CLOSELY).map(({ of }) => of), each.flat(), CLOSE_OFF);
  return close.flatMap(({ of, left }) => (candidates[of] === undefined ? [] : [{ candidate: candidates[of], left }]));
}

/** Explanations that one fit serves, as it does both reasons of a zone where nothing read tells them apart: what is tried there is tried once. */
type Fit = { readonly grid: readonly GridPoint[]; readonly probability: number; readonly served: readonly Explanation[] };

function likeliestFits(explanations: readonly Explanation[]): readonly Fit[] {
  const fits = new Map<readonly GridPoint[], Fit>();
  for (const explanation of explanations) {
    const { grid, probability } = explanation;
    const known = fits.get(grid) ?? { grid, probability: 0, served: [] };
    fits.set(grid, { grid, probability: known.probability + probability, served: [...known.served, explanation] });
  }
  return [...fits.values()].filter(({ probability }) => probability >= LEAST_PROBABILITY).sort((a, b) => b.probability - a.probability).slice(0, FITS);
}

/** A place among the scatters of a fit: what may be asked there, with the share of each explanation that it serves; the rows of the open readings, and of each as it would be if its fret stood as the line does. */
type Point = {
  readonly scatters: GridPoint["scatters"];
  readonly trial: Trial;
  readonly asked: readonly { readonly weight: number; readonly row: SparseRow }[];
  readonly rows: readonly SparseRow[];
  readonly lineRows: readonly SparseRow[];
};

/** Heaviest first. */
function pointsOf(neck: Neck, sheet: SurveySheet, reached: Usable, { grid, served }: Fit, candidates: readonly Candidate[], form: Form): readonly Point[] {
  const layouts = served.map(({ layout }) => layoutOf(reached, zoneOn(layout, reached)));
  const [layout] = layouts;
  if (layout === undefined) return [];
  const rows = candidates.map((candidate) => candidate.form(layout));
  const lineRows = candidates.map((candidate) => candidate.lineForm(layout));
  const forms = layouts.map((one) => form(one));
  const trials = trialsOf(layout, equationsOf(neck, reached, layout, sheet.feelMm), candidates.map(({ noiseMm }, of) => ({ row: rows[of] ?? NOTHING, noiseMm })), reached.settings.length);
  return [...grid].sort((a, b) => b.weight - a.weight).slice(0, POINTS).flatMap(({ scatters, weight }): readonly Point[] => {
    const trial = trials(scatters);
    return trial === undefined ? [] : [{ scatters, trial, rows, lineRows, asked: forms.map((row, index) => ({ weight: weight * (served[index]?.probability ?? 0), row })) }];
  });
}

const NOTHING: SparseRow = { index: [], coefficient: [] };

/**
 * Readings that can be taken as far as is known, by number: an edge under which a far fret should stand higher than the edge itself does not reach it, since it would lie there.
 * Of the rockings those over frets of which a normal approximation says that they tell most.
 */
function worthTrying(candidates: readonly Candidate[], points: readonly Point[]): readonly number[] {
  const numbered = [...candidates.entries()];
  const gaps = numbered.filter(([of, { tool, isBeyond, knownMm }]) => {
    if (tool !== "straightedge" || !isBeyond) return tool === "straightedge";
    const { mean, sd } = expected(of, points);
    return mean + knownMm > -sd;
  });
  const rockers = numbered.filter(([, { tool }]) => tool === "rocker").map(([of, candidate]) => ({ of, noiseMm: normalNoiseMm(candidate, 0) }));
  const told = points.flatMap(({ trial, asked, rows }) => asked.map(({ weight, row }) => ({ weight, after: variancesAfter(trial.before, row, rockers.map(({ of, noiseMm }) => ({ row: rows[of] ?? NOTHING, noiseMm }))) })));
  const best = rockers.map(({ of }, index) => ({ of, variance: told.reduce((sum, { weight, after }) => sum + weight * (after[index] ?? Infinity), 0) })).sort((a, b) => a.variance - b.variance).slice(0, ROCKINGS);
  return [...gaps.map(([of]) => of), ...best.map(({ of }) => of)];
}

function zoneOn({ zone, stations }: Layout, reached: Usable): Zone | undefined {
  const moved = (station: number): number => stationAt(reached.stations, { xMm: stations[station]?.xMm ?? NaN });
  return zone === undefined ? undefined : { ...zone, from: moved(zone.from), to: moved(zone.to) };
}

/** Share of the standard uncertainty of a form that some of the readings leave, least first. */
function leftAfter(candidates: readonly Candidate[], which: readonly number[], points: readonly Point[], off: readonly number[]): readonly { readonly of: number; readonly left: number }[] {
  const now = mixed(points.flatMap((point) => partsOf(point, point.trial.before))).variance;
  return which.flatMap((of) => {
    const candidate = candidates[of];
    return candidate === undefined ? [] : [{ of, left: Math.sqrt(varianceAfter(candidate, of, points, off) / now) }];
  }).sort((a, b) => a.left - b.left);
}

/** Expected variance of a form after a reading, over the ways in which it may come out. */
function varianceAfter(candidate: Candidate, of: number, points: readonly Point[], off: readonly number[]): number {
  const { mean, sd } = expected(of, points);
  const ways = candidate.outcomes(mean, off.map((by) => by * sd)).map((interval) => mixed(points.flatMap((point) => partsAfter(point, { of, ...interval }))));
  const chance = ways.reduce((sum, { weight }) => sum + weight, 0);
  return chance > 0 ? ways.reduce((sum, { weight, variance }) => sum + (weight > 0 ? weight * variance : 0), 0) / chance : Infinity;
}

function partsAfter(point: Point, outcome: Outcome): readonly Part[] {
  const { trial } = point;
  const then = trial.after(outcome);
  return then === undefined ? [] : partsOf(point, then, Math.exp(then.logEvidence - trial.before.logEvidence));
}

/** What is expected of a reading, by number: of a fret of which nothing was read, that it stands as frets mostly do. */
function expected(of: number, points: readonly Point[]): { readonly mean: number; readonly sd: number } {
  const { mean, variance } = mixed(points.map(({ scatters, trial: { before }, asked, rows, lineRows }): Part => {
    const [row, lineRow] = [rows[of] ?? NOTHING, lineRows[of] ?? NOTHING];
    const weight = asked.reduce((sum, one) => sum + one.weight, 0);
    const known = rowVariance(before.factor, row);
    const usual = rowVariance(before.factor, lineRow) + scatters.seatingMm ** 2;
    return usual < known ? { weight, mean: along(lineRow, before.mean), variance: usual } : { weight, mean: along(row, before.mean), variance: known };
  }));
  return { mean, sd: Math.sqrt(variance) };
}

type Part = { readonly weight: number; readonly mean: number; readonly variance: number };

/** A point's normals of what is asked, one for each explanation that it serves. */
function partsOf({ asked }: Point, { mean, factor }: NormalPosterior, times = 1): readonly Part[] {
  return asked.map(({ weight, row }) => ({ weight: weight * times, mean: along(row, mean), variance: rowVariance(factor, row) }));
}

/** A mixture of normals: sum of weights, its mean, and variance about it. */
function mixed(parts: readonly Part[]): Part {
  const weight = parts.reduce((sum, one) => sum + one.weight, 0);
  const mean = parts.reduce((sum, one) => sum + one.weight * one.mean, 0) / weight;
  return { weight, mean, variance: parts.reduce((sum, one) => sum + one.weight * (one.variance + (one.mean - mean) ** 2), 0) / weight };
}
