import type { Neck } from "../neck/neck.js";
import { heightAt, overChord } from "../shape/profile.js";
import type { Profile } from "../shape/profile.js";
import { allTops } from "../shape/span.js";
import { clearanceOf } from "./clearanceOf.js";
import type { DrawnNeck } from "./clearanceOf.js";
import type { Clearance } from "./clearanceResult.js";
import { lineHeights, STRINGS_NEEDED, undetermined } from "./clearance.js";
import type { ClearanceOptions } from "./clearance.js";
import { fretsInTheWay } from "./fretsFirst.js";
import type { FretReport } from "./report.js";
import type { FretHeight } from "./fretHeights.js";
import { normalsFrom } from "./normals.js";
import { saddleOf } from "./stringPath.js";

/** How far one fret stands over the smooth line of the profile, mm; frets that are left out stand on it, with the scatter of pressed frets. */
export type FretOverLine = Pick<FretHeight, "fret" | "high">;

const DRAWS = 400;
const SEED = 47;
/** Spread of pressed frets that were not read, mm (common practice, no source). */
const SEATING_MM = 0.008;

/**
 * The clearance of a neck whose shape is predicted, not measured: any profile, with the frets as they stand over it.
 * The profile's uncertainty is taken as one amount for the whole shape, since a predicted bow is wrong as a whole; frets are independent of each other.
 * @param profile the neck line under strings, mm, over any chord; it must reach the frets from the first to the last
 * @param frets from `fretHeights` of a survey, those of one line; may be empty
 * @param options with the fret report of the survey from which the frets come: what it wants seated or levelled then comes before every other cure
 * @returns undetermined where the profile ends before either, or where the neck file does not say how high the strings lie and the options neither
 */
export function predictedClearance(neck: Neck, profile: Profile, frets: readonly FretOverLine[], options: ClearanceOptions & { readonly report?: Pick<FretReport, "frets"> } = {}): Clearance {
  const line = profile.line ?? neck.lines[Math.floor(neck.lines.length / 2)]?.name ?? "centre";
  const heights = options.strings ?? lineHeights(neck, line);
  if (heights === undefined) return undetermined(line, STRINGS_NEEDED);
  const tops = allTops(neck).filter(({ fret }) => fret > 0);
  if (!tops.every(({ xMm }) => isWithin(profile, xMm))) return undetermined(line, `give a profile that reaches from fret 1 to fret ${neck.frets}, over which the string's height is stated`);
  const drawn = (ofShape: number, ofFret: (index: number) => number): DrawnNeck => {
    const heightMm = overChord(tops.map(({ xMm }) => xMm), tops.map(({ fret, xMm }, index) => heightAt(profile, xMm) + ofShape * uncertaintyAt(profile, xMm) + deviation(frets, fret, ofFret(index))));
    const level = tops.map(({ fret, xMm }, index) => ({ fret, xMm, heightMm: heightMm[index] ?? 0 }));
    return { tops: level, saddle: saddleOf(neck.scaleLengthMm, level, heights) };
  };
  const normal = normalsFrom(SEED);
  const draws = Array.from({ length: DRAWS }, () => {
    const shape = normal();
    const own = tops.map(() => normal());
    return drawn(shape, (index) => own[index] ?? 0);
  });
  const { report } = options;
  const highOf = (fret: number): number => deviation(frets, fret, 0);
  return clearanceOf({ neck, line, best: drawn(0, () => 0), draws, ...(report === undefined ? {} : { first: ({ tops: crowns, saddle }, wanted) => fretsInTheWay(report, highOf, crowns, saddle, wanted) }), ...(options.wantedMm === undefined ? {} : { wantedMm: options.wantedMm }) });
}

function deviation(frets: readonly FretOverLine[], fret: number, normal: number): number {
  const known = frets.find((one) => one.fret === fret);
  return known === undefined ? normal * SEATING_MM : known.high.value + normal * known.high.u;
}

function uncertaintyAt(profile: Profile, xMm: number): number {
  return profile.uMm === undefined ? 0 : heightAt({ of: profile.of, xMm: profile.xMm, vMm: profile.uMm }, xMm);
}

function isWithin({ xMm }: Profile, x: number): boolean {
  return x >= (xMm[0] ?? Infinity) && x <= (xMm.at(-1) ?? -Infinity);
}
