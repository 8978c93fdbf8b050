/** A path along the neck on which tools are set down: a share of the width from the bass edge, or a fixed distance from the centre line. */
export type NeckLine =
  | { readonly name: string; readonly share: number }
  | { readonly name: string; readonly offsetMm: number };

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
  readonly assumed: readonly string[];
};
