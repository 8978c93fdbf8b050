import type { Neck } from "../neck/neck.js";
import type { Place, SurveySheet } from "../readings/reading.js";
import { soundSurvey, uncontrolledReadings } from "./blunders.js";
import { determinedPlaces, isBounded } from "./determined.js";
import type { DeterminedPlaces } from "./determined.js";
import { jointDraws } from "./draws.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import type { Explanation } from "./explanation.js";
import { measuredForm, measuredForms } from "./functional.js";
import type { Form } from "./functional.js";
import type { SparseRow } from "./linear/arrow.js";
import { combined, fretTopRow, smoothRow, woodRow } from "./model/layout.js";
import type { Layout } from "./model/layout.js";
import { CENTRE, LOG_SD } from "./model/scatters.js";
import { fretPlace, stationAt, usableReadings } from "./model/stations.js";
import type { Usable } from "./model/stations.js";
import { bestNextReading } from "./nextReading.js";
import type { Height, HeightTerm, LineProfile, SpreadUsed, Survey, SurveyZone, Undetermined } from "./survey.js";

/** A spread counts as estimated when the readings leave no more than this share of the prior's own spread. */
const NARROWED = 0.6;
/** Zones less probable than this are not told. */
const LEAST_ZONE = 0.2;

/**
 * Adjusts a sheet of readings: heights of all read places with their uncertainties, the smooth neck line, and what cannot be known.
 * gap = a + b t + edge - height, with offset a and tilt b free for every setting; readings enter as intervals.
 * The sheet must belong to the neck (the readers of readings check this).
 * @returns heights and lines in mm over the chord from the first to the last determined place of each line, positive away from the back
 * @throws {RangeError} a sheet that names another neck
 */
export function adjust(neck: Neck, sheet: SurveySheet): Survey {
  if (sheet.neck !== neck.name) {
    throw new RangeError(`Cannot adjust the readings of neck "${sheet.neck}" on neck "${neck.name}": expected readings of the same neck (check the neck column)`);
  }
  const all = usableReadings(neck, sheet);
  const common = { neck, sheet, assumed: [...new Set([...neck.assumed, ...sheet.assumed])], notes: [...sheet.notes, ...all.leftAside] };
  if (all.stations.length < 3) return unadjusted(common);
  const { usable, explanations, blunders } = soundSurvey(neck, sheet, all);
  const [likeliest] = explanations;
  const groups = usable.lines.map((line) => groupOfLine(neck, usable, line.name));
  const determined = groups.filter((group) => group.stations.length > 2);
  const formOf = (terms: readonly HeightTerm[]): Form => (layout) => termsRow(layout, terms);
  return {
    ...common,
    datum: determined.map((group) => ({ line: group.line, ...chordOf(usable, neck, group) })),
    heights: determined.flatMap((group) => heightsOf(neck, all, explanations, group)),
    lines: determined.map((group) => profileOf(usable, explanations, group)),
    zones: zonesOf(usable, explanations),
    undetermined: groups.flatMap((group) => undeterminedOf(neck, usable, group)),
    blunders,
    uncontrolled: uncontrolledReadings(likeliest),
    spreads: {
      roughness: spreadUsed(likeliest.grid, (point) => point.scatters.roughnessMm, CENTRE.roughnessMm),
      seating: spreadUsed(likeliest.grid, (point) => point.scatters.seatingMm, CENTRE.seatingMm),
    },
    linear: (terms) => measuredForm(explanations, formOf(terms)),
    draws: (combinations, count, seed) => jointDraws(explanations, combinations.map(formOf), count, seed),
    nextReading: (terms) => bestNextReading(neck, usable, likeliest, formOf(terms), sheet.feelMm),
  };
}

/** A sheet that reaches fewer than three places has no shape in it. */
function unadjusted(common: Pick<Survey, "neck" | "sheet" | "assumed" | "notes">): Survey {
  const refuse = (): never => {
    throw new RangeError("Cannot give heights: these readings determine none (see what is undetermined)");
  };
  const prior = (valueMm: number): SpreadUsed => ({ valueMm, basis: "prior-dominated" });
  return {
    ...common, datum: [], heights: [], lines: [], zones: [], blunders: [], uncontrolled: [],
    undetermined: common.neck.lines.map((line) => ({ line: line.name, what: "the shape of this line", need: firstReadings(common.neck, line.name) })),
    spreads: { roughness: prior(CENTRE.roughnessMm), seating: prior(CENTRE.seatingMm) },
    linear: refuse, draws: refuse, nextReading: refuse,
  };
}

