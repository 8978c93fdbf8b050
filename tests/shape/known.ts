import { adjust, fretDistanceMm, radiusDropMm } from "neck-survey";
import type { HeightTerm, Neck, Survey } from "neck-survey";
import { NECK, exact, along, lineNamed, sheet } from "../survey/bench.js";

/** A shape known exactly: the smooth line at x, and how far each fret stands off it. */
export type Known = { readonly lineMm: (xMm: number) => number; readonly highMm?: (fret: number) => number };

const base = adjust(NECK, sheet([along("centre", [exact("centre", 1, 0), exact("centre", 8, 0.1), exact("centre", 16, 0), exact("centre", 22, 0)])]));

/** A survey of the centre line, read at every fret of the neck, that answers every question from a known shape and without any doubt. */
export function knownSurvey(known: Known, neck: Neck = NECK): Survey {
  const top = (fret: number): number => known.lineMm(fretDistanceMm(neck.scaleLengthMm, fret)) + (known.highMm?.(fret) ?? 0);
  const value = (terms: readonly HeightTerm[]): number => terms.reduce((sum, term) => sum + term.weight * (term.of === "fretTop" ? top(term.fret) : known.lineMm(term.xMm)), 0);
  const frets = Array.from({ length: neck.frets + (neck.zeroFret ? 1 : 0) }, (_, index) => index + (neck.zeroFret ? 0 : 1));
  return {
    ...base,
    neck,
    heights: frets.map((fret) => ({ surface: "fretTops", line: "centre", at: String(fret), place: { label: String(fret), fret, xMm: fretDistanceMm(neck.scaleLengthMm, fret) }, heightMm: top(fret), uMm: 0, readings: [] })),
    linear: (terms) => ({ value: value(terms), u: 0, unit: "mm", low95: value(terms), high95: value(terms) }),
    linearAll: (combinations) => combinations.map((terms) => ({ value: value(terms), u: 0, unit: "mm", low95: value(terms), high95: value(terms) })),
    draws: (combinations) => [0, 1].map(() => Float64Array.from(combinations, value)),
    nextReading: () => ({ status: "little to gain", uNowMm: 0 }),
  };
}

/** The centre line read at every fret under an edge that lies over it, to a few micrometres, of a known shape. */
export function readSurvey(known: Known): Survey {
  const line = lineNamed("centre");
  const frets = Array.from({ length: NECK.frets }, (_, index) => index + 1);
  const gapMm = (fret: number): number => {
    const xMm = fretDistanceMm(NECK.scaleLengthMm, fret);
    return 0.6 - known.lineMm(xMm) - (known.highMm?.(fret) ?? 0) - radiusDropMm(NECK, line, xMm);
  };
  return adjust(NECK, sheet([along("centre", frets.map((fret) => exact("centre", fret, gapMm(fret))))]));
}
