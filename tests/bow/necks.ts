import { readNeck, valueOrThrow, type Neck } from "neck-survey";

/** Seed of every property in this folder; fast-check prints it when one fails. */
export const SEED = 20_260_707;

/** A neck with every size that the bow model takes; `over` replaces keys of the neck file. */
export function plainNeck(over: Readonly<Record<string, unknown>> = {}): Neck {
  return valueOrThrow(readNeck({
    name: "plain", scaleLength: 648, frets: 22, zeroFret: false, bodyJoint: 16, fingerboardRadius: 304.8, widths: { nut: 43, lastFret: 56 },
    thicknesses: { board: { nut: 6, lastFret: 6 }, total: { "1": 20.5, "12": 22.5 } }, backShape: 2.2,
    slots: { width: 0.56, depth: 3 }, tangs: { thickness: 0.59, contactDepth: 2.4 },
    rod: { works: "both ways", from: 10, to: 420, depth: 6, spacing: 6, lead: 0.8, channelWidth: 6, channelDepth: 10 },
    ...over,
  }), "neck");
}
