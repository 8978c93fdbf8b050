import type { SparseRow } from "../linear/arrow.js";
import type { Equation } from "../model/equations.js";
import type { Layout } from "../model/layout.js";
import { priorOf } from "../model/prior.js";
import type { Scatters } from "../model/scatters.js";
import { normalPosterior } from "./expectationPropagation.js";
import type { NormalPosterior } from "./expectationPropagation.js";
import { problemOf } from "./problem.js";
import { readingSite, sitesBeforehand } from "./scatterGrid.js";
import type { Site } from "./sites.js";

/** A reading that was not taken: its linear form, and the noise it would have, mm. */
export type OpenReading = { readonly row: SparseRow; readonly noiseMm: number };

/** An open reading, by its number, as it may come out: its form lies between these, mm. */
export type Outcome = { readonly of: number; readonly lowMm: number; readonly highMm: number };

/** What the readings say at given scatters, and what they would say together with one more; undefined where nothing settled. */
export type Trial = { readonly before: NormalPosterior; readonly after: (outcome: Outcome) => NormalPosterior | undefined };

/** Nearly settled will do: what is compared is how much a reading tells, not what it tells. */
const SETTLED = 0.15;

/**
 * Adjusts readings together with one of many open readings, starting from where they stand without it. Open readings are sites that say nothing until they
 * are taken, so that nothing is set up anew.
 */
export function trialsOf(layout: Layout, equations: readonly Equation[], open: readonly OpenReading[], settings: number): (scatters: Scatters) => Trial | undefined {
  const readings = equations.map(readingSite);
  const untaken = open.map((reading) => openSite(reading, -Infinity, Infinity));
  let problem: ReturnType<typeof problemOf> | undefined;
  return (scatters) => {
    const { roughnessMm } = scatters;
    const sites = [...readings, ...untaken, ...sitesBeforehand(layout, scatters)];
    const known = problem ?? problemOf(priorOf(layout, settings), sites);
    problem = known;
    const before = settled(normalPosterior(known, { roughnessMm, sites }));
    if (before === undefined) return undefined;
    return {
      before,
      after: ({ of, lowMm, highMm }) => {
        const reading = open[of];
        if (reading === undefined) throw new RangeError(`Cannot try reading ${of}: there are ${open.length}`);
        const taken = sites.map((site, index) => (index === readings.length + of ? openSite(reading, lowMm, highMm) : site));
        return settled(normalPosterior(known, { roughnessMm, sites: taken }, before.sites, SETTLED));
      },
    };
  };
}

function openSite({ row, noiseMm }: OpenReading, low: number, high: number): Site {
  return { kind: "interval", rows: [row], low, high, s: noiseMm };
}

function settled(posterior: NormalPosterior | undefined): NormalPosterior | undefined {
  return posterior?.converged === true ? posterior : undefined;
}
