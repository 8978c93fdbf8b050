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
/** By how much, in the logarithm, the tops of two grids may mislead about their whole: one is wider than the other. */
const SHAPES = 2;

/**
 * The explanations of a survey: every fret for itself, and, where neighbouring frets look as if they stood up together, a zone of the
 * board or of the frets. Zones are only tried where suspected, and pay for the many places where they could have been.
 */
export function explanationsOf(neck: Neck, sheet: SurveySheet, usable: Usable): readonly [Explanation, ...Explanation[]] {
  const plain = fitted(neck, sheet, usable);
  const zones = suspectedZones(plain);
  const price = Math.log(ZONE_SHARE / (2 * windowCount(usable.stations.filter(({ fret }) => fret !== undefined).length)));
  const supposed = zones.flatMap((zone) => bothReasons(neck, sheet, usable, zone, { points: plain.grid, gain: Math.log(NEGLIGIBLE * (1 - ZONE_SHARE)) - price - SHAPES })).map((explanation) => ({ price, ...explanation }));
  const all = [{ price: Math.log(1 - ZONE_SHARE), ...plain }, ...supposed].map(({ price: logPrior, ...rest }) => ({ ...rest, log: logPrior + logEvidenceOf(rest.grid) }));
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
