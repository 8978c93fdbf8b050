import type { Neck } from "../neck/neck.js";
import type { Place } from "../readings/reading.js";
import type { Blunder } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import type { FretClass } from "./fretClass.js";
import type { FretHeight } from "./fretHeights.js";
import type { SeatingRecord } from "./seating.js";
import type { LookUnderCrown } from "./underCrown.js";
import type { FretZone } from "./zones.js";

/** A further reading of one fret, and how probable it is that it settles whether the fret is over the limit; absent where nearly nothing is known beforehand. */
export type SettlingReading = { readonly tool: "straightedge" | "rocker"; readonly line: string; readonly at: Place; readonly chance?: number };

/** What is known of one fret, before it is decided what to do with it. */
export type FretState = {
  readonly fret: number;
  readonly class: FretClass;
  /** Lines on which it is off, in the order of the neck; empty where it stands as intended. */
  readonly off: readonly string[];
  /** `treble end`, `all across`, `centre line`: where it is off. */
  readonly where: string;
  /** Its height on every line read, from bass to treble. */
  readonly lines: readonly FretHeight[];
  /** The line that is told: where it is farthest off, or highest. */
  readonly told: FretHeight;
  /** Probability that it stands over the limit on any line read. */
  readonly probabilityOver: number;
  /** Probability of its being as intended, and of each other class. */
  readonly shares: Readonly<Record<FretClass, number>>;
  readonly endOfCurve: boolean;
  /** The zone of neighbouring frets it stands up with; then it is not judged by itself. */
  readonly zone?: FretZone;
  /** The open zone that it stands up right beside. */
  readonly beside?: FretZone;
  readonly looks: readonly LookUnderCrown[];
  readonly seating: readonly SeatingRecord[];
  readonly settling?: SettlingReading;
  /** The give or take of its height is as large as the limit: these readings say nothing of it either way. */
  readonly hardlyRead: boolean;
  /** Readings of it that were set aside because all others contradict them. */
  readonly contradicted: readonly Blunder[];
  /** Lines on which it rocks, by how much was not read. */
  readonly rocksUnread: readonly string[];
  /** Nothing was read on it, on any line: a tool stood on it while its neighbours were read. */
  readonly isUnread: boolean;
  /** It lies where the neck line has a hump at the body joint. */
  readonly atHump: boolean;
  /** Only three places of its lines were read, and it stands up between the others: this may be a back bow. */
  readonly unsplit: boolean;
};

/** What to do with one fret. */
export type FretAction =
  | { readonly do: "leave"; readonly why: "as intended" | "under the limit more likely than not" | "low" | "hardly read" | "zero fret" }
  | { readonly do: "read"; readonly reading: SettlingReading; readonly why: "over the limit or not" | "tapped since" | "contradictory" | "the log says otherwise" | "rocks, no leaf" | "bow or high" | "not read" }
  | { readonly do: "look under the crown"; readonly lines: readonly string[] }
  | { readonly do: "look into the zone"; readonly zone: FretZone }
  | { readonly do: "look at the joint" }
  | { readonly do: "seat"; readonly lines: readonly string[]; /** What seating can win at most, mm: the widest that the gap can be. */ readonly gapMm: number; /** Height left over the limit even then. */ readonly leavesHigh: boolean }
  | { readonly do: "level"; readonly why: "no gap under the crown" | "raised board" }
  /** The thinnest leaf did not go, which leaves room for a thinner gap: look once more, then level. */
  | { readonly do: "level"; readonly why: "no leaf goes"; readonly gapAtMostMm: number }
  | { readonly do: "pull and refit"; readonly outcome: SeatingRecord["outcome"] };

/** One fret: how it stands, how sure, and what to do with it. */
export type FretFinding = FretState & {
  readonly action: FretAction;
  /** Height over the neck line where it is told, mm. */
  readonly high: Measured;
};

/** Where a fret is off, in a builder's words. */
export function whereWords(neck: Pick<Neck, "lines">, ends: readonly string[], off: readonly string[], read: readonly string[]): string {
  const [first, second] = off;
  if (first === undefined) return "";
  if (off.length === read.length) return read.length === neck.lines.length && read.length > 1 ? "all across" : read.length === 1 ? `${first} line` : `${off.join(" and ")} lines, all that were read`;
  if (second === undefined) return ends.includes(first) ? `${first} end` : first === "centre" ? "middle" : `${first} line`;
  if (off.length === 2 && off.every((line) => ends.includes(line))) return "both ends";
  return `${off.join(" and ")} lines`;
}
