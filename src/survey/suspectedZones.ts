import type { GridPoint } from "./estimation/scatterGrid.js";
import { standingsOf } from "./estimation/standings.js";
import type { Standings } from "./estimation/standings.js";
import { topPoint } from "./explanation.js";
import type { Explanation } from "./explanation.js";
import { raisedShare } from "./model/layout.js";
import type { Layout, Zone } from "./model/layout.js";
import { ZONE } from "./model/prior.js";
import type { Usable } from "./model/stations.js";
import { CENTRE } from "./model/scatters.js";
import { zoneGains } from "./zoneGains.js";

/** Fewer frets up together are frets up one by one; more are the line itself. */
const LENGTHS = [4, 5, 6, 7] as const;
/** So many of the most suspect zones are tried. */
const MOST = 3;
/** A zone is tried from this foreseen gain in the logarithm of the readings' probability on. */
const LEAST_GAIN = 1.5;
/** Neighbouring frets, from station to station. */
export type Run = Omit<Zone, "of">;

/** Number of places where a zone could lie. */
export function windowCount(frets: number): number {
  return Math.max(1, LENGTHS.reduce((count, length) => count + Math.max(0, frets - length + 1), 0));
}

/** Runs of neighbouring frets that would rather stand up together than each for itself, by themselves or with the board, most suspect first. A hollow is left to the line. */
export function suspectedZones(plain: Omit<Explanation, "probability">): readonly Run[] {
  const standings = standingsOf(plain.layout, plain.equations, mostUsualPoint(plain.grid).posterior);
  if (standings === undefined) return [];
  // where no wood was read both reasons raise the same
  const zones = runsOf(standings).flatMap((run): readonly Zone[] => (standings.wood.length === 0 ? [{ ...run, of: "frets" }] : [{ ...run, of: "frets" }, { ...run, of: "board" }]));
  const gains = zoneGains(standings, topPoint(plain).scatters.seatingMm, zones.map((zone) => raiseOf(plain.layout, standings, zone)), ZONE);
  const judged = zones.flatMap((zone, index) => (gains[index] === undefined ? [] : [{ ...zone, ...gains[index] }])).filter(({ gain, heightMm }) => gain > LEAST_GAIN && heightMm > 0);
  const sorted = judged.sort((a, b) => b.gain - a.gain);
  return sorted.filter(({ from, to }, at) => sorted.findIndex((one) => one.from === from && one.to === to) === at).slice(0, MOST).map(({ from, to }) => ({ from, to }));
}

function runsOf({ stations }: Standings): readonly Run[] {
  return LENGTHS.flatMap((length) => stations.slice(0, Math.max(0, stations.length - length + 1)).flatMap((from, at) => {
    const to = stations[at + length - 1];
    return to === undefined ? [] : [{ from, to }];
  }));
}

/** Runs that reach a fret farther or less far at one end. */
export function neighboursOf({ stations }: Pick<Usable, "stations">, { from, to }: Run): readonly Run[] {
  const frets = [...stations.keys()].filter((station) => stations[station]?.fret !== undefined);
  const [first, last] = [frets.indexOf(from), frets.indexOf(to)];
  const moved = [[first - 1, last], [first + 1, last], [first, last - 1], [first, last + 1]] as const;
  return moved.flatMap(([start, end]): Run[] => {
    const [a, b] = [frets[start], frets[end]];
    return a === undefined || b === undefined || !LENGTHS.some((length) => length === end - start + 1) ? [] : [{ from: a, to: b }];
  });
}

/** How far a zone of unit height raises each of the standings: frets, then wood. */
export function raiseOf(layout: Layout, { stations, wood }: Standings, zone: Zone): Float64Array {
  const shareAt = (station: number): number => (zone.of === "board" ? raisedShare(layout, zone, layout.stations[station]?.xMm ?? 0) : 0);
  return Float64Array.of(...stations.map((station) => (station >= zone.from && station <= zone.to ? 1 : 0)), ...wood.map(({ station }) => shareAt(station)));
}

/** The grid point whose line is as rough as usual: on it a zone shows that has made the line rough. */
function mostUsualPoint(grid: readonly GridPoint[]): GridPoint {
  const apart = ({ scatters }: GridPoint): number => Math.abs(Math.log(scatters.roughnessMm / CENTRE.roughnessMm));
  return grid.reduce((best, point) => (apart(point) < apart(best) ? point : best));
}
