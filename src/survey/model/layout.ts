import type { Tool } from "../../readings/reading.js";
import type { SparseRow } from "../linear/arrow.js";
import { bendsOf } from "./bends.js";
import type { Bend } from "./bends.js";
import { isFace, mannerOf } from "./paths.js";
import type { Body, PlacedSetting, Reseat, Station, Usable } from "./stations.js";

/** Slopes are carried per 100 mm, so that all unknowns are of the size of millimetres. */
export const SLOPE_BASE_MM = 100;

/** Where each unknown stands among the parameters: banded in order of place, then the border. */
export type Layout = {
  readonly stations: readonly Station[];
  readonly lines: readonly string[];
  readonly banded: number;
  readonly border: number;
  /**
   * Height and slope of the smooth line at (track, station). At the first station they are its level and tilt, which stand only where something carries them: settings that reach from
   * line to line, or else the setting of that line which has no offset and tilt of its own. Anywhere else level and tilt are the datum's and no unknowns.
   */
  readonly smooth: (line: number, station: number) => { readonly height: number; readonly slope: number } | undefined;
  /** Height of a fret top; absent where there is no fret. */
  readonly top: (line: number, station: number) => number | undefined;
  /** Lines that run along an end of the frets. */
  readonly ends: readonly number[];
  /** Height of the bare wood; absent in a survey without wood readings. */
  readonly wood: (line: number, station: number) => number | undefined;
  /** Sizes of the bends that all lines of a body share, in the order of `bends`, and each line's own difference in the bow, their first; bodies and tracks are counted through. */
  readonly sharedBends: (body: number) => readonly number[];
  readonly ownBow: (track: number) => number;
  /** What bends by itself: the neck line first. Lines of all bodies, counted through, are tracks; the neck line's are its lines. */
  readonly bodies: readonly PlacedBody[];
  /** Settings reach from line to line. */
  readonly crosses: boolean;
  /** How far the board's crown across stands over the nominal radius midway between two lines, where nothing else carries it. */
  readonly crossBow?: number;
  /** Height of the wire over the wood, where it was read. */
  readonly crownHeight?: number;
  /** Changes of how a fret stands that was reseated: each holds from its survey on. */
  readonly reseats: (line: string, station: number) => readonly { readonly survey: number; readonly at: number }[];
  /** Absent for a setting that carries its line's level and tilt: free as it lies, it may as well lie still. */
  readonly offset: (setting: number) => number | undefined;
  readonly tilt: (setting: number) => number | undefined;
  /** Even (bow) and odd part of an edge's own error; absent for a tool stated to be perfectly straight. */
  readonly edgeError: (tool: Tool) => { readonly even: number; readonly odd: number } | undefined;
  readonly tools: readonly Tool[];
  /** A zone of neighbouring frets that stand up together, when one is supposed. */
  readonly zone?: Zone;
  /** Height of that zone; absent without one. */
  readonly zoneHeight?: number;
  readonly bends: readonly [Bend, ...Bend[]];
};

/** A body with the number of its first track. */
export type PlacedBody = Body & { readonly index: number; readonly firstTrack: number };

/**
 * Neighbouring frets that stand up together, from station to station, for one of two reasons: the board is raised there,
 * which the neck line follows, or the frets are not seated, which it does not. Readings of fret tops cannot tell the two apart.
 */
export type Zone = { readonly from: number; readonly to: number; readonly of: "board" | "frets" };

