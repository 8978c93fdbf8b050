import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { placeWords } from "../readings/entries.js";
import type { GapReading, Surface } from "../readings/reading.js";
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
  const readings = usable.settings.filter((setting) => setting.surface === surface && (setting.survey ?? 0) === survey).flatMap((setting) => setting.readings).filter((reading) => reading.line === line);
  if (group.stations.length <= 2) {
    const first = surface === "fretTops" ? firstReadings(neck, line) : firstReadingsOn(line, surface);
    return [{ line, what: `the shape of this line${ON[surface]}`, need: [...openAbove(readings), first].join("; else ") }];
  }
  // a fret over which only a rocker stood was not asked for its height
  return group.loose.flatMap((station): readonly Undetermined[] => {
    const here = readings.filter((reading) => stationAt(usable.stations, reading.place) === station);
    if (here.length === 0) return [];
    const at = placeOf(neck, usable, group, station).label;
    const where = placeWords(at);
    const need = here.some((reading) => !isBounded(reading))
      ? `at ${where}, ${line}${ON[surface]}: stack leaves until one does not go, so that the gap has an upper bound`
      : `at ${where}, ${line}${ON[surface]}: read it again under an edge that also reads two places already known on this line`;
    return [{ line, at, what: `the height at ${where}${ON[surface]}`, need }];
  });
}

/** Gaps that a leaf goes into freely, or the thickest one: nothing says how wide they are. */
function openAbove(readings: readonly GapReading[]): readonly string[] {
  const open = readings.filter((reading) => !isBounded(reading));
  if (open.length === 0) return [];
  const [gaps, them] = open.length === 1 ? ["the gap", "it"] : ["the gaps", "each"];
  const places = open.map(({ place, written }) => `${placeWords(place.label)} ("${written}")`).join(" and ");
  return [`${gaps} at ${places} may be any wider, since no leaf is known that does not go: stack leaves until one does not go and write the stack, as 40+5, or read ${them} with a rule or calliper and its ±`];
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
