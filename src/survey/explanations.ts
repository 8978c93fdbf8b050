import type { Neck } from "../neck/neck.js";
import type { SurveySheet } from "../readings/reading.js";
import type { Explanation } from "./explanation.js";
import { logEvidenceOf, scatterGrid } from "./estimation/scatterGrid.js";
import type { LikeGrid } from "./estimation/scatterGrid.js";
import { equationsOf } from "./model/equations.js";
import { layoutOf } from "./model/layout.js";
import type { Zone } from "./model/layout.js";
import { tellsReasonsApart } from "./model/stations.js";
import type { Usable } from "./model/stations.js";
import { suspectedZones, windowCount } from "./suspectedZones.js";

/** How often a neck has such a zone at all (common practice, no source). */
const ZONE_SHARE = 0.2;
/** Explanations less probable than this are left out. */
const NEGLIGIBLE = 1e-3;
/** An explanation less probable than this beside the likeliest known is looked at in one place among the scatters only. */
const WORTH_A_GRID = 0.03;
/** By how much, in the logarithm, the tops of two grids may mislead about their whole: one is wider than the other. */
const SHAPES = 1;

type Supposed = Omit<Explanation, "probability"> & { readonly log: number };

/**
 * The explanations of a survey: every fret for itself, and, where neighbouring frets look as if they stood up together, a zone of the
 * board or of the frets. Zones are only tried where suspected, and pay for the many places where they could have been.
 */
export function explanationsOf(neck: Neck, sheet: SurveySheet, usable: Usable): readonly [Explanation, ...Explanation[]] {
  const plain = fitted(neck, sheet, usable);
  const ofPlain = logEvidenceOf(plain.grid);
  const price = Math.log(ZONE_SHARE / (2 * windowCount(usable.stations.filter(({ fret }) => fret !== undefined).length)));
  const all = suspectedZones(plain).reduce<readonly Supposed[]>((known, zone) => {
    const likeliest = Math.max(...known.map(({ log }) => log));
    const near = { points: plain.grid, gain: likeliest + Math.log(WORTH_A_GRID) - price - ofPlain - SHAPES };
    return [...known, ...bothReasons(neck, sheet, usable, zone, near).map((reason) => ({ ...reason, log: price + logEvidenceOf(reason.grid) }))];
  }, [{ ...plain, log: Math.log(1 - ZONE_SHARE) + ofPlain }]);
  const top = Math.max(...all.map(({ log }) => log));
  const kept = all.filter(({ log }) => Math.exp(log - top) > NEGLIGIBLE).sort((a, b) => b.log - a.log);
  const sum = kept.reduce((total, { log }) => total + Math.exp(log - top), 0);
  const [first, ...rest] = kept.map(({ log, ...explanation }) => ({ ...explanation, probability: Math.exp(log - top) / sum }));
  return first === undefined ? [{ ...plain, probability: 1 }] : [first, ...rest];
}

/** Without readings on the wood or under crowns both reasons predict the same readings, and one fit serves both. */
function bothReasons(neck: Neck, sheet: SurveySheet, usable: Usable, zone: Omit<Zone, "of">, near: LikeGrid): readonly Omit<Explanation, "probability">[] {
  const frets = fitted(neck, sheet, usable, { ...zone, of: "frets" }, near);
  const board = tellsReasonsApart(usable) ? fitted(neck, sheet, usable, { ...zone, of: "board" }, near) : { ...frets, layout: layoutOf(usable, { ...zone, of: "board" }) };
  return [frets, board];
}

function fitted(neck: Neck, sheet: SurveySheet, usable: Usable, zone?: Zone, near?: LikeGrid): Omit<Explanation, "probability"> {
  const layout = layoutOf(usable, zone);
  const equations = equationsOf(neck, usable, layout, sheet.feelMm);
  return { layout, equations, grid: scatterGrid(layout, equations, usable.settings.length, near) };
}
