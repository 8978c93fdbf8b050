import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import type { Surface } from "../readings/reading.js";
import { isBounded } from "./determined.js";
import { placeOf } from "./heightsOf.js";
import type { Group } from "./heightsOf.js";
import { stationAt } from "./model/stations.js";
import type { Usable } from "./model/stations.js";
import type { Undetermined } from "./survey.js";

const ON: Readonly<Record<Surface, string>> = { fretTops: "", wood: " on the wood", underCrown: "", underside: " on the underside", glueFace: " on the glue face" };

/** What the readings of a group leave open, and the reading that would fix it. */
export function undeterminedOf(neck: Neck, usable: Usable, group: Group): readonly Undetermined[] {
  const { line, surface, survey } = group;
  if (group.stations.length <= 2) return [{ line, what: `the shape of this line${ON[surface]}`, need: surface === "fretTops" ? firstReadings(neck, line) : firstReadingsOn(line, surface) }];
  const readings = usable.settings.filter((setting) => setting.surface === surface && (setting.survey ?? 0) === survey).flatMap((setting) => setting.readings).filter((reading) => reading.line === line);
  // a fret over which only a rocker stood was not asked for its height
  return group.loose.flatMap((station): readonly Undetermined[] => {
    const here = readings.filter((reading) => stationAt(usable.stations, reading.place) === station);
    if (here.length === 0) return [];
    const at = placeOf(neck, usable, group, station).label;
    const need = here.some((reading) => !isBounded(reading))
      ? `at ${at}, ${line}${ON[surface]}: stack leaves until one does not go, so that the gap has an upper bound`
      : `at ${at}, ${line}${ON[surface]}: read it again under an edge that also reads two places already known on this line`;
    return [{ line, at, what: `the height at ${at}${ON[surface]}`, need }];
  });
}

/** The readings that would determine a line's shape at all. */
export function firstReadings(neck: Neck, line: string): string {
  const first = fretTops(neck)[0] ?? 1;
  const joint = neck.bodyJoint ?? Math.min(neck.frets, 14);
  const rocking = `if it rocks on a high middle, let it balance there, write "touch" where it rests, and read the gaps at frets ${first} and ${joint} while it lies so`;
  return `lay the edge along the ${line} line on frets ${first} and ${joint}, write "touch" at both, and read one gap about midway, near fret ${fretMidway(neck, first, joint)}; ${rocking}`;
}

/** The fret nearest mid-way in length, not in number: frets lie wider apart toward the nut. */
function fretMidway(neck: Neck, first: number, last: number): number {
  const [from, to] = [fretDistanceMm(neck.scaleLengthMm, first), fretDistanceMm(neck.scaleLengthMm, last)];
  const off = (fret: number): number => Math.abs(fretDistanceMm(neck.scaleLengthMm, fret) - (from + to) / 2);
  return fretTops(neck).reduce((best, fret) => (off(fret) < off(best) ? fret : best), first);
}

function firstReadingsOn(line: string, surface: Surface): string {
  return `lay one edge along the ${line} line${ON[surface]} and read three places under it, with an upper bound at each`;
}
