import type { Neck } from "../neck/neck.js";
import type { Measured } from "../units/measured.js";
import type { GapReading, Place, RockerReading, Surface, SurveySheet } from "../readings/reading.js";

/** A reading together with what the adjusted neck says should have been read there. */
export type Blunder = {
  readonly line: string;
  readonly at: string;
  readonly written: string;
  /** What kind of reading it was, in a builder's words. */
  readonly read: "gap" | "rocker" | "sighting" | "dial bar" | "crown" | "gap under the crown";
  /** Where it was typed. */
  readonly source: string;
  readonly row: number;
  readonly column: string;
  /** The gap that the other readings predict here, mm, with standard uncertainty. */
  readonly expectedMm: number;
  readonly uMm: number;
  /** How many standard deviations the reading lies from what the others predict. */
  readonly normalisedResidual: number;
  /** Readings that may be the slip in its place, the likeliest first: without one of them the others agree so well that only together are they 95 % sure to hold it. They were kept. */
  readonly rivals: readonly RivalReading[];
  readonly sentence: string;
  /** Which of several surveys adjusted together; the first where absent. */
  readonly survey?: number;
};

/** A reading that may be the slip in another's place, and where it was typed. */
export type RivalReading = Pick<Blunder, "line" | "at" | "written" | "source" | "row" | "column">;

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
 * Heights of another surface than the neck line's along one line, over a chord of their own: bare wood beside fret tops, the neck's
 * underside, the glue face. Positive away from the neck's back on all of them.
 */
export type Face = {
  readonly surface: Surface;
  readonly line: string;
  readonly from: Place;
  readonly to: Place;
  readonly heights: readonly Height[];
};

/** Height of the wire over the wood at a fret, where it was read with a crown gauge, mm. */
export type Crown = { readonly line: string; readonly fret: number; readonly height: Measured };

/**
 * Twist of the neck line, where readings fix it. `between` gives it as terms to ask `linear` or `draws` for, positive where the treble
 * side is turned up toward `toMm`, mm over the board's width there.
 */
export type SurveyTwist =
  | { readonly status: "determined"; readonly between: (fromMm: number, toMm: number) => readonly HeightTerm[] }
  | { readonly status: "undetermined"; readonly need: string };

/**
 * One term of a linear combination of heights: `neckLine` is the smooth line at any x between the first and last reading,
 * `fretTop` the crown of a fret that the survey reaches, `underside` and `glueFace` those faces at any x. Level and tilt of a line are
 * the datum's: weights should sum to zero on every line, and so should weight times x. A combination that does not (the height of one
 * line over another, twist) means something only where settings cross from line to line: ask `determines`.
 * `survey` names one of several surveys adjusted together, from 0.
 */
export type HeightTerm =
  | { readonly of: "neckLine"; readonly line: string; readonly xMm: number; readonly weight: number; readonly survey?: number }
  | { readonly of: "fretTop"; readonly line: string; readonly fret: number; readonly weight: number; readonly survey?: number }
  | { readonly of: "underside" | "glueFace"; readonly line: string; readonly xMm: number; readonly weight: number; readonly survey?: number };

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

/** The one further reading that sharpens an asked number most; `uNowMm` is Infinity where nothing determines the number yet. */
export type NextReading =
  | {
      readonly status: "worthwhile";
      readonly tool: "straightedge" | "rocker" | "sightingBars";
      readonly line: string;
      readonly at: Place;
      /** The place lies beyond what was read under this edge, where it may reach as it lies, or may not. */
      readonly beyond?: true;
      readonly uNowMm: number;
      readonly uThenMm: number;
    }
  | {
      readonly status: "little to gain";
      readonly uNowMm: number;
      /** The part of it that is the edges' own bows, all together, where that is more than half of its square: no reading along a line can tell it from the neck's, however many are taken. Only of readings that were asked for as tried. */
      readonly edgeMm?: number;
      /** The reading that still gains most, if any can be taken. */
      readonly best?: Omit<Extract<NextReading, { status: "worthwhile" }>, "status" | "uNowMm">;
    };

/**
 * The adjusted survey. Numbers derived from it are asked of it (`linear`, `draws`, `nextReading`), so that correlations are kept.
 * Terms over several lines are welcome: `if (survey.twist.status === "determined") survey.linear(survey.twist.between(xOfFret1, xOfLastFret))`;
 * `survey.determines(terms)` says of any combination whether the readings fix it, and `linear` and `draws` refuse it where they do not.
 */
export type Survey = {
  readonly neck: Neck;
  readonly sheet: SurveySheet;
  readonly datum: readonly { readonly line: string; readonly from: Place; readonly to: Place }[];
  readonly heights: readonly Height[];
  /** Worked out when it is first asked for. */
  readonly lines: readonly LineProfile[];
  /** Surfaces read beside that of `heights`, each over a chord of its own. */
  readonly faces: readonly Face[];
  readonly crowns: readonly Crown[];
  readonly twist: SurveyTwist;
  readonly zones: readonly SurveyZone[];
  readonly undetermined: readonly Undetermined[];
  readonly blunders: readonly Blunder[];
  readonly uncontrolled: readonly Uncontrolled[];
  readonly assumed: readonly string[];
  /** What was read but left aside, and other remarks, in a builder's words. */
  readonly notes: readonly string[];
  readonly spreads: { readonly roughness: SpreadUsed; readonly seating: SpreadUsed };
  /** Whether the readings fix a combination as far as level and tilt of its lines go; true where its weights ask nothing of them. */
  readonly determines: (terms: readonly HeightTerm[]) => boolean;
  /** Value and uncertainty of a linear combination of heights, mm; the central 95 % may lie about the value unevenly. @throws {RangeError} a place the survey does not reach, or a combination that it does not determine */
  readonly linear: (terms: readonly HeightTerm[]) => Measured;
  /** As `linear`, for many combinations at once, in their order: much quicker than one by one. @throws {RangeError} as `linear`, for any of them */
  readonly linearAll: (combinations: readonly (readonly HeightTerm[])[]) => readonly Measured[];
  /** Joint draws of several such combinations: one array a draw, in their order. The same seed gives the same draws. @throws {RangeError} as `linear` */
  readonly draws: (combinations: readonly (readonly HeightTerm[])[], count: number, seed: number) => readonly Float64Array[];
  /**
   * The further reading under a tool already laid down, or with the rocker, that sharpens a combination most. `estimated` (the default) takes every reading as normal and looks between the outermost places
   * read; what is left then is no less than it will be on average, and a doubt between explanations that foresee the reading alike stays. `tried` adjusts with each reading as it may come out, also where the edge may reach beyond: better where little was read, and slower.
   * @throws {RangeError} as `linear`; but where lines are held against each other and nothing ties them yet, the reading that would is asked for
   */
  readonly nextReading: (terms: readonly HeightTerm[], how?: "estimated" | "tried") => NextReading;
};
