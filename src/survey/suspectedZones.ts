import { Matrix, solve } from "ml-matrix";
import { along } from "./estimation/expectationPropagation.js";
import { heaviestPoint } from "./explanation.js";
import type { Explanation } from "./explanation.js";
import { rowVariance } from "./linear/arrow.js";
import type { SparseRow } from "./linear/arrow.js";
import { combined, fretTopRow, smoothRow } from "./model/layout.js";
import type { Zone } from "./model/layout.js";
import type { Usable } from "./model/stations.js";

/** Fewer frets up together are frets up one by one; more are the line itself. */
const LENGTHS = [4, 5, 6, 7] as const;
/** Stations on each side that say where the line would run without the zone; the ones next to it are skipped. */
const FLANK = 5;
/** A zone is suspected when it stands up by this much, and by this many standard deviations. */
const SUSPECT_MM = 0.015;
const SUSPECT_SIGMAS = 2;
/** So many of the most suspect zones are tried. */
const MOST = 2;

/** Number of places where a zone could lie. */
export function windowCount(usable: Usable): number {
  return Math.max(1, LENGTHS.reduce((count, length) => count + Math.max(0, usable.stations.length - length + 1), 0));
}

/** Runs of neighbouring frets whose crowns stand up over the course of the line before and after them, most suspect first. */
export function suspectedZones(usable: Usable, plain: Omit<Explanation, "probability">): readonly Omit<Zone, "of">[] {
  const { posterior } = heaviestPoint(plain);
  const windows = LENGTHS.flatMap((length) => Array.from({ length: Math.max(0, usable.stations.length - length + 1) }, (_, from) => ({ from, to: from + length - 1 })));
  const judged = windows.flatMap((window) => {
    const row = standingOff(usable, plain, window);
    if (row === undefined) return [];
    const mm = along(row, posterior.mean);
    const sigmas = mm / Math.sqrt(rowVariance(posterior.factor, row));
    return mm > SUSPECT_MM && sigmas > SUSPECT_SIGMAS ? [{ ...window, sigmas }] : [];
  });
  return judged.sort((a, b) => b.sigmas - a.sigmas).slice(0, MOST).map(({ from, to }) => ({ from, to }));
}

/** Mean height of the crowns in a window over the parabola through the line on both sides of it, averaged over the lines. */
function standingOff(usable: Usable, { layout }: Omit<Explanation, "probability">, { from, to }: Omit<Zone, "of">): SparseRow | undefined {
  const before = stationsFrom(usable, from - 1 - FLANK, from - 2);
  const after = stationsFrom(usable, to + 2, to + 1 + FLANK);
  const inside = stationsFrom(usable, from, to);
  const flank = [...before, ...after];
  if (flank.length < 4) return undefined;
  const weights = parabolaWeights(flank.map((station) => xOf(usable, station)), inside.map((station) => xOf(usable, station)));
  const share = 1 / layout.lines.length;
  return combined(layout.lines.flatMap((line) => [
    ...inside.map((station) => [share / inside.length, fretTopRow(layout, line, station)] as const),
    ...flank.map((station, index) => [-share * (weights[index] ?? 0), smoothRow(layout, line, xOf(usable, station))] as const),
  ]));
}

/** Weights of values at `known` that give the mean over `asked` of their least-squares parabola. */
function parabolaWeights(known: readonly number[], asked: readonly number[]): readonly number[] {
  const [middle, scale] = [asked[0] ?? 0, 100];
  const powers = (x: number): number[] => [1, (x - middle) / scale, ((x - middle) / scale) ** 2];
  const design = new Matrix(known.map(powers));
  const mean = asked.map(powers).reduce((sum, row) => sum.map((value, at) => value + (row[at] ?? 0) / asked.length), [0, 0, 0]);
  const normal = solve(design.transpose().mmul(design), Matrix.columnVector(mean));
  return design.mmul(normal).to1DArray();
}

function stationsFrom(usable: Usable, first: number, last: number): readonly number[] {
  return [...usable.stations.keys()].slice(Math.max(0, first), Math.max(0, last + 1));
}

function xOf(usable: Usable, station: number): number {
  return usable.stations[station]?.xMm ?? NaN;
}
