import { fretDistanceMm } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { lengthMm } from "../units/length.js";
import { looksLikeDate } from "./gap.js";
import type { Place, Surface } from "./reading.js";

/** A place along the neck, or what was expected. */
export type PlaceReading = { readonly place: Place } | { readonly expected: string; readonly repair?: string };

/** How far a tool may be read beyond the last fret, mm. */
const BEYOND_MM = 60;

/** A distance from the nut is on a fret where it meets its middle as well as a crown is wide, mm. */
const ON_FRET_MM = 1;

const LONGEST_PLACE = 40;

const NUT_IS_NO_TOP = "the nut is no fret top; a neck with a zero fret says so in its file";

/**
 * Reads a place: `7` (fret), `3.5` (the wood midway between frets 3 and 4), `@123.4mm` (from the nut).
 * @param written as typed; decimal commas are read
 * @param surface fret tops and crowns are at frets; wood is anywhere
 * @returns the place, mm from the nut, or what was expected
 * @example equal("place" in readPlace("3.5", valueOrThrow(readNeck({ name: "a", scaleLength: "25 in", frets: 22 }), "neck"), "wood"), true);
 */
export function readPlace(written: string, neck: Neck, surface: Surface): PlaceReading {
  const text = written.trim();
  if (text.length > LONGEST_PLACE) return { expected: placesOf(neck, surface) };
  if (text.startsWith("@")) return atDistance(text, neck, surface);
  if (/^\d{1,3}$/.test(text)) return atFret(Number(text), neck, surface);
  if (/^\d{1,3}[.,]50*$/.test(text)) return midway(Number.parseInt(text, 10), neck, surface);
  const expected = placesOf(neck, surface);
  if (/^nut$/i.test(text)) return { expected, repair: isOnFrets(surface) ? NUT_IS_NO_TOP : "write 0 for the nut" };
  const plain = /^(\d{1,3})[.,:;)]$/.exec(text)?.[1];
  if (plain !== undefined) return { expected, repair: `write ${plain}` };
  if (/^\d{1,3}\s*[-–]\s*\d{1,3}$/.test(text) || looksLikeDate(text)) {
    return { expected, repair: "a spreadsheet may have changed it into a date: between frets 3 and 4 write 3.5, never 3-4" };
  }
  if (/^[34]\d{4}([.,]0+)?$/.test(text)) return { expected, repair: "a spreadsheet may have changed 3-4 into the number of a date: write 3.5" };
  if (/^\d+[.,]\d+$/.test(text)) return { expected, repair: "between frets 3 and 4 write 3.5, elsewhere @123.4mm from the nut" };
  return { expected };
}

function firstTop(neck: Neck): number {
  return neck.zeroFret ? 0 : 1;
}

function isOnFrets(surface: Surface): boolean {
  return surface === "fretTops" || surface === "underCrown";
}

function placesOf(neck: Neck, surface: Surface): string {
  return isOnFrets(surface)
    ? `a fret from ${firstTop(neck)} to ${neck.frets}`
    : `a fret from 0 to ${neck.frets}, 3.5 for midway between frets 3 and 4, or @123.4mm from the nut`;
}

function atFret(fret: number, neck: Neck, surface: Surface): PlaceReading {
  const first = isOnFrets(surface) ? firstTop(neck) : 0;
  if (fret === 0 && first === 1) return { expected: placesOf(neck, surface), repair: NUT_IS_NO_TOP };
  if (fret > neck.frets) return { expected: placesOf(neck, surface), repair: "check the fret and the neck file" };
  const xMm = fretDistanceMm(neck.scaleLengthMm, fret);
  return { place: isOnFrets(surface) ? { label: String(fret), xMm, fret } : { label: String(fret), xMm } };
}

function midway(fret: number, neck: Neck, surface: Surface): PlaceReading {
  if (isOnFrets(surface)) return { expected: placesOf(neck, surface), repair: `${fret}.5 is on the wood between two frets: state the surface as wood` };
  if (fret + 1 > neck.frets) return { expected: placesOf(neck, surface) };
  const xMm = (fretDistanceMm(neck.scaleLengthMm, fret) + fretDistanceMm(neck.scaleLengthMm, fret + 1)) / 2;
  return { place: { label: `${fret}.5`, xMm } };
}

function atDistance(text: string, neck: Neck, surface: Surface): PlaceReading {
  const xMm = lengthMm(text.slice(1));
  const farthestMm = fretDistanceMm(neck.scaleLengthMm, neck.frets) + BEYOND_MM;
  if (xMm === undefined) return { expected: placesOf(neck, surface), repair: "write @123.4mm" };
  if (xMm < 0 || xMm > farthestMm) return { expected: `a distance from the nut of 0 to ${farthestMm.toFixed(0)} mm`, repair: "check its unit" };
  const label = text.replace(/\s+/g, "");
  if (!isOnFrets(surface)) return { place: { label, xMm } };
  const fret = Array.from({ length: neck.frets - firstTop(neck) + 1 }, (_, index) => firstTop(neck) + index)
    .find((candidate) => Math.abs(fretDistanceMm(neck.scaleLengthMm, candidate) - xMm) <= ON_FRET_MM);
  return fret === undefined
    ? { expected: placesOf(neck, surface), repair: `no fret is within ${ON_FRET_MM} mm of ${label}: state the surface as wood` }
    : { place: { label: String(fret), xMm: fretDistanceMm(neck.scaleLengthMm, fret), fret } };
}
