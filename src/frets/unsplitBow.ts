import { placeWords } from "../readings/entries.js";
import { allTops, topOverChord } from "../shape/span.js";
import type { TopPlace } from "../shape/span.js";
import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { bowWords, measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { joined } from "./lists.js";

/** A fret that stands up between the only two others that were read of its line: a back bow and a high fret read alike. */
export type UnsplitBow = {
  readonly fret: number;
  readonly lines: readonly string[];
  /** Height of its crown over the straight line through the other two, where that is most, mm. */
  readonly up: Measured;
  /** Those other two frets. */
  readonly over: readonly [number, number];
  readonly describe: (order?: UnitOrder) => string;
};

/** With this many places a line has one height over a chord, and nothing to tell a bend from a fret. */
const THREE = 3;

/** A fret that stands up by more than this is seen without an edge: what reads so is a bow (common practice, no source). */
const SEEN_BY_EYE_MM = 0.5;

/** Lines of whose fret tops no more than three places were read, none of them with the rocker, and no bare wood. */
export function linesOfThree({ neck, sheet }: Pick<Survey, "neck" | "sheet">): readonly string[] {
  return neck.lines.map(({ name }) => name).filter((line) => {
    const isOther = sheet.rockers.some((rocker) => rocker.line === line) || sheet.settings.some(({ surface, readings }) => surface === "wood" && readings.some((reading) => reading.line === line));
    const places = placesRead(sheet, line).length;
    return !isOther && places > 0 && places <= THREE;
  });
}

/** Frets between two others that stand up where only three places were read, each with the lines on which it does. */
export function unsplitBows(survey: Survey): readonly UnsplitBow[] {
  const tops = allTops(survey.neck);
  const found = linesOfThree(survey).flatMap((line) => {
    const [near, middle, far] = placesRead(survey.sheet, line).flatMap((fret): readonly TopPlace[] => tops.filter((top) => top.fret === fret));
    if (near === undefined || middle === undefined || far === undefined || !survey.datum.some((datum) => datum.line === line)) return [];
    const up = survey.linear(topOverChord(line, near, far, middle));
    return up.low95 > 0 && up.low95 < SEEN_BY_EYE_MM ? [{ line, fret: middle.fret, up, over: [near.fret, far.fret] as const }] : [];
  });
  return [...new Set(found.map(({ fret }) => fret))].map((fret): UnsplitBow => {
    const here = found.filter((one) => one.fret === fret).sort((a, b) => b.up.value - a.up.value);
    const [most] = here;
    const bow = { fret, over: most?.over ?? [fret, fret], lines: survey.neck.lines.map(({ name }) => name).filter((line) => here.some((one) => one.line === line)), up: most?.up ?? { value: 0, u: 0, unit: "mm", low95: 0, high95: 0 } };
    return { ...bow, describe: (order: UnitOrder = "mm first") => words(bow, order) };
  });
}

function placesRead(sheet: Survey["sheet"], line: string): readonly number[] {
  const readings = sheet.settings.filter(({ surface, path }) => surface === "fretTops" && path.kind === "along" && path.line === line).flatMap((setting) => setting.readings);
  return [...new Set(readings.flatMap(({ place }) => (place.fret === undefined ? [] : [place.fret])))].sort((a, b) => a - b);
}

function words({ fret, lines, up, over }: Omit<UnsplitBow, "describe">, order: UnitOrder): string {
  const where = `${joined(lines)} line${lines.length === 1 ? "" : "s"}`;
  return `Three places cannot split a bow from a high fret (${where}): either the neck is in ${bowWords(-up.value)} by up to ${measuredWords(up, order)} over frets ${over[0]} to ${over[1]}, or it is straight and ${placeWords(String(fret))} stands up by as much, or some of each. Rock fret ${fret} first: if it is still, it is the bow.`;
}
