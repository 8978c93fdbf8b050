import type { Neck } from "../neck/neck.js";
import type { Measured } from "../units/measured.js";
import type { GapReading, Place, RockerReading, Surface, SurveySheet } from "../readings/reading.js";

/** A reading together with what the adjusted neck says should have been read there. */
export type Blunder = {
  readonly line: string;
  readonly at: string;
  readonly written: string;
  /** Where it was typed. */
  readonly source: string;
  readonly row: number;
  readonly column: string;
  /** The gap that the other readings predict here, mm, with standard uncertainty. */
  readonly expectedMm: number;
  readonly uMm: number;
  /** How many standard deviations the reading lies from what the others predict. */
  readonly normalisedResidual: number;
  readonly sentence: string;
};

/** Height of one read place over the datum of its line, positive away from the back. */
export type Height = {
  readonly surface: Surface;
  readonly line: string;
  readonly at: string;
  readonly place: Place;
  readonly heightMm: number;
  readonly uMm: number;
  /** The readings behind this height; rockers by their middle fret and its neighbours. */
  readonly readings: readonly (GapReading | RockerReading)[];
};

/** What the readings cannot determine, and the reading that would fix it. */
export type Undetermined = { readonly line: string; readonly at?: string; readonly what: string; readonly need: string };

/** The smooth neck line along one line against its datum chord, from the first to the last determined place. */
export type LineProfile = {
  readonly line: string;
  readonly xMm: readonly number[];
  readonly heightMm: readonly number[];
  /** Standard uncertainty of each height; neighbours are correlated. */
  readonly uMm: readonly number[];
};

/**
 * One term of a linear combination of heights: `neckLine` is the smooth line at any x between the first and last reading,
 * `fretTop` the crown of a fret that the survey reaches. Offset and tilt of a line carry no meaning: weights should sum to
 * zero, and so should weight times x.
 */
export type HeightTerm =
  | { readonly of: "neckLine"; readonly line: string; readonly xMm: number; readonly weight: number }
  | { readonly of: "fretTop"; readonly line: string; readonly fret: number; readonly weight: number };

/** A reading that the other readings neither confirm nor could refute: a slip of 0.10 mm in it would go unseen. */
export type Uncontrolled = { readonly line: string; readonly at: string; readonly written: string };

/**
 * Neighbouring frets that stand up together. Fret tops cannot tell whether the board is raised there or these frets are
 * not seated; the neck line follows the first, not the second. Probabilities of this and other explanations sum to 1.
 */
export type SurveyZone = {
  readonly fromFret: number;
  readonly toFret: number;
  readonly up: Measured;
  readonly probability: number;
  readonly probabilityBoard: number;
  readonly probabilityFrets: number;
};

/** A spread that the survey worked with, and whether the readings or the prior decided it. */
export type SpreadUsed = { readonly valueMm: number; readonly basis: "estimated" | "prior-dominated" };

/** The one further reading that sharpens an asked number most. */
export type NextReading =
  | {
      readonly status: "worthwhile";
      readonly tool: "straightedge" | "rocker";
      readonly line: string;
      readonly at: Place;
      readonly uNowMm: number;
      readonly uThenMm: number;
    }
  | { readonly status: "little to gain"; readonly uNowMm: number };

/** The adjusted survey. Numbers derived from it are asked of it (`linear`, `draws`, `nextReading`), so that correlations are kept. */
export type Survey = {
  readonly neck: Neck;
  readonly sheet: SurveySheet;
  readonly datum: readonly { readonly line: string; readonly from: Place; readonly to: Place }[];
  readonly heights: readonly Height[];
  readonly lines: readonly LineProfile[];
  readonly zones: readonly SurveyZone[];
  readonly undetermined: readonly Undetermined[];
  readonly blunders: readonly Blunder[];
  readonly uncontrolled: readonly Uncontrolled[];
  readonly assumed: readonly string[];
  /** What was read but left aside, and other remarks, in a builder's words. */
  readonly notes: readonly string[];
  readonly spreads: { readonly roughness: SpreadUsed; readonly seating: SpreadUsed };
  /** Value and uncertainty of a linear combination of heights, mm. @throws {RangeError} a place the survey does not reach */
  readonly linear: (terms: readonly HeightTerm[]) => Measured;
  /** Joint draws of several such combinations: one array a draw, in their order. The same seed gives the same draws. */
  readonly draws: (combinations: readonly (readonly HeightTerm[])[], count: number, seed: number) => readonly Float64Array[];
  /** The further reading under a tool already laid down, or with the rocker, that sharpens a combination most. */
  readonly nextReading: (terms: readonly HeightTerm[]) => NextReading;
};
