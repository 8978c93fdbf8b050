import type { Neck } from "../neck/neck.js";
import type { Place, Surface } from "../readings/reading.js";
import { determinedPlaces } from "./determined.js";
import type { DeterminedPlaces } from "./determined.js";
import type { Explanation } from "./explanation.js";
import { momentsOfForms } from "./functional.js";
import type { Form } from "./functional.js";
import type { SparseRow } from "./linear/arrow.js";
import { surfaceRow } from "./model/forms.js";
import { combined, smoothRow } from "./model/layout.js";
import type { Layout } from "./model/layout.js";
import { fretPlace, stationAt } from "./model/stations.js";
import type { Usable } from "./model/stations.js";
import type { Face, Height, LineProfile } from "./survey.js";

/** The determined places of one line on one surface, in one of the surveys adjusted together. */
export type Group = DeterminedPlaces & { readonly survey: number };

/** A line's heights are those of its fret tops; of the bare wood only where no fret tops determine the line. */
export function groupOfLine(neck: Neck, usable: Usable, line: string, survey: number): Group {
  const tops = groupOn(neck, usable, line, "fretTops", survey);
  const wood = groupOn(neck, usable, line, "wood", survey);
  return tops.stations.length > 2 || wood.stations.length <= 2 ? tops : wood;
}

/** Surfaces of a survey that are not the one its heights are of. Wood that is too little read for a line of its own is read for the fret tops' sake. */
export function otherGroups(neck: Neck, usable: Usable, shown: readonly Group[], survey: number): readonly Group[] {
  return (["wood", "underside", "glueFace"] as const).flatMap((surface) => {
    const read = usable.settings.filter((setting) => setting.surface === surface && (setting.survey ?? 0) === survey);
    if (read.length === 0) return [];
    const isShown = (line: string): boolean => shown.some((group) => group.line === line && group.surface === surface);
    return neck.lines.filter(({ name }) => !isShown(name)).map(({ name }) => groupOn(neck, usable, name, surface, survey))
      .filter((group) => group.stations.length > 0 || (surface !== "wood" && group.loose.length > 0));
  });
}

function groupOn(neck: Neck, usable: Usable, line: string, surface: Surface, survey: number): Group {
  return { ...determinedPlaces(neck, usable, line, surface, survey), survey };
}

/** Another surface over its own chord. */
export function faceOf(neck: Neck, usable: Usable, explanations: readonly Explanation[], group: Group): Face {
  return { surface: group.surface, line: group.line, ...chordOf(neck, usable, group), heights: heightsOf(neck, usable, explanations, group) };
}

/** Heights of a group over its chord; `usable` names the readings behind them, those set aside too. */
export function heightsOf(neck: Neck, usable: Usable, explanations: readonly Explanation[], group: Group): readonly Height[] {
  const places = group.stations.map((station) => placeOf(neck, usable, group, station));
  const heights = momentsOfForms(explanations, group.stations.map((station): Form => (layout) => overChord(layout, group, rowOf(layout, group, station), layout.stations[station]?.xMm ?? NaN)));
  return group.stations.flatMap((station, index): Height[] => {
    const [place, height] = [places[index], heights[index]];
    if (place === undefined || height === undefined) return [];
    return [{ surface: group.surface, line: group.line, at: place.label, place, heightMm: height.value, uMm: height.u, readings: readingsAt(neck, usable, group, station) }];
  });
}

/** The smooth line of a group at its places and midway between them. */
export function profileOf(usable: Usable, explanations: readonly Explanation[], group: Group): LineProfile {
  const stations = usable.stations.slice(group.stations[0] ?? 0, (group.stations.at(-1) ?? 0) + 1);
  const xMm = stations.flatMap(({ xMm: x }, index) => (index === 0 ? [x] : [(x + (stations[index - 1]?.xMm ?? x)) / 2, x]));
  const heights = momentsOfForms(explanations, xMm.map((x): Form => (layout) => overChord(layout, group, smoothRow(layout, group.line, x, group.survey), x)));
  return { line: group.line, xMm, heightMm: heights.map((height) => height.value), uMm: heights.map((height) => height.u) };
}

function rowOf(layout: Layout, { surface, line, survey }: Group, station: number): SparseRow {
  return surfaceRow(layout, surface, line, station, survey);
}

/** A form taken against the chord of the first and last determined place of its line. */
function overChord(layout: Layout, group: Group, form: SparseRow, xMm: number): SparseRow {
  const [first, last] = [group.stations[0] ?? 0, group.stations.at(-1) ?? 0];
  const [from, to] = [layout.stations[first]?.xMm ?? 0, layout.stations[last]?.xMm ?? 1];
  const t = (xMm - from) / (to - from);
  return combined([[1, form], [t - 1, rowOf(layout, group, first)], [-t, rowOf(layout, group, last)]]);
}

/** The places between which a group's chord runs. */
export function chordOf(neck: Neck, usable: Usable, group: Group): { readonly from: Place; readonly to: Place } {
  return { from: placeOf(neck, usable, group, group.stations[0] ?? 0), to: placeOf(neck, usable, group, group.stations.at(-1) ?? 0) };
}

/** A station as a place of the group's surface. */
export function placeOf(neck: Neck, usable: Usable, { surface }: Pick<Group, "surface">, station: number): Place {
  const { fret, xMm } = usable.stations[station] ?? { xMm: NaN };
  if (fret !== undefined && surface === "fretTops") return fretPlace(neck, fret);
  const read = usable.settings.filter((setting) => setting.surface === surface).flatMap((setting) => setting.readings).find((reading) => stationAt(usable.stations, reading.place) === station);
  return read?.place ?? { label: `@${xMm.toFixed(1)}mm`, xMm };
}

function readingsAt(neck: Neck, usable: Usable, { surface, line, survey }: Group, station: number): Height["readings"] {
  const gaps = usable.settings.filter((setting) => setting.surface === surface && (setting.survey ?? 0) === survey)
    .flatMap((setting) => setting.readings).filter((reading) => reading.line === line && stationAt(usable.stations, reading.place) === station);
  const rockers = usable.rockers.filter((rocker) => surface === "fretTops" && (rocker.survey ?? 0) === survey && rocker.line === line && rocker.frets.some((fret) => stationAt(usable.stations, fretPlace(neck, fret)) === station));
  return [...gaps, ...rockers];
}
