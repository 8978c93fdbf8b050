import type { Equation } from "../model/equations.js";
import { fretClasses } from "../model/fretClasses.js";
import type { FretClass } from "../model/fretClasses.js";
import { fretDeviationRow } from "../model/layout.js";
import type { Layout } from "../model/layout.js";
import { priorOf } from "../model/prior.js";
import { CENTRE, DEVIATION_BASE_MM, LOG_SD } from "../model/scatters.js";
import type { Scatters } from "../model/scatters.js";
import { normalPosterior } from "./expectationPropagation.js";
import type { AtScatters, Naturals, NormalPosterior } from "./expectationPropagation.js";
import { integrated } from "./integral.js";
import type { Look, Near, Step } from "./integral.js";
import { problemOf } from "./problem.js";
import type { Problem } from "./problem.js";
import type { Site } from "./sites.js";

/** One point of the grid over the scatters, with its posterior weight; weights sum to 1. */
export type GridPoint = {
  readonly scatters: Scatters;
  readonly weight: number;
  /** Logarithm of the point's part of the probability of the readings. */
  readonly logWeight: number;
  readonly posterior: NormalPosterior;
};

/**
 * Posteriors over a grid of scatters, each weighted by its prior and by the probability of the readings.
 * The readings' sites come first, in the order of `equations`; the frets follow.
 * @param near grid of the same readings under another supposition, if there is one
 * @throws {Error} equations that no finite neck satisfies even approximately (not expected; reported so that it can be mended)
 */
export function scatterGrid(layout: Layout, equations: readonly Equation[], settings: number, near?: LikeGrid): readonly GridPoint[] {
  const points = integrated(scatterLook(layout, equations, settings), undefined, near === undefined ? undefined : nearTop(near));
  if (points.length === 0) throw new Error("Cannot adjust these readings: no neck was found that fits them even roughly (look for a gap typed in the wrong unit)");
  return points.map(({ at, weight, logWeight, posterior }) => ({ scatters: scattersAt(at), weight, logWeight, posterior }));
}

/**
 * The grid of the same readings under another supposition, from which to start; and how much more probable, in the logarithm, the readings must become
 * for a grid to be worth its points (a single one stands for it otherwise).
 */
export type LikeGrid = { readonly points: readonly GridPoint[]; readonly gain: number };

function nearTop({ points, gain }: LikeGrid): Near | undefined {
  const [first, ...rest] = points;
  if (first === undefined) return undefined;
  const top = rest.reduce((best, point) => (point.weight > best.weight ? point : best), first);
  const at = stepOf(top.scatters);
  return { at, sites: top.posterior.sites, least: top.posterior.logEvidence - 0.5 * (at[0] ** 2 + at[1] ** 2) + gain };
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

/** For the slope over the seating. */
const BESIDE = 0.02;

/**
 * What the readings say at given scatters: the log of prior times evidence, its slopes, and the posterior.
 * @param kindsOf for studies only: the kinds that the fret at a station is known to be one of, when more is known than the readings say
 */
export function scatterLook(layout: Layout, equations: readonly Equation[], settings: number, kindsOf?: (station: number) => "as intended" | "far out"): Look {
  const readings = equations.map(readingSite);
  const frets = fretRows(layout);
  const classesAt = (at: Step): readonly FretClass[] => fretClasses(layout.lines.length, layout.ends, scattersAt(at));
  const lookAt = ([roughness, seating]: Step): AtScatters => {
    const classes = classesAt([roughness, seating]);
    const known = { "as intended": classes.filter(({ name }) => name === "as intended"), "far out": classes.filter(({ name }) => name !== "as intended") };
    return {
      roughnessMm: scattersAt([roughness, seating]).roughnessMm,
      sites: [...readings, ...frets.map(({ station, rows }): Site => ({ kind: "fret", rows, classes: kindsOf === undefined ? classes : known[kindsOf(station)], baseSd: DEVIATION_BASE_MM }))],
      beside: { below: classesAt([roughness, seating - BESIDE]), above: classesAt([roughness, seating + BESIDE]), apart: 2 * BESIDE },
    };
  };
  const problem = problemOf(priorOf(layout, settings), lookAt([0, 0]).sites);
  return (at, starts, settledAt) => {
    const posterior = posteriorFrom(problem, lookAt(at), starts, settledAt);
    if (posterior === undefined) return undefined;
    return { at, posterior, logDensity: posterior.logEvidence - 0.5 * (at[0] ** 2 + at[1] ** 2), slopes: [LOG_SD * posterior.roughnessSlope - at[0], posterior.seatingSlope - at[1]] };
  };
}

/** From the first start that leads somewhere, or from the beginning. */
function posteriorFrom(problem: Problem, at: AtScatters, starts: readonly Naturals[], settledAt: number): NormalPosterior | undefined {
  for (const start of starts) {
    const warm = normalPosterior(problem, at, start, settledAt);
    if (warm?.converged === true) return warm;
  }
  return normalPosterior(problem, at, undefined, settledAt);
}

function readingSite(equation: Equation): Site {
  const { row, lowMm, highMm, sMm, knownMm } = equation;
  if (lowMm === highMm) return { kind: "exact", rows: [row], value: lowMm - knownMm, u: sMm };
  return { kind: "interval", rows: [row], low: lowMm - knownMm, high: highMm - knownMm, s: sMm };
}

/** For each fret, how it stands off the smooth line on each line. */
function fretRows(layout: Layout): readonly { readonly station: number; readonly rows: Site["rows"] }[] {
  return [...layout.stations.keys()].flatMap((station) => {
    const lines = layout.lines.filter((_, line) => layout.top(line, station) !== undefined);
    return lines.length === 0 ? [] : [{ station, rows: lines.map((line) => fretDeviationRow(layout, line, station)) }];
  });
}
