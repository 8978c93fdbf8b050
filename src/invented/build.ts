import { fretDistanceMm, fretTops } from "../neck/frets.js";
import { radiusDropMm } from "../neck/surface.js";
import { lineNamed } from "./line.js";
import type { InventedStream } from "./stream.js";
import { smoothLineMm, trueHighMm, type InventedBuild, type InventedTruth } from "./truth.js";

/**
 * Draws what lies under the crowns, and leaves everything else of the neck as it is.
 * Invented: wire 1.1 mm high (uniform 1.0 to 1.25); seven in ten of the far-out frets and lifted ends are not pressed home, the others sit on the wood; the bare
 * wood deviates from the smooth line by a normal with sd 0.008 mm, independent from place to place.
 */
export function withBuild(truth: InventedTruth, stream: InventedStream): InventedTruth {
  const wireMm = stream.uniform(1, 1.25);
  const unseated = truth.seating.filter(({ farOut }) => stream.chance(0.7) && farOut !== "no").map(({ fret }) => fret);
  const spaces = fretTops(truth.neck).length - 1;
  const woodMm = Object.fromEntries(truth.neck.lines.map(({ name }) => [name, Array.from({ length: spaces }, () => stream.normal(0, 0.008))]));
  return { ...truth, build: { wireMm, unseated, woodMm } };
}

/** Air between crown and wood at a fret on a line, mm: all that a fret not pressed home stands out by, else nothing. */
export function underCrownGapMm(truth: InventedTruth, line: string, fret: number): number {
  const { unseated } = buildOf(truth);
  return unseated.includes(fret) ? Math.max(0, trueHighMm(truth, line, fret)) : 0;
}

/** Height of a crown's top over the wood beside it, mm, as a crown gauge reads it: metal, and any air under it. */
export function crownOverWoodMm(truth: InventedTruth, line: string, fret: number): number {
  const { wireMm, woodMm } = buildOf(truth);
  const space = fret - (fretTops(truth.neck)[0] ?? 0);
  const beside = [woodMm[line]?.[space - 1], woodMm[line]?.[space]].filter((mm) => mm !== undefined);
  const wood = beside.reduce((sum, mm) => sum + mm, 0) / Math.max(1, beside.length);
  return wireMm + trueHighMm(truth, line, fret) - wood;
}

/** Height of a crown's metal alone, mm: what there is to take off. */
export function crownMetalMm(truth: InventedTruth, line: string, fret: number): number {
  return crownOverWoodMm(truth, line, fret) - underCrownGapMm(truth, line, fret);
}

/** Height of the bare wood midway between a fret and the next, mm, with the drop of the radius; the crowns' height is not in it. */
export function woodContactMm(truth: InventedTruth, line: string, fret: number): number {
  const xMm = woodPlaceMm(truth, fret);
  const deviation = buildOf(truth).woodMm[line]?.[fret - (fretTops(truth.neck)[0] ?? 0)];
  if (deviation === undefined) throw new RangeError(`Cannot give the wood after fret ${fret}: expected a fret with another after it, and one of the lines of the neck`);
  return smoothLineMm(truth, line, xMm) + deviation + radiusDropMm(truth.neck, lineNamed(truth.neck, line), xMm);
}

/** Where that is, from the nut, mm. */
export function woodPlaceMm({ neck }: Pick<InventedTruth, "neck">, fret: number): number {
  return (fretDistanceMm(neck.scaleLengthMm, fret) + fretDistanceMm(neck.scaleLengthMm, fret + 1)) / 2;
}

function buildOf({ build }: InventedTruth): InventedBuild {
  if (build === undefined) throw new RangeError("Cannot tell what lies under the crowns: expected a neck from withBuild");
  return build;
}
