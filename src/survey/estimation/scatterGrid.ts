import type { Equation } from "../model/equations.js";
import { fretMixture } from "../model/fretClasses.js";
import type { FretKind } from "../model/fretClasses.js";
import { fretDeviationRow } from "../model/layout.js";
import type { Layout } from "../model/layout.js";
import { OWN_BOW_MIXTURE, ZONE_MIXTURE, ownBowsToTell, priorOf } from "../model/prior.js";
import { CENTRE, LOG_SD } from "../model/scatters.js";
import type { Scatters } from "../model/scatters.js";
import { normalPosterior } from "./expectationPropagation.js";
import type { NormalPosterior } from "./expectationPropagation.js";
import { integrated } from "./integral.js";
import type { NearIntegral } from "./integral.js";
import type { Look, Step } from "./scatterTop.js";
import { preparedMixture } from "./mixtureMoments.js";
import type { PreparedMixture } from "./mixtureMoments.js";
import type { Left } from "./contexts.js";
import type { Naturals } from "./naturals.js";
import { problemOf } from "./problem.js";
import type { Problem } from "./problem.js";
import { startOf } from "./sites.js";
import type { Site } from "./sites.js";
import type { AtScatters } from "./work.js";

/** One point of the grid over the scatters, with its posterior weight; weights sum to 1. */
export type GridPoint = {
  readonly scatters: Scatters;
  readonly weight: number;
  /** Logarithm of the point's part of the probability of the readings. */
  readonly logWeight: number;
  /** Logarithm of the density of scatters and readings there. */
  readonly logDensity: number;
  readonly posterior: NormalPosterior;
};

/**
 * Posteriors over a grid of scatters, each weighted by its prior and by the probability of the readings.
 * The readings' sites come first, in the order of `equations`; the frets follow, then the lines' own bows, and a zone's height if one is supposed.
 * @param near grid of the same readings under another supposition, if there is one
 * @throws {Error} equations that no finite neck satisfies even approximately (not expected; reported so that it can be mended)
 */
export function scatterGrid(layout: Layout, equations: readonly Equation[], settings: number, near?: LikeGrid): readonly GridPoint[] {
  const points = integrated(scatterLook(layout, equations, settings), undefined, near === undefined ? undefined : nearTop(near, zoneSites(layout)), layout.stations.length);
  if (points.length === 0) throw new Error("Cannot adjust these readings: no neck was found that fits them even roughly (look for a gap typed in the wrong unit)");
  return points.map(({ at, weight, logWeight, logDensity, posterior }) => ({ scatters: scattersAt(at), weight, logWeight, logDensity, posterior }));
}

/**
 * The grid of the same readings under another supposition, from which to start; and how much more probable, in the logarithm, the readings must become
 * for a grid to be worth its points (a single one stands for it otherwise).
 */
export type LikeGrid = { readonly points: readonly GridPoint[]; readonly gain: number };

/** @param further sites that the other supposition did not have */
function nearTop({ points, gain }: LikeGrid, further: readonly Site[]): NearIntegral | undefined {
  const top = topAmong(points);
  if (top === undefined) return undefined;
  return { at: stepOf(top.scatters), sites: further.reduce(withSite, top.posterior.sites), least: top.logDensity + gain, logShape: logEvidenceOf(points) - top.logDensity };
}

/** The point where the density of the scatters is highest. Weights stand for what lies about a point as well, and in a wide density the outer ones may weigh more. */
export function topAmong(points: readonly GridPoint[]): GridPoint | undefined {
  return points.reduce<GridPoint | undefined>((best, point) => (best === undefined || point.logDensity > best.logDensity ? point : best), undefined);
}

/** A site of one form, joined to sites left elsewhere as it starts, its form known by nothing else. */
function withSite(left: Left, site: Site): Left {
  const start = startOf(site);
  const [known, pull] = [start.precision[0] ?? 0, start.shift[0] ?? 0];
  const joined = (before: Naturals): Naturals => ({ precision: joinedTo(before.precision, known), shift: joinedTo(before.shift, pull) });
  return { ...joined(left), next: joined(left.next), formMean: joinedTo(left.formMean, pull / known), covariance: joinedTo(left.covariance, 1 / known) };
}

function joinedTo(before: Float64Array, last: number): Float64Array {
  return Float64Array.of(...before, last);
}

/** Logarithm of the probability of the readings, scatters integrated. */
export function logEvidenceOf(points: readonly GridPoint[]): number {
  const top = Math.max(...points.map((point) => point.logWeight));
  return top + Math.log(points.reduce((sum, point) => sum + Math.exp(point.logWeight - top), 0));
}

/** Scatters at a place given in standard deviations of the log-normal priors from their centres. */
export function scattersAt([roughness, seating]: Step): Scatters {
  return { roughnessMm: CENTRE.roughnessMm * Math.exp(LOG_SD * roughness), seatingMm: CENTRE.seatingMm * Math.exp(LOG_SD * seating) };
}

