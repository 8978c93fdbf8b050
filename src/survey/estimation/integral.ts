import { calibratedWeights, momentsOf } from "./fittedDensity.js";
import { densityOn, isSettled, latticeSeen } from "./scatterLattice.js";
import type { Fineness, Lattice } from "./scatterLattice.js";
import { USUAL_PLACES, topOf } from "./scatterTop.js";
import type { Look, Near, Seen } from "./scatterTop.js";

export type { Fineness } from "./scatterLattice.js";

/** A place with its part of the integral; the parts' logarithms are absolute, the weights sum to 1. */
export type Weighed = Seen & { readonly weight: number; readonly logWeight: number };

/** A like problem, and the logarithm of its integral over its density at the top, with which a single point stands for its surroundings. */
export type NearIntegral = Near & { readonly logShape: number };

/**
 * A top and six points about it at two standard deviations, with weights 1/2 and 1/12, integrate polynomials of the fifth degree over a normal density exactly;
 * where the density is wider or leans, further points come to them. Sites that are nearly settled do: the evidence is stationary where they are.
 * @source J. Radon, Zur mechanischen Kubatur, Monatshefte für Mathematik 52, 1948; A. H. Stroud, Approximate calculation of multiple integrals, 1971, formula E2r2 5-1 (both from memory)
 */
const USUAL: Fineness = { spacing: 2, negligible: 0.05, settled: 0.15 };

/**
 * Integrates over the scatters at few places about the top of prior times evidence: a density is fitted to all values and slopes seen, and the places get weights
 * with which they have its mean and spread. Only settled places are compared. Empty where no place has a posterior at all.
 * @param near a problem that differs a little, whose top is a good start
 * @param places how many places along the neck were surveyed: more of them make the density's top narrower
 */
export function integrated(look: Look, fineness: Fineness = USUAL, near?: NearIntegral, places: number = USUAL_PLACES): readonly Weighed[] {
  const top = topOf(look, places, near);
  if (top === undefined) return [];
  if (near !== undefined && top.seen.logDensity < near.least) return [{ ...top.seen, weight: 1, logWeight: top.seen.logDensity + near.logShape }];
  const { lattice, seen } = latticeSeen(top, look, fineness);
  const settled = seen.filter(isSettled);
  return settled.length > 0 ? weighed(lattice, settled, top.beside.filter(isSettled)) : weighed(lattice, seen.slice(0, 1), []);
}

function weighed(lattice: Lattice, seen: readonly Seen[], more: readonly Seen[]): readonly Weighed[] {
  const { logIntegral, means } = momentsOf(densityOn(lattice, [...seen, ...more]), lattice.cells());
  const best = Math.max(...seen.map(({ logDensity }) => logDensity));
  const weights = calibratedWeights(seen.map(({ at }) => lattice.spot(at)), seen.map(({ logDensity }) => Math.exp(logDensity - best)), means);
  // the constant is that of the two standard normal priors
  const logTotal = logIntegral + lattice.logUnit - Math.log(2 * Math.PI);
  return seen.flatMap((one, k) => {
    const weight = weights[k] ?? 0;
    return weight > 0 ? [{ ...one, weight, logWeight: logTotal + Math.log(weight) }] : [];
  });
}
