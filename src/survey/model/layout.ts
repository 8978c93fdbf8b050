import type { Tool } from "../../readings/reading.js";
import type { SparseRow } from "../linear/arrow.js";
import type { Station, Usable } from "./stations.js";

/** Slopes are carried per 100 mm, so that all unknowns are of the size of millimetres. */
export const SLOPE_BASE_MM = 100;

/** Where each unknown stands among the parameters: banded in order of place, then the border. */
export type Layout = {
  readonly stations: readonly Station[];
  readonly lines: readonly string[];
  readonly banded: number;
  readonly border: number;
  /** Height and slope of the smooth line at (line, station); absent at the first station, where level and tilt are the datum's. */
  readonly smooth: (line: number, station: number) => { readonly height: number; readonly slope: number } | undefined;
  /** Height of a fret top; absent where there is no fret. */
  readonly top: (line: number, station: number) => number | undefined;
  /** Lines that run along an end of the frets. */
  readonly ends: readonly number[];
  /** Height of the bare wood; absent in a survey without wood readings. */
  readonly wood: (line: number, station: number) => number | undefined;
  /** Even bow shared by all lines, and each line's own difference from it. */
  readonly sharedBow: number;
  readonly ownBow: (line: number) => number;
  readonly offset: (setting: number) => number;
  readonly tilt: (setting: number) => number;
  /** Even (bow) and odd part of an edge's own error; absent for a tool stated to be perfectly straight. */
  readonly edgeError: (tool: Tool) => { readonly even: number; readonly odd: number } | undefined;
  readonly tools: readonly Tool[];
  /** A zone of neighbouring frets that stand up together, when one is supposed. */
  readonly zone?: Zone;
  /** Height of that zone; absent without one. */
  readonly zoneHeight?: number;
  /** Bow shape: share of the full bow at x, 0 at the ends of the surveyed length and -1 (middle low) in its middle. */
  readonly bowShape: (xMm: number) => number;
};

/**
 * Neighbouring frets that stand up (or down) together, from station to station, for one of two reasons: the board is raised there,
 * which the neck line follows, or the frets are not seated, which it does not. Readings of fret tops cannot tell the two apart.
 */
export type Zone = { readonly from: number; readonly to: number; readonly of: "board" | "frets" };

/** Numbers the unknowns of a survey, with a zone if one is supposed. */
export function layoutOf(usable: Usable, zone?: Zone): Layout {
  const { stations } = usable;
  const lines = usable.lines.map((line) => line.name);
  const tools = [...new Map([...usable.settings, ...usable.rockers].map(({ tool }) => [toolKey(tool), tool])).values()].filter((tool) => tool.straightnessToleranceMm > 0);
  const hasWood = usable.settings.some((setting) => setting.surface === "wood");
  const starts: number[] = [0];
  for (const [index, station] of stations.entries()) {
    const states = index === 0 ? 0 : 2 * lines.length;
    starts.push((starts.at(-1) ?? 0) + states + (station.fret === undefined ? 0 : lines.length) + (hasWood ? lines.length : 0));
  }
  const banded = starts.at(-1) ?? 0;
  const start = (station: number): number => starts[station] ?? 0;
  const afterStates = (station: number): number => start(station) + (station === 0 ? 0 : 2 * lines.length);
  const isFret = (station: number): boolean => stations[station]?.fret !== undefined;
  const settingBase = banded + 1 + lines.length;
  const toolBase = settingBase + 2 * usable.settings.length;
  const zoneAt = toolBase + 2 * tools.length;
  const toolIndex = (tool: Tool): number => tools.findIndex((known) => toolKey(known) === toolKey(tool));
  const first = stations[0]?.xMm ?? 0;
  const length = (stations.at(-1)?.xMm ?? 1) - first;
  return {
    stations, lines, tools, banded,
    border: 1 + lines.length + 2 * usable.settings.length + 2 * tools.length + (zone === undefined ? 0 : 1),
    ...(zone === undefined ? {} : { zone, zoneHeight: zoneAt }),
    smooth: (line, station) => (station === 0 ? undefined : { height: start(station) + 2 * line, slope: start(station) + 2 * line + 1 }),
    ends: usable.ends,
    top: (line, station) => (isFret(station) ? afterStates(station) + line : undefined),
    wood: (line, station) => (hasWood ? afterStates(station) + (isFret(station) ? lines.length : 0) + line : undefined),
    sharedBow: banded,
    ownBow: (line) => banded + 1 + line,
    offset: (setting) => settingBase + 2 * setting,
    tilt: (setting) => settingBase + 2 * setting + 1,
    edgeError: (tool) => {
      const index = toolIndex(tool);
      return index < 0 ? undefined : { even: toolBase + 2 * index, odd: toolBase + 2 * index + 1 };
    },
    bowShape: (xMm) => {
      const t = (xMm - first) / length;
      return -4 * t * (1 - t);
    },
  };
}

/**
 * The smooth line at any x between the first and last station, as a row over the parameters.
 * Between stations the conditional mean of an integrated random walk is the cubic through both heights and slopes.
 * @throws {RangeError} a place outside the surveyed length, or a line without readings
 */
