import { fretDistanceMm, fretTops } from "../../neck/frets.js";
import type { Neck, NeckLine } from "../../neck/neck.js";
import { impossibleReading } from "../../readings/impossible.js";
import { isFreeBoard } from "../../readings/state.js";
import type { EdgeSetting, Place, RockerReading, SurveySheet } from "../../readings/reading.js";
import { feetMm, isCrossing, isFace, linesOf, mannerOf, positionMm, reasonLeftAside } from "./paths.js";

/** One place along the neck at which the smooth line is a parameter. */
export type Station = {
  readonly xMm: number;
  /** The fret whose top stands here; absent for a place read on the wood only. */
  readonly fret?: number;
};

/**
 * A setting with the place where the tool's middle is taken to lie: the middle of what was read under it, along the neck or across it.
 * It stays when a reading is set aside.
 */
export type PlacedSetting = EdgeSetting & {
  readonly middleMm: number;
  /** Which of several surveys adjusted together; the first where absent. */
  readonly survey?: number;
  /** The neck was read on its side or edge, so that nothing sags toward it. */
  readonly level?: boolean;
  /** Feel of the hand in that survey, mm, where it is another than the first's. */
  readonly feelMm?: number;
};

/** A rocker with the survey it belongs to, among several adjusted together. */
export type PlacedRocker = RockerReading & { readonly survey?: number; readonly feelMm?: number };

/** Lines that bend as one body: the underside, the glue face, or how the neck line changed up to a later survey. */
export type Body = { readonly of: "neckLine" | "underside" | "glueFace" | "change"; readonly survey: number; readonly lines: readonly string[] };

/** A fret that was reseated, so that it stands anew from that survey on. */
export type Reseat = { readonly survey: number; readonly line: string; readonly station: number };

/** The part of a sheet that the adjustment uses, and what it had to leave aside, said in words. */
export type Usable = {
  readonly lines: readonly NeckLine[];
  /** Indices of those lines that are the neck's outermost, along the ends of the frets. */
  readonly ends: readonly number[];
  readonly settings: readonly PlacedSetting[];
  readonly rockers: readonly PlacedRocker[];
  readonly stations: readonly Station[];
  readonly leftAside: readonly string[];
  /** Place of the body joint from the nut, where the neck file names it and the board is on a neck. */
  readonly jointMm?: number;
  /** Bodies beside the neck line. */
  readonly bodies?: readonly Body[];
  /** Settings reach from line to line, so that level and tilt of the lines are unknowns. */
  readonly crosses?: boolean;
  /** A diagonal passes between two lines of a neck that has no third to say how the board is crowned there. */
  readonly bridges?: boolean;
  readonly reseats?: readonly Reseat[];
  /** Lines of the neck line read in each of several surveys adjusted together. */
  readonly linesBySurvey?: readonly (readonly string[])[];
};

/**
 * Sorts a sheet's readings into those that say something of the neck and those that do not.
 * Nothing is dropped silently: what is left aside is named in `leftAside`.
 * @throws {RangeError} a number that cannot be one of a reading, as an uncertainty of 0
 */
export function usableReadings(neck: Neck, sheet: SurveySheet): Usable {
  const odd = impossibleReading(sheet);
  if (odd !== undefined) throw new RangeError(`Cannot use these readings: found ${odd}`);
  const onItsSide = /\b(side|edge)\b/i.test(sheet.state.support ?? "");
  const judged = sheet.settings.map((setting) => ({ setting, reason: reasonLeftAside(neck, setting) }));
  const settings = judged.filter(({ setting, reason }) => reason === undefined && setting.readings.length > 0).map(({ setting }) => ({ ...placed(neck, setting), ...(onItsSide ? { level: false } : {}) }));
  const leftAside = judged.flatMap(({ setting, reason }) => (reason === undefined ? [] : [`${setting.label} (${setting.readings.length} reading${setting.readings.length === 1 ? "" : "s"}) is kept but not used: ${reason}`]));
  const { jointMm, ...usable } = usableOf(neck, settings, sheet.rockers, leftAside);
  return jointMm === undefined || isFreeBoard(sheet.stage, sheet.state) ? usable : { ...usable, jointMm };
}

