import { fretDistanceMm, fretTops } from "../../neck/frets.js";
import type { Neck, NeckLine } from "../../neck/neck.js";
import type { EdgeSetting, GapReading, Place, RockerReading, Surface, SurveySheet } from "../../readings/reading.js";

/** Surfaces that follow the one neck line: crowns stand on the wood, so both are the same smooth line and small deviations. */
const ON_NECK_LINE: readonly Surface[] = ["fretTops", "wood"];

/** One place along the neck at which the smooth line is a parameter. */
export type Station = {
  readonly xMm: number;
  /** The fret whose top stands here; absent for a place read on the wood only. */
  readonly fret?: number;
};

/** A setting with the place where the edge's middle is taken to lie: the middle of what was read under it. It stays when a reading is set aside. */
export type PlacedSetting = EdgeSetting & { readonly middleMm: number };

/** The part of a sheet that the adjustment uses, and what it had to leave aside, said in words. */
export type Usable = {
  readonly lines: readonly NeckLine[];
  /** Indices of those lines that are the neck's outermost, along the ends of the frets. */
  readonly ends: readonly number[];
  readonly settings: readonly PlacedSetting[];
  readonly rockers: readonly RockerReading[];
  readonly stations: readonly Station[];
  readonly leftAside: readonly string[];
};

/**
 * Sorts a sheet's readings into those that say something of the neck line along its lines and those that do not.
 * Nothing is dropped silently: what is left aside is named in `leftAside`.
 */
export function usableReadings(neck: Neck, sheet: SurveySheet): Usable {
  const settings = sheet.settings.filter((setting) => reasonLeftAside(setting) === undefined && setting.readings.length > 0).map(placed);
  const leftAside = sheet.settings.flatMap((setting) => {
    const reason = reasonLeftAside(setting);
    return reason === undefined ? [] : [`${setting.label} (${setting.readings.length} readings) is kept but not used: ${reason}`];
  });
  const read = new Set([...settings.flatMap((setting) => setting.readings.map((reading) => reading.line)), ...sheet.rockers.map((rocker) => rocker.line)]);
  const lines = neck.lines.filter((line) => read.has(line.name));
  const outermost = neck.lines.length > 1 ? [neck.lines[0], neck.lines.at(-1)] : [];
  const ends = [...lines.keys()].filter((index) => outermost.includes(lines[index]));
  return { lines, ends, settings, rockers: sheet.rockers, stations: stationsBetween(neck, settings, sheet.rockers), leftAside };
}

/** Place of a fret top on this neck. */
export function fretPlace(neck: Neck, fret: number): Place {
  return { label: String(fret), xMm: fretDistanceMm(neck.scaleLengthMm, fret), fret };
}

/** Index of the station at a place; places closer than a hundredth of a millimetre are one. */
export function stationAt(stations: readonly Station[], place: Pick<Place, "xMm">): number {
  return stations.findIndex((station) => samePlace(station.xMm, place.xMm));
}

function placed(setting: EdgeSetting): PlacedSetting {
  const xs = setting.readings.map((reading) => reading.place.xMm);
  return { ...setting, middleMm: (Math.min(...xs) + Math.max(...xs)) / 2 };
}

function reasonLeftAside(setting: EdgeSetting): string | undefined {
  if (setting.path.kind !== "along") return "only settings along a line are adjusted so far";
  if (!ON_NECK_LINE.includes(setting.surface)) return `the surface ${setting.surface} has a line of its own, which is not adjusted so far`;
  return setting.tool.kind === "straightedge" || setting.tool.kind === "notched" ? undefined : `the tool ${setting.tool.name} is not adjusted so far`;
}

function stationsBetween(neck: Neck, settings: readonly EdgeSetting[], rockers: readonly RockerReading[]): readonly Station[] {
  const read: readonly GapReading[] = settings.flatMap((setting) => setting.readings);
  const xs = [...read.map((reading) => reading.place.xMm), ...rockers.flatMap((rocker) => rocker.frets.map((fret) => fretPlace(neck, fret).xMm))];
  const first = Math.min(...xs);
  const last = Math.max(...xs);
  const tops: Station[] = fretTops(neck).map((fret) => ({ xMm: fretPlace(neck, fret).xMm, fret }));
  const inside = tops.filter((top) => top.xMm > first - SAME_MM && top.xMm < last + SAME_MM);
  const wood = read.filter((reading) => reading.place.fret === undefined).map((reading) => ({ xMm: reading.place.xMm }));
  const onWood = wood.filter((place, index) => !inside.some((top) => samePlace(top.xMm, place.xMm)) && stationAt(wood, place) === index);
  return [...inside, ...onWood].sort((a, b) => a.xMm - b.xMm);
}

const SAME_MM = 0.01;

function samePlace(a: number, b: number): boolean {
  return Math.abs(a - b) < SAME_MM;
}