export function smoothRow(layout: Layout, lineName: string, xMm: number): SparseRow {
  const line = layout.lines.indexOf(lineName);
  const right = layout.stations.findIndex((station) => station.xMm >= xMm - 1e-9);
  if (line < 0 || right < 0 || xMm < (layout.stations[0]?.xMm ?? 0) - 1e-9) {
    throw new RangeError(`Cannot give the neck line at ${lineName}, ${xMm} mm from the nut: expected a line with readings and a place between its first and last reading`);
  }
  const left = Math.max(0, right - 1);
  const h = (layout.stations[right]?.xMm ?? 0) - (layout.stations[left]?.xMm ?? 0);
  const t = h > 0 ? (xMm - (layout.stations[left]?.xMm ?? 0)) / h : 0;
  const row: MutableRow = { index: [], coefficient: [] };
  const slope = h / SLOPE_BASE_MM;
  addState(row, layout.smooth(line, left), 1 - t * t * (3 - 2 * t), slope * t * (1 - t) * (1 - t));
  if (right !== left) addState(row, layout.smooth(line, right), t * t * (3 - 2 * t), -slope * t * t * (1 - t));
  const bow = layout.bowShape(xMm);
  row.index.push(layout.sharedBow, layout.ownBow(line));
  row.coefficient.push(bow, bow);
  if (layout.zone?.of === "board" && layout.zoneHeight !== undefined) {
    row.index.push(layout.zoneHeight);
    row.coefficient.push(raisedShare(layout, layout.zone, xMm));
  }
  return row;
}

/** A fret top: an unknown of its own, so that what is read on it involves no more than it; the smooth line where there is no fret. */
export function fretTopRow(layout: Layout, lineName: string, station: number): SparseRow {
  return heightRow(layout, lineName, station, layout.top);
}

/** The bare wood; level differences to the crowns go into the setting's offset. */
export function woodRow(layout: Layout, lineName: string, station: number): SparseRow {
  return heightRow(layout, lineName, station, layout.wood);
}

function heightRow(layout: Layout, lineName: string, station: number, of: Layout["top"]): SparseRow {
  const own = of(layout.lines.indexOf(lineName), station);
  return own === undefined ? smoothRow(layout, lineName, layout.stations[station]?.xMm ?? NaN) : { index: [own], coefficient: [1] };
}

/** How a fret stands off the smooth line, or off the zone that is lifted with it. */
export function fretDeviationRow(layout: Layout, lineName: string, station: number): SparseRow {
  const { zone, zoneHeight } = layout;
  const lifted = zone?.of === "frets" && zoneHeight !== undefined && station >= zone.from && station <= zone.to ? { index: [zoneHeight], coefficient: [1] } : { index: [], coefficient: [] };
  return combined([[1, fretTopRow(layout, lineName, station)], [-1, smoothRow(layout, lineName, layout.stations[station]?.xMm ?? NaN)], [-1, lifted]]);
}

/** How the bare wood deviates from the smooth line. */
export function woodDeviationRow(layout: Layout, lineName: string, station: number): SparseRow {
  return combined([[1, woodRow(layout, lineName, station)], [-1, smoothRow(layout, lineName, layout.stations[station]?.xMm ?? NaN)]]);
}

/** Sum of rows with factors; equal indices are merged and exact zeros left out. */
export function combined(parts: readonly (readonly [factor: number, row: SparseRow])[]): SparseRow {
  const sum = new Map<number, number>();
  for (const [factor, row] of parts) {
    for (const [position, index] of row.index.entries()) sum.set(index, (sum.get(index) ?? 0) + factor * (row.coefficient[position] ?? 0));
  }
  const kept = [...sum].filter(([, coefficient]) => coefficient !== 0).sort(([a], [b]) => a - b);
  return { index: kept.map(([index]) => index), coefficient: kept.map(([, coefficient]) => coefficient) };
}

/** A raised board: full height over the zone, falling to nothing at the frets before and after it. */
function raisedShare(layout: Layout, zone: Zone, xMm: number): number {
  const x = (station: number): number | undefined => layout.stations[station]?.xMm;
  const [start, up, down, end] = [x(zone.from - 1) ?? -Infinity, x(zone.from) ?? 0, x(zone.to) ?? 0, x(zone.to + 1) ?? Infinity];
  const rising = start === -Infinity ? 1 : (xMm - start) / (up - start);
  const falling = end === Infinity ? 1 : (end - xMm) / (end - down);
  return Math.max(0, Math.min(1, rising, falling));
}

type MutableRow = { readonly index: number[]; readonly coefficient: number[] };

function addState(row: MutableRow, state: ReturnType<Layout["smooth"]>, height: number, slope: number): void {
  if (state === undefined) return;
  row.index.push(state.height, state.slope);
  row.coefficient.push(height, slope);
}

function toolKey(tool: Tool): string {
  return `${tool.kind}|${tool.name}|${tool.lengthMm}|${tool.straightnessToleranceMm}`;
}