function termsRow(layout: Layout, terms: readonly HeightTerm[]): SparseRow {
  return combined(terms.map((term) => {
    if (term.of === "neckLine") return [term.weight, smoothRow(layout, term.line, term.xMm)] as const;
    const station = layout.stations.findIndex((candidate) => candidate.fret === term.fret);
    if (station < 0) throw new RangeError(`Cannot give the height of fret ${term.fret}: expected a fret between the first and the last reading`);
    return [term.weight, fretTopRow(layout, term.line, station)] as const;
  }));
}

function surfaceRow(layout: Layout, line: string, station: number): SparseRow {
  return layout.stations[station]?.fret === undefined ? woodRow(layout, line, station) : fretTopRow(layout, line, station);
}

/** A form taken against the chord of the first and last determined place of its line. */
function overChord(layout: Layout, group: DeterminedPlaces, form: SparseRow, xMm: number): SparseRow {
  const [first, last] = [group.stations[0] ?? 0, group.stations.at(-1) ?? 0];
  const [from, to] = [layout.stations[first]?.xMm ?? 0, layout.stations[last]?.xMm ?? 1];
  const t = (xMm - from) / (to - from);
  return combined([[1, form], [t - 1, surfaceRow(layout, group.line, first)], [-t, surfaceRow(layout, group.line, last)]]);
}

function heightsOf(neck: Neck, usable: Usable, explanations: readonly Explanation[], group: DeterminedPlaces): readonly Height[] {
  const places = group.stations.map((station) => placeOf(neck, usable, station));
  const heights = measuredForms(explanations, group.stations.map((station, index): Form => (layout) => overChord(layout, group, surfaceRow(layout, group.line, station), places[index]?.xMm ?? NaN)));
  return group.stations.flatMap((station, index): Height[] => {
    const [place, height] = [places[index], heights[index]];
    if (place === undefined || height === undefined) return [];
    return [{
      surface: place.fret === undefined ? "wood" : "fretTops", line: group.line, at: place.label, place,
      heightMm: height.value, uMm: height.u, readings: readingsAt(neck, usable, group.line, station),
    }];
  });
}

function profileOf(usable: Usable, explanations: readonly Explanation[], group: DeterminedPlaces): LineProfile {
  const stations = usable.stations.slice(group.stations[0] ?? 0, (group.stations.at(-1) ?? 0) + 1);
  const xMm = stations.flatMap(({ xMm: x }, index) => (index === 0 ? [x] : [(x + (stations[index - 1]?.xMm ?? x)) / 2, x]));
  const heights = measuredForms(explanations, xMm.map((x): Form => (layout) => overChord(layout, group, smoothRow(layout, group.line, x), x)));
  return { line: group.line, xMm, heightMm: heights.map((height) => height.value), uMm: heights.map((height) => height.u) };
}

/** A line's heights are those of its fret tops; of the bare wood only where no fret tops determine the line. */
function groupOfLine(neck: Neck, usable: Usable, line: string): DeterminedPlaces {
  const tops = determinedPlaces(neck, usable, line, "fretTops");
  const wood = determinedPlaces(neck, usable, line, "wood");
  return tops.stations.length > 2 || wood.stations.length <= 2 ? tops : wood;
}

