import type { Neck } from "../neck/neck.js";
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

/** A linear combination of the line's smooth heights: sum of weight times height of the smooth line at (line, x). */
export type SmoothFunctional = readonly { readonly line: string; readonly xMm: number; readonly weight: number }[];

/** The adjusted survey. Numbers derived from it are asked of it (`linear`, `smoothDraws`), so that correlations are kept. */
export type Survey = {
  readonly neck: Neck;
  readonly sheet: SurveySheet;
  readonly datum: readonly { readonly line: string; readonly from: Place; readonly to: Place }[];
  readonly heights: readonly Height[];
  readonly lines: readonly LineProfile[];
  readonly undetermined: readonly Undetermined[];
  readonly blunders: readonly Blunder[];
  readonly assumed: readonly string[];
};
