import { fretDistanceMm, fretTops } from "../../neck/frets.js";
import type { Neck, NeckLine } from "../../neck/neck.js";
import { acrossMm } from "../../neck/surface.js";
import type { EdgeSetting, GapReading, SettingPath, Surface } from "../../readings/reading.js";
import { oddBowWords } from "../../readings/tools.js";

/** What a setting's readings are: gaps under an edge, the roll between two bars, a middle over its feet, the wire over the wood, a gap under a crown. */
export type Manner = "edge" | "sighting" | "dial" | "crown" | "seating";

/** A foot of a dial bar stands on the nearest crown; none farther than this. */
const FOOT_MM = 20;

/** How the readings of a setting are to be understood. */
export function mannerOf({ tool, surface }: Pick<EdgeSetting, "tool" | "surface">): Manner {
  if (tool.kind === "crownGauge") return "crown";
  if (surface === "underCrown") return "seating";
  if (tool.kind === "sightingBars") return "sighting";
  return tool.kind === "dialBar" ? "dial" : "edge";
}

/** Surfaces with a line of their own, read from the neck's back: the tool lies on the other side, so that a gap grows with the height. */
export function isFace(surface: Surface): surface is "underside" | "glueFace" {
  return surface === "underside" || surface === "glueFace";
}

/** Why a setting says nothing that the adjustment can use, in words; undefined where it does. */
export function reasonLeftAside(neck: Neck, setting: EdgeSetting): string | undefined {
  const { tool, path } = setting;
  const manner = mannerOf(setting);
  const oddBow = manner === "seating" ? undefined : oddBowWords(tool);
  if (oddBow !== undefined) return oddBow;
  if (manner === "sighting" && neck.lines.length < 2) return "twist needs two lines, and this neck has one";
  if (path.kind === "diagonal" && (manner === "dial" || manner === "crown" || manner === "seating")) return `${tool.name} is read at a fret on a line: name the line, and leave the path empty`;
  if (manner === "dial" && path.kind !== "along") return "the dial bar's feet stand along a line: leave the path empty";
  if (manner === "dial" && setting.readings.some((reading) => feetMm(neck, setting, reading) === undefined)) return `its feet, ${tool.lengthMm.toFixed(0)} mm apart, would stand beyond the frets: state its length between the feet, or read nearer the middle`;
  return tool.kind === "radiusGauge" && path.kind !== "across" ? "a radius gauge stands across the neck: write across as its path" : undefined;
}

/** Whether a setting ties the heights of several lines together. */
export function isCrossing(setting: EdgeSetting): boolean {
  const manner = mannerOf(setting);
  return manner === "sighting" || (manner === "edge" && setting.path.kind !== "along");
}

/** Where a reading lies along its setting's path, mm: distance from the nut, from the centre where the tool lies across. */
export function positionMm(neck: Neck, path: SettingPath, reading: GapReading): number {
  return path.kind === "across" ? acrossMm(neck, lineNamed(neck, reading.line), reading.place.xMm) : reading.place.xMm;
}

/** Lines of the neck whose heights a setting's readings involve. */
export function linesOf(neck: Neck, setting: EdgeSetting): readonly string[] {
  const { path } = setting;
  const names = neck.lines.map((line) => line.name);
  if (mannerOf(setting) === "sighting") return [names[0] ?? "", names.at(-1) ?? ""];
  if (path.kind !== "diagonal") return [...new Set(setting.readings.map((reading) => reading.line))];
  const [a, b] = [names.indexOf(path.from.line), names.indexOf(path.to.line)];
  return names.slice(Math.min(a, b), Math.max(a, b) + 1);
}

/** Signed distance from the centre at which a reading was taken, mm, positive toward the treble. */
export function acrossOfReadingMm(neck: Neck, path: SettingPath, reading: GapReading): number {
  const { xMm } = reading.place;
  if (path.kind !== "diagonal") return acrossMm(neck, lineNamed(neck, reading.line), xMm);
  const [from, to] = [path.from, path.to].map(({ line, at }) => ({ xMm: at.xMm, yMm: acrossMm(neck, lineNamed(neck, line), at.xMm) }));
  if (from === undefined || to === undefined) return NaN;
  return from.yMm + ((to.yMm - from.yMm) * (xMm - from.xMm)) / (to.xMm - from.xMm);
}

/** Shares of lines in the height of a point between them. */
export type Blend = readonly { readonly line: string; readonly share: number }[];

/**
 * The height at a reading as a blend of its lines: the line itself; on a diagonal the parabola through the three lines nearest (the straight
 * line between two), which is exact for crown and twist.
 */
export function blendOf(neck: Neck, setting: EdgeSetting, reading: GapReading): Blend {
  if (setting.path.kind !== "diagonal") return [{ line: reading.line, share: 1 }];
  const y = acrossOfReadingMm(neck, setting.path, reading);
  const near = linesOf(neck, setting).map((line) => ({ line, yMm: acrossMm(neck, lineNamed(neck, line), reading.place.xMm) }))
    .sort((a, b) => Math.abs(a.yMm - y) - Math.abs(b.yMm - y)).slice(0, 3);
  return near.map(({ line, yMm }) => ({ line, share: near.filter((other) => other.line !== line).reduce((product, other) => (product * (y - other.yMm)) / (yMm - other.yMm), 1) }));
}

/** How much of the crown across a diagonal sees between two lines: 0 on them, 1 midway. */
export function bridgedShare(neck: Neck, setting: EdgeSetting, reading: GapReading): number {
  if (setting.path.kind !== "diagonal") return 0;
  const y = acrossOfReadingMm(neck, setting.path, reading);
  const [a = NaN, b = NaN] = linesOf(neck, setting).map((line) => acrossMm(neck, lineNamed(neck, line), reading.place.xMm));
  return (-4 * (y - a) * (y - b)) / (b - a) ** 2;
}

/** Where the feet of a dial bar stand, mm from the nut: on the nearest crowns, or half its length from its middle on the wood. Undefined where no crown is near. */
export function feetMm(neck: Neck, { tool, surface }: EdgeSetting, { place }: GapReading): readonly [number, number] | undefined {
  const wanted = [place.xMm - tool.lengthMm / 2, place.xMm + tool.lengthMm / 2] as const;
  if (surface !== "fretTops") return wanted;
  const tops = fretTops(neck).map((fret) => fretDistanceMm(neck.scaleLengthMm, fret));
  const [near, far] = wanted.map((x) => tops.reduce((best, top) => (Math.abs(top - x) < Math.abs(best - x) ? top : best)));
  if (near === undefined || far === undefined || Math.abs(near - wanted[0]) > FOOT_MM || Math.abs(far - wanted[1]) > FOOT_MM) return undefined;
  return near < place.xMm && far > place.xMm ? [near, far] : undefined;
}

/** @throws {RangeError} a line that the neck does not have */
export function lineNamed(neck: Neck, name: string): NeckLine {
  const line = neck.lines.find((candidate) => candidate.name === name);
  if (line === undefined) throw new RangeError(`Cannot place a reading: expected one of the lines ${neck.lines.map((known) => known.name).join(", ")}, found ${name}`);
  return line;
}