/** Zones that the explanations suppose, each with its height and how probable each reason is. */
function zonesOf(usable: Usable, explanations: readonly Explanation[]): readonly SurveyZone[] {
  const supposed = explanations.filter(({ layout }) => layout.zone !== undefined);
  const keyOf = ({ layout }: Explanation): string => `${layout.zone?.from ?? ""}-${layout.zone?.to ?? ""}`;
  return [...new Set(supposed.map(keyOf))].flatMap((key): SurveyZone[] => {
    const same = supposed.filter((explanation) => keyOf(explanation) === key);
    const { zone } = same[0]?.layout ?? {};
    const probability = same.reduce((sum, explanation) => sum + explanation.probability, 0);
    const [fromFret, toFret] = [usable.stations[zone?.from ?? -1]?.fret, usable.stations[zone?.to ?? -1]?.fret];
    if (fromFret === undefined || toFret === undefined || probability < LEAST_ZONE) return [];
    const up = measuredForm(same.map((explanation) => ({ ...explanation, probability: explanation.probability / probability })), ({ zoneHeight }) => ({ index: zoneHeight === undefined ? [] : [zoneHeight], coefficient: zoneHeight === undefined ? [] : [1] }));
    const ofBoard = same.filter(({ layout }) => layout.zone?.of === "board").reduce((sum, explanation) => sum + explanation.probability, 0);
    return [{ fromFret, toFret, up, probability, probabilityBoard: ofBoard, probabilityFrets: probability - ofBoard }];
  });
}

function chordOf(usable: Usable, neck: Neck, group: DeterminedPlaces): { readonly from: Place; readonly to: Place } {
  return { from: placeOf(neck, usable, group.stations[0] ?? 0), to: placeOf(neck, usable, group.stations.at(-1) ?? 0) };
}

function placeOf(neck: Neck, usable: Usable, station: number): Place {
  const { fret, xMm } = usable.stations[station] ?? { xMm: NaN };
  if (fret !== undefined) return fretPlace(neck, fret);
  const read = usable.settings.flatMap((setting) => setting.readings).find((reading) => stationAt(usable.stations, reading.place) === station);
  return read?.place ?? { label: `@${xMm.toFixed(1)}mm`, xMm };
}

function readingsAt(neck: Neck, usable: Usable, line: string, station: number): Height["readings"] {
  const gaps = usable.settings.flatMap((setting) => setting.readings).filter((reading) => reading.line === line && stationAt(usable.stations, reading.place) === station);
  const rockers = usable.rockers.filter((rocker) => rocker.line === line && rocker.frets.some((fret) => stationAt(usable.stations, fretPlace(neck, fret)) === station));
  return [...gaps, ...rockers];
}

function undeterminedOf(neck: Neck, usable: Usable, group: DeterminedPlaces): readonly Undetermined[] {
  if (group.stations.length <= 2) return [{ line: group.line, what: "the shape of this line", need: firstReadings(neck, group.line) }];
  const readings = usable.settings.flatMap((setting) => setting.readings).filter((reading) => reading.line === group.line);
  // a fret over which only a rocker stood was not asked for its height
  return group.loose.flatMap((station): readonly Undetermined[] => {
    const here = readings.filter((reading) => stationAt(usable.stations, reading.place) === station);
    if (here.length === 0) return [];
    const at = placeOf(neck, usable, station).label;
    const need = here.some((reading) => !isBounded(reading))
      ? `at ${at}, ${group.line}: stack leaves until one does not go, so that the gap has an upper bound`
      : `at ${at}, ${group.line}: read it again under an edge that also reads two places already known on this line`;
    return [{ line: group.line, at, what: `the height at ${at}`, need }];
  });
}

function firstReadings(neck: Neck, line: string): string {
  const first = neck.zeroFret ? 0 : 1;
  const joint = neck.bodyJoint ?? Math.min(neck.frets, 14);
  const rocking = `if it rocks on a high middle, press it down on fret ${first}, write "touch" there and where it bears in the middle, and read the gap at fret ${joint}`;
  return `lay the edge along the ${line} line on frets ${first} and ${joint}, write "touch" at both, and read one gap about midway, near fret ${Math.round((first + joint) / 2)}; ${rocking}`;
}

/** The posterior mean of a spread's logarithm; "estimated" when the readings narrowed the prior enough. */
function spreadUsed(grid: readonly GridPoint[], valueOf: (point: GridPoint) => number, centre: number): SpreadUsed {
  const logs = grid.map((point) => ({ weight: point.weight, log: Math.log(valueOf(point) / centre) }));
  const mean = logs.reduce((sum, { weight, log }) => sum + weight * log, 0);
  const sd = Math.sqrt(logs.reduce((sum, { weight, log }) => sum + weight * (log - mean) ** 2, 0));
  return { valueMm: centre * Math.exp(mean), basis: sd < NARROWED * LOG_SD ? "estimated" : "prior-dominated" };
}
