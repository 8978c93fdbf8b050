import { fretStandings } from "./estimation/fretStandings.js";
import type { FretStandings } from "./estimation/fretStandings.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import { heaviestPoint } from "./explanation.js";
import type { Explanation } from "./explanation.js";
import type { Zone } from "./model/layout.js";
import { ZONE } from "./model/prior.js";
import { CENTRE } from "./model/scatters.js";
import { zoneGains } from "./zoneGains.js";
import type { FretRun } from "./zoneGains.js";

/** Fewer frets up together are frets up one by one; more are the line itself. */
const LENGTHS = [4, 5, 6, 7] as const;
/** So many of the most suspect zones are tried. */
const MOST = 3;
/** A zone is tried from this foreseen gain in the logarithm of the readings' probability on. */
const LEAST_GAIN = 1.5;
/** Number of places where a zone could lie. */
export function windowCount(frets: number): number {
  return Math.max(1, LENGTHS.reduce((count, length) => count + Math.max(0, frets - length + 1), 0));
}

/** Runs of neighbouring frets that would rather stand up together than each for itself, most suspect first. A hollow is left to the line. */
export function suspectedZones(plain: Omit<Explanation, "probability">): readonly Omit<Zone, "of">[] {
  const usual = mostUsualPoint(plain.grid);
  const standings = fretStandings(plain.layout, plain.equations.length, usual.posterior);
  if (standings === undefined) return [];
  const runs = runsOf(standings);
  const gains = zoneGains(standings, heaviestPoint(plain).scatters.seatingMm, runs, ZONE);
  const judged = runs.flatMap((run, index) => (gains[index] === undefined ? [] : [{ ...run, ...gains[index] }])).filter(({ gain, heightMm }) => gain > LEAST_GAIN && heightMm > 0);
  return judged.sort((a, b) => b.gain - a.gain).slice(0, MOST).map(({ from, to }) => ({ from: standings.stations[from] ?? 0, to: standings.stations[to] ?? 0 }));
}

function runsOf({ stations }: FretStandings): readonly FretRun[] {
  return LENGTHS.flatMap((length) => Array.from({ length: Math.max(0, stations.length - length + 1) }, (_, from) => ({ from, to: from + length - 1 })));
}

/** The grid point whose line is as rough as usual: on it a zone shows that has made the line rough. */
function mostUsualPoint(grid: readonly GridPoint[]): GridPoint {
  const apart = ({ scatters }: GridPoint): number => Math.abs(Math.log(scatters.roughnessMm / CENTRE.roughnessMm));
  return grid.reduce((best, point) => (apart(point) < apart(best) ? point : best));
}