/** Numbers the unknowns of a survey, with a zone if one is supposed. */
export function layoutOf(usable: Usable, zone?: Zone): Layout {
  const { stations } = usable;
  const lines = usable.lines.map((line) => line.name);
  const bodies = placedBodies([{ of: "neckLine", survey: 0, lines }, ...(usable.bodies ?? [])]);
  const tracks = bodies.reduce((sum, body) => sum + body.lines.length, 0);
  const bends = bendsOf(stations[0]?.xMm ?? 0, stations.at(-1)?.xMm ?? 1, usable.jointMm);
  const crosses = usable.crosses === true;
  const carriers = crosses ? [] : lines.map((line) => carrierOf(usable.settings, line));
  const levelled = Array.from({ length: tracks }, (_, track) => track).filter((track) => crosses || carriers[track] !== undefined);
  const { banded, ...atStations } = stationUnknowns(usable, lines.length, tracks, levelled);
  const bent = bendUnknowns(banded, bends.length, bodies.length, tracks);
  const lying = lyingUnknowns(usable.settings, carriers, bent.end);
  const edges = edgeUnknowns(usable, lying.end);
  const more = furtherUnknowns(usable, edges.end, zone);
  return {
    stations, lines, bodies, bends, crosses, banded,
    border: more.end - banded,
    ends: usable.ends,
    ...(zone === undefined ? {} : { zone }),
    ...atStations, ...bent.unknowns, ...lying.unknowns, ...edges.unknowns, ...more.unknowns,
  };
}

/** The unknowns at each place, in order along the neck: height and slope of every track, tops, bare wood, frets that stand anew. `banded` is how many there are. */
function stationUnknowns(usable: Usable, lines: number, tracks: number, levelled: readonly number[]): Pick<Layout, "smooth" | "top" | "wood" | "reseats" | "banded"> {
  const { stations } = usable;
  const hasWood = usable.settings.some((setting) => setting.surface === "wood");
  const anew = byStation(usable.reseats ?? []);
  const isFret = (station: number): boolean => stations[station]?.fret !== undefined;
  const states = (station: number): number => 2 * (station === 0 ? levelled.length : tracks);
  const starts: number[] = [0];
  for (const station of stations.keys()) starts.push((starts.at(-1) ?? 0) + states(station) + (isFret(station) ? lines : 0) + (hasWood ? lines : 0) + (anew.get(station)?.length ?? 0));
  const start = (station: number): number => starts[station] ?? 0;
  const afterStates = (station: number): number => start(station) + states(station);
  return {
    banded: starts.at(-1) ?? 0,
    smooth: (track, station) => {
      const order = station === 0 ? levelled.indexOf(track) : track;
      return order < 0 ? undefined : { height: start(station) + 2 * order, slope: start(station) + 2 * order + 1 };
    },
    top: (line, station) => (isFret(station) ? afterStates(station) + line : undefined),
    wood: (line, station) => (hasWood ? afterStates(station) + (isFret(station) ? lines : 0) + line : undefined),
    reseats: (line, station) => (anew.get(station) ?? []).flatMap((reseat, index, here) => (reseat.line === line ? [{ survey: reseat.survey, at: start(station + 1) - here.length + index }] : [])),
  };
}

/** Unknowns numbered one after the other, and the number of the first one after them. */
type Numbered<K extends keyof Layout> = { readonly unknowns: Pick<Layout, K>; readonly end: number };

function bendUnknowns(from: number, bends: number, bodies: number, tracks: number): Numbered<"sharedBends" | "ownBow"> {
  const ownBase = from + bends * bodies;
  const shared = Array.from({ length: bodies }, (_body, body) => Array.from({ length: bends }, (_bend, bend) => from + bends * body + bend));
  return {
    end: ownBase + tracks,
    unknowns: { sharedBends: (body) => shared[body] ?? [], ownBow: (track) => ownBase + track },
  };
}

/** Offset and tilt of each setting but those that carry their line's. */
function lyingUnknowns(settings: readonly PlacedSetting[], carriers: readonly (number | undefined)[], from: number): Numbered<"offset" | "tilt"> {
  const offsets = new Map([...settings.keys()].filter((setting) => !carriers.includes(setting)).map((setting, order) => [setting, from + 2 * order]));
  return {
    end: from + 2 * offsets.size,
    unknowns: {
      offset: (setting) => offsets.get(setting),
      tilt: (setting) => {
        const at = offsets.get(setting);
        return at === undefined ? undefined : at + 1;
      },
    },
  };
}

