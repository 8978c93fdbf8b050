import { fretDistanceMm } from "../../src/neck/frets.js";
import type { Neck } from "../../src/neck/neck.js";
import type { EdgeSetting, GapReading, Place, RockerReading, SurveySheet } from "../../src/readings/reading.js";
import type { Height, HeightTerm, LineProfile, Survey } from "../../src/survey/survey.js";
import type { DrawnRelief } from "../../src/figures/drawing.js";
import { normalMm, type Measured } from "../../src/units/measured.js";

/** An invented neck: 25 in scale, 22 frets, 12 in radius. Its numbers are made up, not adjusted from readings. */
export const neck: Neck = {
  name: "Ash and rosewood, no. 3", scaleLengthMm: 635, frets: 22, zeroFret: false, bodyJoint: 16,
  fingerboardRadiusMm: { nut: 304.8, lastFret: 304.8 }, widthMm: { nut: 43, lastFret: 56 },
  lines: [{ name: "bass", share: 0.1 }, { name: "centre", share: 0.5 }, { name: "treble", share: 0.9 }],
  assumed: ["Width of the board: 43 mm at the nut, 56 mm at the last fret (common practice, no source)"],
};

export const edge = { name: "450 mm edge", kind: "straightedge", lengthMm: 450, straightnessToleranceMm: 0.01 } as const;

export function fretPlace(fret: number): Place {
  return { label: String(fret), fret, xMm: fretDistanceMm(neck.scaleLengthMm, fret) };
}

export function gapReading(line: string, fret: number, written: string, row: number): GapReading {
  return {
    line, place: fretPlace(fret), written, origin: { source: "readings.csv", row, column: "gap" },
    gap: written === "touch" ? { kind: "exact", gapMm: 0, uMm: 0.003 } : { kind: "interval", lowMm: 0.1, highMm: 0.13, endsUMm: 0.002 },
  };
}

const READ_FRETS = [1, 3, 5, 7, 9, 12, 14, 16];
const DEPTH_MM: Readonly<Record<string, number>> = { bass: 0.21, centre: 0.17, treble: 0.12 };
const WOBBLE_MM = [0, 0.008, -0.011, 0.004, 0.013, -0.009, 0.006, 0];

function curveMm(line: string, xMm: number): number {
  const from = fretPlace(1).xMm;
  const to = fretPlace(16).xMm;
  return -4 * (DEPTH_MM[line] ?? 0) * ((xMm - from) / (to - from)) * (1 - (xMm - from) / (to - from));
}

function heightsOf(line: string): readonly Height[] {
  return READ_FRETS.map((fret, index) => {
    const reading = gapReading(line, fret, index === 0 || index === 7 ? "touch" : `${3 + (index % 4)} thou`, 4 + index);
    const rocker: RockerReading = {
      line, frets: [6, 7, 8], deltaMm: { low: -0.01, high: 0.01 }, endsUMm: 0.002, written: "still",
      tool: { name: "rocker", kind: "rocker", lengthMm: 90, straightnessToleranceMm: 0.005 }, origin: { source: "readings.csv", row: 31, column: "gap" },
    };
    const isEnd = index === 0 || index === 7;
    return {
      surface: "fretTops", line, at: String(fret), place: fretPlace(fret), heightMm: isEnd ? 0 : curveMm(line, fretPlace(fret).xMm) + (WOBBLE_MM[index] ?? 0),
      uMm: isEnd ? 0 : 0.008, readings: fret === 7 ? [reading, rocker] : [reading],
    };
  });
}

function profileOf(line: string): LineProfile {
  const xMm = Array.from({ length: 16 }, (_, index) => fretPlace(index + 1).xMm);
  const reach = fretPlace(16).xMm - fretPlace(1).xMm;
  return {
    line, xMm, heightMm: xMm.map((x) => curveMm(line, x)),
    uMm: xMm.map((x) => 0.014 * Math.sqrt(Math.max(0, ((x - fretPlace(1).xMm) * (fretPlace(16).xMm - x)) / (reach * reach))) * 2),
  };
}

function settingOf(line: string): EdgeSetting {
  return { label: `first setting of the edge, ${line}`, tool: edge, surface: "fretTops", path: { kind: "along", line }, readings: heightsOf(line).flatMap((height) => height.readings).filter((reading) => "place" in reading) };
}

export const sheet: SurveySheet = {
  neck: neck.name, stage: "fretted, rod neutral", date: "2026-03-14", state: { rod: "neutral" }, settings: ["bass", "centre", "treble"].map(settingOf),
  rockers: [], seating: [], feelMm: 0.005, assumed: ["Feel of the hand: 0.005 mm (common practice, no source)"], notes: [],
};

export const survey: Survey = surveyOf(["bass", "centre", "treble"]);

function notAdjusted(): never {
  throw new Error("this survey is made by hand");
}

/** How far the crown stands off the made curve there; 0.006 mm is made up too. */
function linear(terms: readonly HeightTerm[]): Measured {
  const heightMm = (term: HeightTerm): number => {
    if (term.of !== "fretTop") return curveMm(term.line, term.xMm);
    return heightsOf(term.line).find((height) => height.place.fret === term.fret)?.heightMm ?? Number.NaN;
  };
  return normalMm(terms.reduce((sum, term) => sum + term.weight * heightMm(term), 0), 0.006);
}

export function surveyOf(lines: readonly string[]): Survey {
  return {
    neck, sheet, datum: lines.map((line) => ({ line, from: fretPlace(1), to: fretPlace(16) })), heights: lines.flatMap(heightsOf), lines: lines.map(profileOf),
    undetermined: neck.lines.filter((line) => !lines.includes(line.name)).map((line) => ({ line: line.name, what: "the neck line", need: `one gap near the middle along ${line.name}` })),
    zones: [], blunders: [], uncontrolled: [], notes: [], assumed: sheet.assumed,
    spreads: { roughness: { valueMm: 0.01, basis: "prior-dominated" }, seating: { valueMm: 0.008, basis: "prior-dominated" } },
    faces: [], crowns: [], twist: { status: "undetermined", need: "lay two sighting bars across" }, determines: () => true,
    linear, linearAll: (combinations) => combinations.map((terms) => linear(terms)), draws: notAdjusted, nextReading: notAdjusted,
  };
}

export const reliefs: readonly DrawnRelief[] = ["bass", "centre", "treble"].map((line) => ({
  status: "determined", line, relief: normalMm(DEPTH_MM[line] ?? 0, 0.012), at: fretPlace(7), from: fretPlace(1), to: fretPlace(16),
}));
