/** A path along the neck on which tools are set down: a share of the width from the bass edge, or a fixed distance from the centre line. */
export type NeckLine =
  | { readonly name: string; readonly share: number }
  | { readonly name: string; readonly offsetMm: number };

/** A measurement taken at one place along the neck; between two such places a size runs linearly. */
export type SizeAt = { /** As the user names the place: `nut`, `12`, `lastFret`, `@300mm`. */ readonly at: string; readonly xMm: number; readonly mm: number };

/** Thicknesses of the board alone and of neck and board together (frets not counted), from the nut on, mm. */
export type NeckThicknesses = { readonly board: readonly SizeAt[]; readonly total: readonly SizeAt[] };

/** A stiffening bar let into the neck under the board, as wide and high as given, bonded all along. */
export type NeckBar = {
  readonly widthMm: number;
  readonly heightMm: number;
  /** Middle of the bar below the face the board is glued to. */
  readonly depthMm: number;
  readonly modulusMPa: number;
  readonly fromMm?: number;
  readonly toMm?: number;
  /** How many like it lie side by side; one where not given. */
  readonly count?: number;
};

/** A wood as the builder knows it; what is absent is looked up in books by whoever needs it. */
export type Wood = {
  readonly name: string;
  /** Stiffness along the grain of this very piece, where it was measured, MPa. */
  readonly modulusMPa?: number;
  readonly densityKgM3?: number;
  readonly moisturePercent?: number;
};

/** The slots of the frets; `blind` slots do not run out at the board's edges. */
export type FretSlots = { readonly widthMm?: number; readonly depthMm?: number; readonly ends?: "through" | "blind" };

/** The tangs of the frets. */
export type FretTangs = {
  readonly thicknessMm?: number;
  /** How far the tang is cut back from each end of the fret. */
  readonly cutBackMm?: number;
  /** How deep the tang bears on the slot faces. */
  readonly contactDepthMm?: number;
};

/** The truss rod, as far as the builder knows it. */
export type TrussRod = {
  /** `one way`: it can only push toward back bow. */
  readonly works?: "one way" | "both ways" | "none";
  readonly fromMm?: number;
  readonly toMm?: number;
  /** Middle of the rod below the face the board is glued to. */
  readonly depthMm?: number;
  /** Distance between the middles of the two members of a rod that works both ways. */
  readonly spacingMm?: number;
  /** Relative travel of the rod's ends per turn of its nut. */
  readonly leadMmPerTurn?: number;
  readonly channelWidthMm?: number;
  readonly channelDepthMm?: number;
  /** Which way the nut is turned for more relief, seen from the wrench's end. */
  readonly moreRelief?: "clockwise" | "anticlockwise";
  readonly wrench?: string;
};

/** One string: its gauge and core in mm, its material and pitch, as far as the builder knows them. */
export type NeckString = {
  readonly gaugeMm: number;
  readonly wound: boolean;
  readonly coreMm?: number;
  /** Of a wound string: of its wrap. */
  readonly material?: "steel" | "nickel" | "bronze" | "nylon";
  /** Pitch as a note name with octave (`E2`). */
  readonly note?: string;
  readonly frequencyHz?: number;
  readonly tensionN?: number;
};

/** The strings and how high they lie. */
export type StringSet = {
  /** In order from bass to treble. */
  readonly each?: readonly NeckString[];
  /** Underside of the strings above the crown plane at the nut, mm. */
  readonly heightAtNutMm?: number;
  /** Underside of the strings above the last fret's crown, mm, bass and treble. */
  readonly heightAtLastFretMm?: { readonly bass: number; readonly treble: number };
  readonly spreadAtNutMm?: number;
  readonly spreadAtSaddleMm?: number;
};

/** The shop's limits, as far as the user stated them; whoever judges takes common practice for the others and says so. */
export type ShopLimits = {
  readonly reliefMinMm?: number;
  readonly reliefMaxMm?: number;
  readonly bareBowMaxMm?: number;
  readonly fretHighMm?: number;
  readonly crownMinMm?: number;
  readonly glueUpBowMaxMm?: number;
  readonly twistMaxMm?: number;
  readonly levelToleranceMm?: number;
  readonly fallAwayMm?: number;
  readonly reseatMax?: number;
};

/** What a neck is, in mm. Made by `readNeck`; every default that was used stands in `assumed`, in a builder's words. */
export type Neck = {
  readonly name: string;
  readonly scaleLengthMm: number;
  /** Number of frets, a zero fret not counted. */
  readonly frets: number;
  /** With a zero fret the fret tops are 0..frets, with a nut 1..frets. */
  readonly zeroFret: boolean;
  /** Fret at which the neck meets the body; undefined where the user did not say. */
  readonly bodyJoint?: number;
  /** Radius of the board across its width at the nut and at the last fret; Infinity is flat. */
  readonly fingerboardRadiusMm: { readonly nut: number; readonly lastFret: number };
  /** Width of the board at the nut and at the last fret. */
  readonly widthMm: { readonly nut: number; readonly lastFret: number };
  /** In order from bass to treble. */
  readonly lines: readonly [NeckLine, ...NeckLine[]];
  readonly thickness?: NeckThicknesses;
  /** Shape of the neck's back: exponent of |2y/width|^n + |z/depth|^n = 1; 2 is a half ellipse, larger is boxier. */
  readonly backShape?: number;
  readonly bars?: readonly NeckBar[];
  readonly woods?: { readonly board?: Wood; readonly neck?: Wood };
  readonly slots?: FretSlots;
  readonly tangs?: FretTangs;
  readonly crownHeightMm?: number;
  readonly rod?: TrussRod;
  readonly strings?: StringSet;
  readonly limits?: ShopLimits;
  readonly assumed: readonly string[];
};
