import { fretDistanceMm } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { acrossMm } from "../neck/surface.js";
import type { GapReading } from "../readings/reading.js";
import { isBounded } from "./determined.js";
import { isEstimable, rowSpace } from "./linear/rowSpace.js";
import type { RowSpace } from "./linear/rowSpace.js";
import { endSign } from "./model/forms.js";
import { blendOf, bridgedShare, isFace, mannerOf, positionMm } from "./model/paths.js";
import { stationAt } from "./model/stations.js";
import type { PlacedSetting, Usable } from "./model/stations.js";
import type { HeightTerm } from "./survey.js";

/** The reading that ties the lines together. */
export const TWIST_NEED = "lay two sighting bars across, at fret 1 and at the last fret, or read gaps under the edge along both diagonals";

const RANK_TOLERANCE = 1e-9;
/** Sums of weights below this are zero: what a builder's numbers leave of rounding. */
const NO_WEIGHT = 1e-9;
const SCALE_MM = 100;

/**
 * Whether readings fix a combination of heights as far as the datum goes: level and tilt of every line are free unless settings reach
 * from line to line. A combination whose weights, and weights times x, sum to zero on every line asks nothing of them; any other is
 * judged with level and tilt of all lines, the lines' common shape and all offsets and tilts of settings wholly unknown, rank by tolerance.
 */
export function datumFixed(neck: Neck, usable: Usable, terms: readonly HeightTerm[]): boolean {
  const open = openSums(neck, terms);
  if (open.length === 0) return true;
  const surveys = [...new Set(open.map(({ survey }) => survey))];
  return open.every(({ of }) => of === "neckLine") && surveys.every((survey) => crossingFixes(neck, usable, survey, open.filter((sum) => sum.survey === survey)));
}

/**
 * Whether readings across could fix what is open in a combination: they tie lines to each other, so that level and tilt that it asks of all lines together stay the datum's,
 * and those of underside and glue face, which nothing ties.
 */
export function isBetweenLines(neck: Neck, terms: readonly HeightTerm[]): boolean {
  const open = openSums(neck, terms);
  const largest = Math.max(...terms.map(({ weight }) => Math.abs(weight)), 0);
  return open.every(({ of }) => of === "neckLine") && [...new Set(open.map(({ survey }) => survey))].every((survey) => {
    const own = open.filter((sum) => sum.survey === survey);
    return isNothing(own.reduce((sum, { level }) => sum + level, 0), own.reduce((sum, { tilt }) => sum + tilt, 0), largest);
  });
}

function isNothing(level: number, tilt: number, largest: number): boolean {
  return Math.abs(level) <= NO_WEIGHT * largest && Math.abs(tilt) <= 1e2 * NO_WEIGHT * largest;
}

type OpenSum = { readonly of: "neckLine" | "underside" | "glueFace"; readonly survey: number; readonly line: string; readonly level: number; readonly tilt: number };

/** Lines on which the weights ask for level or tilt. */
function openSums(neck: Neck, terms: readonly HeightTerm[]): readonly OpenSum[] {
  const sums = new Map<string, OpenSum>();
  for (const term of terms) {
    const of = term.of === "fretTop" ? "neckLine" : term.of;
    const xMm = term.of === "fretTop" ? fretDistanceMm(neck.scaleLengthMm, term.fret) : term.xMm;
    const survey = term.survey ?? 0;
    const key = `${survey} ${of} ${term.line}`;
    const { level, tilt } = sums.get(key) ?? { level: 0, tilt: 0 };
    sums.set(key, { of, survey, line: term.line, level: level + term.weight, tilt: tilt + (term.weight * xMm) / SCALE_MM });
  }
  const largest = Math.max(...terms.map(({ weight }) => Math.abs(weight)), 0);
  return [...sums.values()].filter(({ level, tilt }) => !isNothing(level, tilt, largest));
}

type Entry = readonly [column: number, value: number];

