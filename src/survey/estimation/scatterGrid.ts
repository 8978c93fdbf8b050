import { priorPrecision } from "../model/prior.js";
import { CENTRE, DEVIATION_BASE_MM, LOG_SD, fretEndMixture, seatingMixture } from "../model/scatters.js";
import type { Scatters } from "../model/scatters.js";
import type { Layout } from "../model/layout.js";
import type { Equation } from "../model/equations.js";
import { normalPosterior } from "./expectationPropagation.js";
import type { NormalPosterior } from "./expectationPropagation.js";
import type { Natural, Site } from "./sites.js";

/** One point of the grid over the scatters, with its posterior weight; weights sum to 1. */
export type GridPoint = { readonly scatters: Scatters; readonly weight: number; readonly posterior: NormalPosterior };

/** Steps of the grid in standard deviations of the log-normal priors. */
const ROUGHNESS_STEPS = [-1.6, -0.8, 0, 0.8, 1.6] as const;
const SEATING_STEPS = [-1.2, 0, 1.2] as const;
/** Points that weigh less than this against the best are left out. */
const NEGLIGIBLE = 1e-4;

/**
 * Posteriors over a grid of scatters, each weighted by its prior and by the probability of the readings.
 * The readings' sites come first, in the order of `equations`; the mixtures of frets follow.
 * @throws {Error} equations that no finite neck satisfies even approximately (not expected; reported so that it can be mended)
 */
export function scatterGrid(layout: Layout, equations: readonly Equation[], settings: number): readonly GridPoint[] {
  let start: readonly Natural[] | undefined;
  const points: { scatters: Scatters; logWeight: number; posterior: NormalPosterior }[] = [];
  for (const roughness of ROUGHNESS_STEPS) {
    for (const seating of SEATING_STEPS) {
      const scatters = { roughnessMm: CENTRE.roughnessMm * Math.exp(LOG_SD * roughness), seatingMm: CENTRE.seatingMm * Math.exp(LOG_SD * seating) };
      const sites = [...equations.map(readingSite), ...mixtureSites(layout, scatters)];
      const posterior = normalPosterior(priorPrecision(layout, scatters, settings), sites, start) ?? normalPosterior(priorPrecision(layout, scatters, settings), sites);
      if (posterior === undefined) continue;
      start = posterior.sites;
      points.push({ scatters, logWeight: posterior.logEvidence - 0.5 * (roughness ** 2 + seating ** 2), posterior });
    }
  }
  if (points.length === 0) throw new Error("Cannot adjust these readings: no neck was found that fits them even roughly (look for a gap typed in the wrong unit)");
  return weighted(points);
}

function readingSite(equation: Equation): Site {
  const { row, lowMm, highMm, sMm, knownMm } = equation;
  if (lowMm === highMm) return { kind: "exact", row, value: lowMm - knownMm, u: sMm };
  return { kind: "interval", row, low: lowMm - knownMm, high: highMm - knownMm, s: sMm };
}

function mixtureSites(layout: Layout, scatters: Scatters): readonly Site[] {
  const whole = seatingMixture(scatters);
  const end = fretEndMixture(scatters);
  return [...layout.stations.keys()].flatMap((station): Site[] => {
    const unknowns = [{ at: layout.seating(station), mixture: whole }, ...[...layout.lines.keys()].map((line) => ({ at: layout.fretEnd(line, station), mixture: end }))];
    return unknowns.flatMap(({ at, mixture }): Site[] => (at === undefined ? [] : [{ kind: "mixture", row: { index: [at], coefficient: [1] }, mixture, baseSd: DEVIATION_BASE_MM }]));
  });
}

function weighted(points: readonly { scatters: Scatters; logWeight: number; posterior: NormalPosterior }[]): readonly GridPoint[] {
  const top = Math.max(...points.map((point) => point.logWeight));
  const kept = points.filter((point) => point.logWeight > top + Math.log(NEGLIGIBLE));
  const sum = kept.reduce((total, point) => total + Math.exp(point.logWeight - top), 0);
  return kept.map(({ scatters, logWeight, posterior }) => ({ scatters, posterior, weight: Math.exp(logWeight - top) / sum }));
}
