import type { LeafSet } from "./leafSet.js";

/** Where along the neck: a fret top, a place on the wood midway between two frets (`3.5`), or a distance from the nut (`@123.4mm`). */
export type Place = {
  /** As the user names it: `7`, `3.5`, `@123.4mm`. */
  readonly label: string;
  readonly xMm: number;
  /** The fret whose top this is; absent for wood. */
  readonly fret?: number;
};

/** Where something was written, for messages and hover texts. */
export type Origin = { readonly source: string; readonly row: number; readonly column: string };

/**
 * What one reading says about a gap, in mm.
 * `interval`: the gap lies between `lowMm` and `highMm` (Infinity: open above), as far as the hand can feel;
 * `exact`: a value with its standard uncertainty (seen touching, a dial).
 */
export type Gap =
  | { readonly kind: "interval"; readonly lowMm: number; readonly highMm: number; /** Uncertainty of the interval's ends from the leaves' own thickness, mm. */ readonly endsUMm: number }
  | { readonly kind: "exact"; readonly gapMm: number; /** Above 0: no reading is known exactly. */ readonly uMm: number };

/** One gap under a tool that was set down along a line. */
export type GapReading = {
  readonly line: string;
  readonly place: Place;
  readonly gap: Gap;
  /** As typed, with its unit where it was not typed: `4 thou`, `touch`. */
  readonly written: string;
  /** What the user noted beside it. */
  readonly note?: string;
  readonly origin: Origin;
};

/** What was touched: crowns, bare wood, the gap between crown and wood, the neck's back, or the face that is glued. */
export type Surface = "fretTops" | "wood" | "underCrown" | "underside" | "glueFace";

/** A tool as it was set down. Defaults are common practice and are listed as assumed. */
export type Tool = {
  readonly name: string;
  readonly kind: "straightedge" | "notched" | "rocker" | "dialBar" | "tautString" | "endBlocks" | "sightingBars" | "benchPlate" | "crownGauge" | "radiusGauge";
  readonly lengthMm: number;
  /** The edge deviates from straight by no more than this over its length, either way. */
  readonly straightnessToleranceMm: number;
  /** Height of the two equal blocks an edge lies on, mm (`endBlocks`). */
  readonly blockHeightMm?: number;
  /** Its bow, where it was checked, mm in the middle over its whole length, with its standard uncertainty: positive is hollow (light in the middle), negative crowned. It does not show in the readings of a dial bar, sighting bars or a crown gauge: a setting of such a tool with a bow is left aside. */
  readonly bow?: { readonly mm: number; readonly uMm: number };
  /** Height (the way it bends) and thickness of the edge's section, mm, for its sag under its own weight; steel unless said. */
  readonly section?: { readonly heightMm: number; readonly thicknessMm: number; readonly material: "steel" | "aluminium" };
  /** How far a taut string hangs through in its middle, mm. */
  readonly sagMm?: number;
  /** How it was set down, in the user's words. */
  readonly setDown?: string;
};

/** Where a tool lay: along a line of the neck, across it at one place, or diagonally between two (line, place) ends. */
export type SettingPath =
  | { readonly kind: "along"; readonly line: string }
  | { readonly kind: "across"; readonly at: Place }
  | { readonly kind: "diagonal"; readonly from: { readonly line: string; readonly at: Place }; readonly to: { readonly line: string; readonly at: Place } };

/** One setting-down of one tool: its offset and tilt are unknown, its gaps are read along its path. */
export type EdgeSetting = {
  /** As in print: "second setting of the edge, centre". */
  readonly label: string;
  readonly tool: Tool;
  readonly surface: Surface;
  readonly path: SettingPath;
  /** The edge lay turned end for end against how it usually lies. */
  readonly turned?: boolean;
  readonly readings: readonly GapReading[];
};

/**
 * A rocker over three neighbouring frets, named by the middle one.
 * `deltaMm` is the height of the middle crown over the chord of the outer two (positive: it rocks), as an interval already
 * converted from the gap at the raised end by the rules of contact.
 */
export type RockerReading = {
  readonly line: string;
  readonly frets: readonly [number, number, number];
  /** Bounds of the middle height over the chord of the outer two, mm; low may be -Infinity (still: not high, perhaps low), high Infinity (rocks, by an unknown amount). */
  readonly deltaMm: { readonly low: number; readonly high: number };
  /** Uncertainty of those bounds from the leaves' own thickness, mm. */
  readonly endsUMm: number;
  readonly tool: Tool;
  readonly written: string;
  /** What the user noted beside it. */
  readonly note?: string;
  readonly origin: Origin;
};

/** One try in the log of seating a fret end: `7 treble: rocks 2 > tapped > still`. */
export type SeatingEntry = { readonly fret: number; readonly line: string; readonly steps: readonly string[]; readonly origin: Origin };

/** The state of the neck when it was read. What was not given is absent here and listed in the sheet's `assumed`. */
export type NeckState = {
  readonly rod?: string;
  readonly strings?: string;
  readonly support?: string;
  readonly hoursSinceGlue?: number;
  readonly humidityPercent?: number;
  readonly temperatureC?: number;
  readonly fretState?: string;
};

/** Everything measured on one neck at one stage and date, in one state, as typed and checked. */
export type SurveySheet = {
  readonly neck: string;
  readonly stage: string;
  /** ISO 8601 day, or empty where not given. */
  readonly date: string;
  readonly state: NeckState;
  readonly settings: readonly EdgeSetting[];
  readonly rockers: readonly RockerReading[];
  readonly seating: readonly SeatingEntry[];
  /** Uncertainty of the hand that judges "goes" and "does not go", mm. */
  readonly feelMm: number;
  /** The leaves that most of it was read with; absent where none were. */
  readonly leaves?: LeafSet;
  /** Defaults that were used, in a builder's words. */
  readonly assumed: readonly string[];
  /** Things read but not usable as they stand, in a builder's words (a rocker pass that names fret 1 on a neck with a nut). */
  readonly notes: readonly string[];
};