/** Even and odd part of each edge's own error. */
function edgeUnknowns({ settings, rockers }: Usable, from: number): Numbered<"edgeError" | "tools"> {
  const tools = [...new Map([...settings, ...rockers].map(({ tool }) => [toolKey(tool), tool])).values()].filter((tool) => tool.straightnessToleranceMm > 0 || tool.bow !== undefined);
  const errors = new Map(tools.map((tool, index) => [toolKey(tool), { even: from + 2 * index, odd: from + 2 * index + 1 }]));
  return { end: from + 2 * tools.length, unknowns: { tools, edgeError: (tool) => errors.get(toolKey(tool)) } };
}

function placedBodies(bodies: readonly Body[]): readonly PlacedBody[] {
  let firstTrack = 0;
  return bodies.map((body, index) => {
    const placed = { ...body, index, firstTrack };
    firstTrack += body.lines.length;
    return placed;
  });
}

function byStation(reseats: readonly Reseat[]): ReadonlyMap<number, readonly Reseat[]> {
  const sorted = new Map<number, Reseat[]>();
  for (const reseat of reseats) sorted.set(reseat.station, [...(sorted.get(reseat.station) ?? []), reseat]);
  return sorted;
}

/** The setting of an edge that carries a line's level and tilt: the one along it with most readings; none where no edge lay along it. */
function carrierOf(settings: readonly PlacedSetting[], line: string): number | undefined {
  let best: number | undefined;
  for (const [index, setting] of settings.entries()) {
    const { path, survey = 0, surface, readings } = setting;
    if (path.kind !== "along" || path.line !== line || survey !== 0 || isFace(surface) || mannerOf(setting) !== "edge") continue;
    if (best === undefined || readings.length > (settings[best]?.readings.length ?? 0)) best = index;
  }
  return best;
}

/** The unknowns that only some surveys have, numbered from `from` on. */
function furtherUnknowns(usable: Usable, from: number, zone: Zone | undefined): Numbered<"zoneHeight" | "crossBow" | "crownHeight"> {
  let end = from;
  const next = (isThere: boolean): number | undefined => {
    if (!isThere) return undefined;
    end += 1;
    return end - 1;
  };
  const zoneHeight = next(zone !== undefined);
  const crossBow = next(usable.bridges === true);
  const crownHeight = next(usable.settings.some((setting) => setting.tool.kind === "crownGauge"));
  return {
    end,
    unknowns: {
      ...(zoneHeight === undefined ? {} : { zoneHeight }), ...(crossBow === undefined ? {} : { crossBow }), ...(crownHeight === undefined ? {} : { crownHeight }),
    },
  };
}

/**
 * The smooth neck line at any x between the first and last station, as a row over the parameters.
 * In a later survey of several it is the first survey's line and its change.
 * @throws {RangeError} a place outside the surveyed length, or a line without readings
 */
export function smoothRow(layout: Layout, lineName: string, xMm: number, survey = 0): SparseRow {
  const own = trackRow(layout, layout.bodies[0], lineName, xMm);
  if (layout.zone?.of === "board" && layout.zoneHeight !== undefined) {
    own.index.push(layout.zoneHeight);
    own.coefficient.push(raisedShare(layout, layout.zone, xMm));
  }
  return survey === 0 ? own : combined([[1, own], [1, changeRow(layout, lineName, xMm, survey)]]);
}

/** Change of the neck line from the first survey to a later one, at x. @throws {RangeError} as `smoothRow` */
function changeRow(layout: Layout, lineName: string, xMm: number, survey: number): SparseRow {
  if (survey === 0) return { index: [], coefficient: [] };
  return trackRow(layout, layout.bodies.find((body) => body.of === "change" && body.survey === survey), lineName, xMm);
}

