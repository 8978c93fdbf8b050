import { fretDistanceMm } from "./frets.js";
import type { Neck, NeckLine } from "./neck.js";

/** Width of the board at `xMm` from the nut; runs linearly from the nut to the last fret and on. */
export function widthMm(neck: Neck, xMm: number): number {
  return alongBoard(neck, xMm, neck.widthMm.nut, neck.widthMm.lastFret);
}

/** Signed distance of a line from the centre of the board at `xMm` from the nut, positive toward the treble side, mm. */
export function acrossMm(neck: Neck, line: NeckLine, xMm: number): number {
  return "offsetMm" in line ? line.offsetMm : (line.share - 0.5) * widthMm(neck, xMm);
}

/**
 * Height of a perfect radiused board under a line, against its crest: 0 or negative, mm.
 * A string path that runs across a cylinder is not straight on it, so a straight edge along it sees a little back bow
 * that is no fault of the neck; the survey takes this out. A radius that grows in proportion to the width (a cone) leaves none.
 * @throws {RangeError} a line that lies outside the circle of the radius
 */
export function radiusDropMm(neck: Neck, line: NeckLine, xMm: number): number {
  const radius = alongBoard(neck, xMm, neck.fingerboardRadiusMm.nut, neck.fingerboardRadiusMm.lastFret);
  const y = acrossMm(neck, line, xMm);
  if (!Number.isFinite(radius)) return 0;
  if (Math.abs(y) >= radius) {
    throw new RangeError(`Cannot place line ${line.name} on the board: it lies ${Math.abs(y)} mm from the centre, outside a radius of ${radius} mm (check widths and fingerboardRadius)`);
  }
  return Math.sqrt(radius * radius - y * y) - radius;
}

function alongBoard(neck: Neck, xMm: number, atNut: number, atLastFret: number): number {
  if (atNut === atLastFret) return atNut;
  return atNut + ((atLastFret - atNut) * xMm) / fretDistanceMm(neck.scaleLengthMm, neck.frets);
}
