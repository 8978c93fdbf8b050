import type { Neck } from "../neck/neck.js";
import type { SurveySheet } from "../readings/reading.js";
import type { Explanation } from "./explanation.js";
import { cornersGain } from "./corners.js";
import { logEvidenceOf, scatterGrid } from "./estimation/scatterGrid.js";
import type { LikeGrid } from "./estimation/scatterGrid.js";
import { equationsOf } from "./model/equations.js";
import { layoutOf } from "./model/layout.js";
import type { Zone } from "./model/layout.js";
import { tellsReasonsApart } from "./model/stations.js";
import type { Usable } from "./model/stations.js";
import { neighboursOf, suspectedZones, windowCount } from "./suspectedZones.js";
import type { Run } from "./suspectedZones.js";

/** How often a neck has such a zone at all (common practice, no source). */
const ZONE_SHARE = 0.2;
/** Explanations less probable than this are left out. */
const NEGLIGIBLE = 1e-3;
/** An explanation less probable than this beside the likeliest known is looked at in one place among the scatters only. */
const WORTH_A_GRID = 0.03;
/** By how much, in the logarithm, the tops of two grids may mislead about their whole: one is wider than the other. */
const SHAPES = 1;

/** The ends of a zone are looked at more closely where it is at least so probable beside the likeliest explanation, and so often. */
const WORTH_NEIGHBOURS = 0.005;
const MOST_ROUNDS = 2;

type Supposed = Omit<Explanation, "probability"> & { readonly log: number };

/**
 * The explanations of a survey: every fret for itself, and, where neighbouring frets look as if they stood up together, a zone of the
 * board or of the frets. Zones are only tried where suspected, and pay for the many places where they could have been.
 */
export function explanationsOf(neck: Neck, sheet: SurveySheet, usable: Usable): readonly [Explanation, ...Explanation[]] {
  const plain = fitted(neck, sheet, usable);
  const ofPlain = logOf(plain);
  const price = Math.log(ZONE_SHARE / (2 * windowCount(usable.stations.filter(({ fret }) => fret !== undefined).length)));
  const withZone: WithZone = (known, zone) => {
    const likeliest = Math.max(...known.map(({ log }) => log));
    const near = { points: plain.grid, gain: likeliest + Math.log(WORTH_A_GRID) - price - ofPlain - SHAPES };
    return [...known, ...bothReasons(neck, sheet, usable, zone, near).map((reason) => ({ ...reason, log: price + logOf(reason) }))];
  };
  const all = withNeighbours(suspectedZones(plain).reduce(withZone, [{ ...plain, log: Math.log(1 - ZONE_SHARE) + ofPlain }]), withZone, usable);
  const top = Math.max(...all.map(({ log }) => log));
  const kept = all.filter(({ log }) => Math.exp(log - top) > NEGLIGIBLE).sort((a, b) => b.log - a.log);
  const sum = kept.reduce((total, { log }) => total + Math.exp(log - top), 0);
  const [first, ...rest] = kept.map(({ log, ...explanation }) => ({ ...explanation, probability: Math.exp(log - top) / sum }));
  return first === undefined ? [{ ...plain, probability: 1 }] : [first, ...rest];
}

/** Logarithm of the readings' probability, scatters and corners integrated. */
function logOf(supposed: Omit<Explanation, "probability">): number {
  return logEvidenceOf(supposed.grid) + cornersGain(supposed);
}

/** What is known, and what one more zone would explain. */
type WithZone = (known: readonly Supposed[], zone: Run) => readonly Supposed[];

/** The likeliest zone's ends were only foreseen: those a fret longer or shorter at one end are tried too, as long as a likelier one is found. */
function withNeighbours(known: readonly Supposed[], withZone: WithZone, usable: Usable): readonly Supposed[] {
  let all = known;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const best = all.reduce((likeliest, one) => (one.log > likeliest.log && one.layout.zone !== undefined ? one : likeliest), { log: -Infinity, layout: all[0]?.layout });
    const top = Math.max(...all.map(({ log }) => log));
    const zone = best.layout?.zone;
    const isTried = ({ from, to }: Run): boolean => all.some(({ layout }) => layout.zone?.from === from && layout.zone.to === to);
    const untried = zone === undefined || best.log < top + Math.log(WORTH_NEIGHBOURS) ? [] : neighboursOf(usable, zone).filter((run) => !isTried(run));
    if (untried.length === 0) break;
    all = untried.reduce(withZone, all);
  }
  return all;
}

/** Without readings on the wood or under crowns both reasons predict the same readings, and one fit serves both. */
function bothReasons(neck: Neck, sheet: SurveySheet, usable: Usable, zone: Run, near: LikeGrid): readonly Omit<Explanation, "probability">[] {
  const frets = fitted(neck, sheet, usable, { ...zone, of: "frets" }, near);
  const board = tellsReasonsApart(usable) ? fitted(neck, sheet, usable, { ...zone, of: "board" }, near) : { ...frets, layout: layoutOf(usable, { ...zone, of: "board" }) };
  return [frets, board];
}

function fitted(neck: Neck, sheet: SurveySheet, usable: Usable, zone?: Zone, near?: LikeGrid): Omit<Explanation, "probability"> {
  const layout = layoutOf(usable, zone);
  const equations = equationsOf(neck, usable, layout, sheet.feelMm);
  return { layout, equations, grid: scatterGrid(layout, equations, usable.settings.length, near) };
}