/** The underside or the glue face at x, each a smooth line of its own. @throws {RangeError} as `smoothRow` */
export function faceRow(layout: Layout, of: "underside" | "glueFace", lineName: string, xMm: number, survey = 0): SparseRow {
  return trackRow(layout, layout.bodies.find((body) => body.of === of && body.survey === survey), lineName, xMm);
}

/** Between stations the conditional mean of an integrated random walk is the cubic through both heights and slopes. */
function trackRow(layout: Layout, body: PlacedBody | undefined, lineName: string, xMm: number): MutableRow {
  const line = body?.lines.indexOf(lineName) ?? -1;
  const right = firstFrom(layout.stations, xMm - 1e-9);
  if (body === undefined || line < 0 || right === layout.stations.length || xMm < (layout.stations[0]?.xMm ?? 0) - 1e-9) {
    throw new RangeError(`Cannot give the ${BODY_WORDS[body?.of ?? "neckLine"]} at ${lineName}, ${xMm} mm from the nut: expected a line with readings and a place between its first and last reading`);
  }
  const track = body.firstTrack + line;
  const left = Math.max(0, right - 1);
  const h = (layout.stations[right]?.xMm ?? 0) - (layout.stations[left]?.xMm ?? 0);
  const t = h > 0 ? (xMm - (layout.stations[left]?.xMm ?? 0)) / h : 0;
  const row: MutableRow = { index: [], coefficient: [] };
  const slope = h / SLOPE_BASE_MM;
  addState(row, layout.smooth(track, left), 1 - t * t * (3 - 2 * t), slope * t * (1 - t) * (1 - t));
  if (right !== left) addState(row, layout.smooth(track, right), t * t * (3 - 2 * t), -slope * t * t * (1 - t));
  const shared = layout.sharedBends(body.index);
  for (let bend = 0; bend < shared.length; bend++) {
    row.index.push(shared[bend] ?? 0);
    row.coefficient.push(layout.bends[bend]?.heightAt(xMm) ?? 0);
  }
  row.index.push(layout.ownBow(track));
  row.coefficient.push(layout.bends[0].heightAt(xMm));
  return row;
}

/** Index of the first station at x or past it; their number where there is none. Halved in: a long board asks for every place. */
function firstFrom(stations: readonly Station[], xMm: number): number {
  let [low, high] = [0, stations.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((stations[middle]?.xMm ?? Infinity) >= xMm) high = middle;
    else low = middle + 1;
  }
  return low;
}

const BODY_WORDS: Readonly<Record<Body["of"], string>> = { neckLine: "neck line", change: "change of the neck line", underside: "underside", glueFace: "glue face" };

/** A fret top: an unknown of its own, so that what is read on it involves no more than it; the smooth line where there is no fret. */
export function fretTopRow(layout: Layout, lineName: string, station: number, survey = 0): SparseRow {
  const top = heightRow(layout, lineName, station, layout.top, survey);
  if (survey === 0) return top;
  const reseated = layout.reseats(lineName, station).filter((reseat) => reseat.survey <= survey).map(({ at }) => at);
  return reseated.length === 0 ? top : combined([[1, top], [1, { index: reseated, coefficient: reseated.map(() => 1) }]]);
}

/** The bare wood; level differences to the crowns go into the setting's offset. */
export function woodRow(layout: Layout, lineName: string, station: number, survey = 0): SparseRow {
  return heightRow(layout, lineName, station, layout.wood, survey);
}

function heightRow(layout: Layout, lineName: string, station: number, of: Layout["top"], survey: number): SparseRow {
  const own = of(layout.lines.indexOf(lineName), station);
  const xMm = layout.stations[station]?.xMm ?? NaN;
  if (own === undefined) return smoothRow(layout, lineName, xMm, survey);
  const row = { index: [own], coefficient: [1] };
  return survey === 0 ? row : combined([[1, row], [1, changeRow(layout, lineName, xMm, survey)]]);
}

