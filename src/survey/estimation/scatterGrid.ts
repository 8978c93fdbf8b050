import { priorPrecision } from "../model/prior.js";
import { fretClasses } from "../model/fretClasses.js";
import { CENTRE, DEVIATION_BASE_MM, LOG_SD } from "../model/scatters.js";
import type { Scatters } from "../model/scatters.js";
import type { Layout } from "../model/layout.js";
import type { Equation } from "../model/equations.js";
import { normalPosterior } from "./expectationPropagation.js";
import type { NormalPosterior } from "./expectationPropagation.js";
import type { Natural, Site } from "./sites.js";

/** One point of the grid over the scatters, with its posterior weight; weights sum to 1. */
export type GridPoint = { readonly scatters: Scatters; readonly weight: number; readonly logWeight: number; readonly posterior: NormalPosterior };

/** Steps of the grid in standard deviations of the log-normal priors. */
const ROUGHNESS_STEPS = [-1.6, -0.8, 0, 0.8, 1.6] as const;
const SEATING_STEPS = [-1.2, 0, 1.2] as const;
/** Points that weigh less than this against the best are left out. */
const NEGLIGIBLE = 1e-3;

/**
 * Posteriors over a grid of scatters, each weighted by its prior and by the probability of the readings.
 * The grid is walked from its middle outward, and only on from points that weigh something.
 * The readings' sites come first, in the order of `equations`; the frets follow.
 * @throws {Error} equations that no finite neck satisfies even approximately (not expected; reported so that it can be mended)
 */
export function scatterGrid(layout: Layout, equations: readonly Equation[], settings: number): readonly GridPoint[] {
  const readings = equations.map(readingSite);
  const middle: Step = [Math.floor(ROUGHNESS_STEPS.length / 2), Math.floor(SEATING_STEPS.length / 2)];
  const waiting: { readonly step: Step; readonly start?: readonly Natural[] }[] = [{ step: middle }];
  const seen = new Set([String(middle)]);
  const points: Weighed[] = [];
  const unsettled: Weighed[] = [];
  for (let turn = waiting.shift(); turn !== undefined; turn = waiting.shift()) {
    const point = weighed(layout, readings, settings, turn.step, turn.start);
    if (point === undefined) continue;
    if (point.posterior.converged) points.push(point);
    else unsettled.push(point);
    if (point.logWeight < heaviestOf(points) + Math.log(NEGLIGIBLE)) continue;
    for (const next of neighbours(turn.step)) {
      if (!seen.has(String(next))) waiting.push({ step: next, start: point.posterior.sites });
      seen.add(String(next));
    }
  }
  if (points.length === 0) points.push(...unsettled.slice(0, 1));
  if (points.length === 0) throw new Error("Cannot adjust these readings: no neck was found that fits them even roughly (look for a gap typed in the wrong unit)");
  return normalised(points);
}

type Step = readonly [roughness: number, seating: number];
type Weighed = { readonly scatters: Scatters; readonly logWeight: number; readonly posterior: NormalPosterior };

function weighed(layout: Layout, readings: readonly Site[], settings: number, [at, along]: Step, start: readonly Natural[] | undefined): Weighed | undefined {
  const [roughness, seating] = [ROUGHNESS_STEPS[at] ?? 0, SEATING_STEPS[along] ?? 0];
  const scatters = { roughnessMm: CENTRE.roughnessMm * Math.exp(LOG_SD * roughness), seatingMm: CENTRE.seatingMm * Math.exp(LOG_SD * seating) };
  const prior = priorPrecision(layout, scatters, settings);
  const sites = [...readings, ...fretSites(layout, scatters)];
  const posterior = settled(normalPosterior(prior, sites, start)) ?? normalPosterior(prior, sites);
  return posterior === undefined ? undefined : { scatters, logWeight: posterior.logEvidence - 0.5 * (roughness ** 2 + seating ** 2), posterior };
}

/** Only a settled iteration has an evidence that may be compared. */
function settled(posterior: NormalPosterior | undefined): NormalPosterior | undefined {
  return posterior?.converged === true ? posterior : undefined;
}

function neighbours([at, along]: Step): readonly Step[] {
  const all: readonly Step[] = [[at - 1, along], [at + 1, along], [at, along - 1], [at, along + 1]];
  return all.filter(([roughness, seating]) => ROUGHNESS_STEPS[roughness] !== undefined && SEATING_STEPS[seating] !== undefined);
}

function readingSite(equation: Equation): Site {
  const { row, lowMm, highMm, sMm, knownMm } = equation;
  if (lowMm === highMm) return { kind: "exact", rows: [row], value: lowMm - knownMm, u: sMm };
  return { kind: "interval", rows: [row], low: lowMm - knownMm, high: highMm - knownMm, s: sMm };
}

function fretSites(layout: Layout, scatters: Scatters): readonly Site[] {
  const classes = fretClasses(layout.lines.length, layout.ends, scatters);
  return [...layout.stations.keys()].flatMap((station): Site[] => {
    const rows = [...layout.lines.keys()].flatMap((line) => {
      const at = layout.deviation(line, station);
      return at === undefined ? [] : [{ index: [at], coefficient: [1] }];
    });
    return rows.length === 0 ? [] : [{ kind: "fret", rows, classes, baseSd: DEVIATION_BASE_MM }];
  });
}

function normalised(points: readonly Weighed[]): readonly GridPoint[] {
  const top = heaviestOf(points);
  const kept = points.filter((point) => point.logWeight > top + Math.log(NEGLIGIBLE));
  const sum = kept.reduce((total, point) => total + Math.exp(point.logWeight - top), 0);
  return kept.map(({ scatters, logWeight, posterior }) => ({ scatters, posterior, logWeight, weight: Math.exp(logWeight - top) / sum }));
}

function heaviestOf(points: readonly Weighed[]): number {
  return Math.max(...points.map((point) => point.logWeight));
}

/** Logarithm of the probability of the readings, scatters integrated, up to a constant that all grids share. */
export function logEvidenceOf(points: readonly GridPoint[]): number {
  const top = Math.max(...points.map((point) => point.logWeight));
  return top + Math.log(points.reduce((sum, point) => sum + Math.exp(point.logWeight - top), 0));
}