/** What settings and rockers together reach: lines, bodies and places. */
export function usableOf(neck: Neck, settings: readonly PlacedSetting[], rockers: readonly PlacedRocker[], leftAside: readonly string[]): Usable {
  const read = new Set([...settings.filter(({ surface }) => !isFace(surface)).flatMap((setting) => linesOf(neck, setting)), ...rockers.map((rocker) => rocker.line)]);
  const onFaces = settings.filter(({ surface }) => isFace(surface));
  if (read.size === 0) for (const setting of onFaces) for (const line of linesOf(neck, setting)) read.add(line);
  const lines = neck.lines.filter((line) => read.has(line.name));
  const outermost = neck.lines.length > 1 ? [neck.lines[0], neck.lines.at(-1)] : [];
  const ends = [...lines.keys()].filter((index) => outermost.includes(lines[index]));
  return {
    lines, ends, settings, rockers, stations: stationsBetween(neck, settings, rockers), leftAside,
    ...(neck.bodyJoint === undefined ? {} : { jointMm: fretDistanceMm(neck.scaleLengthMm, neck.bodyJoint) }),
    bodies: facesOf(neck, onFaces), crosses: settings.some(isCrossing), bridges: neck.lines.length === 2 && settings.some(({ path }) => path.kind === "diagonal"),
  };
}

function facesOf(neck: Neck, settings: readonly PlacedSetting[]): readonly Body[] {
  const keys = [...new Set(settings.map(({ surface, survey = 0 }) => `${survey} ${surface}`))];
  return keys.flatMap((key): Body[] => {
    const same = settings.filter(({ surface, survey = 0 }) => `${survey} ${surface}` === key);
    const [first] = same;
    if (first === undefined || !isFace(first.surface)) return [];
    const read = new Set(same.flatMap((setting) => linesOf(neck, setting)));
    return [{ of: first.surface, survey: first.survey ?? 0, lines: neck.lines.map((line) => line.name).filter((line) => read.has(line)) }];
  });
}

/** Whether anything was read that tells a raised board from frets that are not seated: on the wood, or under crowns. */
export function tellsReasonsApart({ settings }: Pick<Usable, "settings">): boolean {
  return settings.some((setting) => setting.surface === "wood" || mannerOf(setting) === "seating" || mannerOf(setting) === "crown");
}

/** Place of a fret top on this neck. */
export function fretPlace(neck: Neck, fret: number): Place {
  return { label: String(fret), xMm: fretDistanceMm(neck.scaleLengthMm, fret), fret };
}

/** Index of the station at a place; places closer than a hundredth of a millimetre are one. */
export function stationAt(stations: readonly Station[], place: Pick<Place, "xMm">): number {
  return stations.findIndex((station) => samePlace(station.xMm, place.xMm));
}

function placed(neck: Neck, setting: EdgeSetting): PlacedSetting {
  const positions = setting.readings.map((reading) => positionMm(neck, setting.path, reading));
  return { ...setting, middleMm: (Math.min(...positions) + Math.max(...positions)) / 2 };
}

function stationsBetween(neck: Neck, settings: readonly EdgeSetting[], rockers: readonly RockerReading[]): readonly Station[] {
  const read = settings.flatMap((setting) => placesUnder(neck, setting));
  const xs = [...read.map(({ xMm }) => xMm), ...rockers.flatMap((rocker) => rocker.frets.map((fret) => fretPlace(neck, fret).xMm))];
  const first = Math.min(...xs);
  const last = Math.max(...xs);
  const tops: Station[] = fretTops(neck).map((fret) => ({ xMm: fretPlace(neck, fret).xMm, fret }));
  const inside = tops.filter((top) => top.xMm > first - SAME_MM && top.xMm < last + SAME_MM);
  const wood = read.filter(({ fret }) => fret === undefined).map(({ xMm }) => ({ xMm }));
  const onWood = wood.filter((place, index) => !inside.some((top) => samePlace(top.xMm, place.xMm)) && stationAt(wood, place) === index);
  return [...inside, ...onWood].sort((a, b) => a.xMm - b.xMm);
}

/** Places that a setting's readings involve: where they were taken, the feet of a dial bar, both bars of a sighting. */
function placesUnder(neck: Neck, setting: EdgeSetting): readonly Pick<Place, "xMm" | "fret">[] {
  const manner = mannerOf(setting);
  const feet = manner === "dial" ? setting.readings.flatMap((reading) => feetMm(neck, setting, reading) ?? []).map((xMm) => ({ xMm })) : [];
  const bars = manner === "sighting" && setting.path.kind === "diagonal" ? [setting.path.from.at, setting.path.to.at] : [];
  return [...setting.readings.map(({ place }) => place), ...feet, ...bars];
}

const SAME_MM = 0.01;

function samePlace(a: number, b: number): boolean {
  return Math.abs(a - b) < SAME_MM;
}