/** How a fret stands off the smooth line, or off the zone that is lifted with it. */
export function fretDeviationRow(layout: Layout, lineName: string, station: number): SparseRow {
  return combined([[1, fretTopRow(layout, lineName, station)], [-1, smoothRow(layout, lineName, layout.stations[station]?.xMm ?? NaN)], [-1, liftedRow(layout, station)]]);
}

/** By how much a fret is lifted together with its neighbours; nothing where no zone of frets is supposed. */
export function liftedRow({ zone, zoneHeight }: Layout, station: number): SparseRow {
  const isLifted = zone?.of === "frets" && zoneHeight !== undefined && station >= zone.from && station <= zone.to;
  return isLifted ? { index: [zoneHeight], coefficient: [1] } : { index: [], coefficient: [] };
}

/** How the bare wood deviates from the smooth line. */
export function woodDeviationRow(layout: Layout, lineName: string, station: number): SparseRow {
  return combined([[1, woodRow(layout, lineName, station)], [-1, smoothRow(layout, lineName, layout.stations[station]?.xMm ?? NaN)]]);
}

/** Sum of rows with factors, ascending; equal indices are merged and exact zeros left out. */
export function combined(parts: readonly (readonly [factor: number, row: SparseRow])[]): SparseRow {
  const sum: MutableRow = { index: [], coefficient: [] };
  for (const [factor, row] of parts) {
    for (let k = 0; k < row.index.length; k++) addTerm(sum, row.index[k] ?? 0, factor * (row.coefficient[k] ?? 0));
  }
  return sum.coefficient.includes(0) ? withoutZeros(sum) : sum;
}

/** Rows are short and come nearly in order, so that the place is soon found from the end. */
function addTerm({ index, coefficient }: MutableRow, at: number, value: number): void {
  let after = index.length;
  while (after > 0 && (index[after - 1] ?? 0) > at) after--;
  if (after > 0 && index[after - 1] === at) coefficient[after - 1] = (coefficient[after - 1] ?? 0) + value;
  else if (after === index.length) {
    index.push(at);
    coefficient.push(value);
  } else {
    index.splice(after, 0, at);
    coefficient.splice(after, 0, value);
  }
}

function withoutZeros({ index, coefficient }: SparseRow): SparseRow {
  return { index: index.filter((_, k) => coefficient[k] !== 0), coefficient: coefficient.filter((value) => value !== 0) };
}

/** A raised board: full height over the zone, falling to nothing at the frets before and after it, or where nothing is known beyond. */
export function raisedShare({ stations }: Pick<Layout, "stations">, { from, to }: Zone, xMm: number): number {
  const isFret = ({ fret }: Station): boolean => fret !== undefined;
  const [start, up, down, end] = [stations.slice(0, from).filter(isFret).at(-1)?.xMm, stations[from]?.xMm ?? 0, stations[to]?.xMm ?? 0, stations.slice(to + 1).find(isFret)?.xMm];
  const rising = start === undefined ? 1 : (xMm - start) / (up - start);
  const falling = end === undefined ? 1 : (end - xMm) / (end - down);
  return Math.max(0, Math.min(1, rising, falling));
}

type MutableRow = { readonly index: number[]; readonly coefficient: number[] };

function addState(row: MutableRow, state: ReturnType<Layout["smooth"]>, height: number, slope: number): void {
  if (state === undefined) return;
  // at a station itself the others' shares are nothing
  if (height !== 0) {
    row.index.push(state.height);
    row.coefficient.push(height);
  }
  if (slope !== 0) {
    row.index.push(state.slope);
    row.coefficient.push(slope);
  }
}

function toolKey(tool: Tool): string {
  return `${tool.kind}|${tool.name}|${tool.lengthMm}|${tool.straightnessToleranceMm}|${tool.bow?.mm ?? ""}|${tool.bow?.uMm ?? ""}`;
}