/** The place of given scatters, the inverse of `scattersAt`. */
export function stepOf({ roughnessMm, seatingMm }: Scatters): Step {
  return [Math.log(roughnessMm / CENTRE.roughnessMm) / LOG_SD, Math.log(seatingMm / CENTRE.seatingMm) / LOG_SD];
}

/**
 * What the readings say at given scatters: the log of prior times evidence, its slopes, and the posterior.
 * @param kindsOf for studies only: the kinds that the fret at a station is known to be one of, when more is known than the readings say
 */
export function scatterLook(layout: Layout, equations: readonly Equation[], settings: number, kindsOf?: (station: number) => FretKind): Look {
  const readings = equations.map(readingSite);
  const frets = fretRows(layout);
  const others = [...bowSites(layout), ...zoneSites(layout)];
  const sitesAt = (seating: number): readonly Site[] => {
    const mixtureOf = (kind?: FretKind): PreparedMixture => preparedMixture(fretMixture(layout.lines.length, layout.ends, scattersAt([0, seating]), kind));
    const known = kindsOf === undefined ? undefined : { "as intended": mixtureOf("as intended"), "far out": mixtureOf("far out") };
    const unknown = mixtureOf();
    return [...readings, ...frets.map(({ station, rows }): Site => ({ kind: "mixture", rows, mixture: kindsOf === undefined || known === undefined ? unknown : known[kindsOf(station)] })), ...others];
  };
  // the kinds do not change with the roughness, and places of one row of the lattice have one seating
  const bySeating = new Map<number, readonly Site[]>();
  const lookAt = ([roughness, seating]: Step): AtScatters => {
    const sites = bySeating.get(seating) ?? sitesAt(seating);
    bySeating.set(seating, sites);
    return { roughnessMm: scattersAt([roughness, seating]).roughnessMm, sites };
  };
  const problem = problemOf(priorOf(layout, settings), lookAt([0, 0]).sites);
  return (at, start, settledAt) => {
    const here = lookAt(at);
    const posterior = (start === undefined ? undefined : settledFrom(problem, here, start, settledAt)) ?? normalPosterior(problem, here, undefined, settledAt);
    if (posterior === undefined) return undefined;
    return { at, posterior, logDensity: posterior.logEvidence - 0.5 * (at[0] ** 2 + at[1] ** 2), slopes: [LOG_SD * posterior.roughnessSlope - at[0], LOG_SD * posterior.seatingSlope - at[1]] };
  };
}

/** What is known beforehand of frets, of the lines' own bows and of a zone at given scatters: the sites that follow those of the readings. */
export function sitesBeforehand(layout: Layout, scatters: Scatters): readonly Site[] {
  const mixture = preparedMixture(fretMixture(layout.lines.length, layout.ends, scatters));
  return [...fretRows(layout).map(({ rows }): Site => ({ kind: "mixture", rows, mixture })), ...bowSites(layout), ...zoneSites(layout)];
}

/** What is known beforehand of how far each line bends by itself. */
function bowSites(layout: Layout): readonly Site[] {
  const mixture = preparedMixture(OWN_BOW_MIXTURE);
  return ownBowsToTell(layout).map((at): Site => ({ kind: "mixture", rows: [{ index: [at], coefficient: [1] }], mixture }));
}

/** What is known beforehand of a zone's height, where one is supposed. */
function zoneSites({ zoneHeight }: Layout): readonly Site[] {
  return zoneHeight === undefined ? [] : [{ kind: "mixture", rows: [{ index: [zoneHeight], coefficient: [1] }], mixture: preparedMixture(ZONE_MIXTURE) }];
}

/** Undefined where the start led nowhere. */
function settledFrom(problem: Problem, at: AtScatters, start: Left, settledAt: number): NormalPosterior | undefined {
  const found = normalPosterior(problem, at, start, settledAt);
  return found?.converged === true ? found : undefined;
}

export function readingSite(equation: Equation): Site {
  const { row, lowMm, highMm, sMm, knownMm } = equation;
  if (lowMm === highMm) return { kind: "exact", rows: [row], value: lowMm - knownMm, u: sMm };
  return { kind: "interval", rows: [row], low: lowMm - knownMm, high: highMm - knownMm, s: sMm };
}

/** For each fret, how it stands off the smooth line on each line. */
export function fretRows(layout: Layout): readonly { readonly station: number; readonly rows: Site["rows"] }[] {
  return [...layout.stations.keys()].flatMap((station) => {
    const lines = layout.lines.filter((_, line) => layout.top(line, station) !== undefined);
    return lines.length === 0 ? [] : [{ station, rows: lines.map((line) => fretDeviationRow(layout, line, station)) }];
  });
}