function crossingFixes(neck: Neck, usable: Usable, survey: number, open: readonly OpenSum[]): boolean {
  const { space, lines, columns } = crossingSpaceOf(neck, usable, survey);
  if (space === undefined || open.some(({ line }) => !lines.includes(line))) return false;
  return isEstimable(space, dense(open.flatMap(({ line, level, tilt }): readonly Entry[] => [[2 * lines.indexOf(line), level], [2 * lines.indexOf(line) + 1, tilt]]), columns));
}

type CrossingSpace = { readonly space: RowSpace | undefined; readonly lines: readonly string[]; readonly columns: number };

/** Asked of every combination of heights; it depends on the readings alone. */
const spaces = new WeakMap<Usable, Map<number, CrossingSpace>>();

function crossingSpaceOf(neck: Neck, usable: Usable, survey: number): CrossingSpace {
  const bySurvey = spaces.get(usable) ?? new Map<number, CrossingSpace>();
  spaces.set(usable, bySurvey);
  const space = bySurvey.get(survey) ?? crossingSpace(neck, usable, survey);
  bySurvey.set(survey, space);
  return space;
}

/** What the readings of a survey say of level and tilt of its lines: columns are these, the common shape, the crown across, then offsets and tilts. */
function crossingSpace(neck: Neck, usable: Usable, survey: number): CrossingSpace {
  const lines = usable.lines.map((line) => line.name);
  const settings = usable.settings.filter((setting) => (setting.survey ?? 0) === survey && !isFace(setting.surface) && ["edge", "sighting"].includes(mannerOf(setting)));
  const commonBase = 2 * lines.length;
  const crossBow = commonBase + usable.stations.length;
  const columns = crossBow + 1 + 2 * settings.length;
  if (usable.crosses !== true) return { space: undefined, lines, columns };
  const rows = settings.flatMap((setting, index) => setting.readings.filter(isBounded).map((reading): readonly Entry[] => {
    const free = crossBow + 1 + 2 * index;
    if (mannerOf(setting) === "sighting") return sightingEntries(neck, lines, setting, reading, free);
    const common: Entry = [commonBase + stationAt(usable.stations, reading.place), -1];
    const t = (positionMm(neck, setting.path, reading) - setting.middleMm) / SCALE_MM;
    return [...lineEntries(lines, blendOf(neck, setting, reading), reading.place.xMm, -1), common, [crossBow, usable.bridges === true ? -bridgedShare(neck, setting, reading) : 0], [free, 1], [free + 1, t]];
  }));
  return { space: rows.length === 0 ? undefined : rowSpace(rows.map((row) => dense(row, columns)), RANK_TOLERANCE), lines, columns };
}

function lineEntries(lines: readonly string[], blend: readonly { readonly line: string; readonly share: number }[], xMm: number, factor: number): readonly Entry[] {
  return blend.flatMap(({ line, share }): readonly Entry[] => [[2 * lines.indexOf(line), factor * share], [2 * lines.indexOf(line) + 1, (factor * share * xMm) / SCALE_MM]]);
}

function sightingEntries(neck: Neck, lines: readonly string[], { path }: PlacedSetting, reading: GapReading, free: number): readonly Entry[] {
  const [first, last] = [neck.lines[0], neck.lines.at(-1) ?? neck.lines[0]];
  const roll = (xMm: number, factor: number): readonly Entry[] => {
    const share = (factor * SCALE_MM) / (acrossMm(neck, last, xMm) - acrossMm(neck, first, xMm));
    return lineEntries(lines, [{ line: last.name, share }, { line: first.name, share: -share }], xMm, 1);
  };
  if (path.kind === "diagonal") return [...roll(path.to.at.xMm, endSign(neck, path.to.line)), ...roll(path.from.at.xMm, -endSign(neck, path.to.line))];
  return [...roll(reading.place.xMm, endSign(neck, reading.line)), [free, 1]];
}

function dense(row: readonly Entry[], columns: number): number[] {
  const values = Array.from({ length: columns }, () => 0);
  for (const [at, value] of row) values[at] = (values[at] ?? 0) + value;
  return values;
}
