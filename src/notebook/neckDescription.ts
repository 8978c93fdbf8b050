/** A length: a number in mm, or text with a unit: `"25 in"`, `"43 mm"`, `"1 11/16 in"`. */
export type WrittenLength = string | number;

/** A neck as its builder describes it. Only the first three are needed; what is left out is assumed from common practice and listed. */
export type NeckDescription = {
  /** What you call this neck. */
  readonly name: string;
  /** Nut to saddle, without compensation: `"25 in"`. */
  readonly scaleLength: WrittenLength;
  /** Number of frets; a zero fret is not counted. */
  readonly frets: number;
  /** True where the strings rest on a fret at the nut. */
  readonly zeroFret?: boolean;
  /** The fret where the neck meets the body. */
  readonly bodyJoint?: number;
  /** Radius of the board across its width: `"12 in"`, `"flat"`, or one for each end. */
  readonly fingerboardRadius?: WrittenLength | { readonly nut: WrittenLength; readonly lastFret: WrittenLength };
  /** Width of the board at its two ends. */
  readonly widths?: { readonly nut: WrittenLength; readonly lastFret: WrittenLength };
  /** Lines along which you read, bass first: a share of the width from the bass edge, or a distance from the centre. */
  readonly lines?: { readonly [name: string]: { readonly share: number } | { readonly offset: WrittenLength } };
  /** Further keys of a neck file (thicknesses, woods, slots, tangs, crown, rod, strings, limits), checked as in a file. */
  readonly [furtherKey: string]: unknown;
};
