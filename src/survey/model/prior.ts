import { addOuter, arrowMatrix } from "../linear/arrow.js";
import type { ArrowMatrix, SparseRow } from "../linear/arrow.js";
import { SLOPE_BASE_MM } from "./layout.js";
import type { Layout } from "./layout.js";
import { DEVIATION_BASE_MM, randomWalkIntensity } from "./scatters.js";
import type { Scatters } from "./scatters.js";

/** Bow that all lines share: wide, a free fretted board goes 3 mm into back bow. */
const SHARED_BOW_MM = 2;
/** How far one line's bow differs from the shared one. */
const OWN_BOW_MM = 0.04;
/** Share of the smooth line's wandering that the lines have in common. */
const COMMON_SHARE = 0.9;
/** Bare wood against the smooth line (common practice, no source). */
const BOARD_MM = 0.012;
/** A zone of frets standing up or down together (common practice, no source). */
const ZONE_MM = 0.07;
/** Offsets and tilts are free: wide against any neck. */
const FREE_MM = 20;

/** Precision matrix of the prior: smooth lines, seating, the edges and free settings. */
export function priorPrecision(layout: Layout, scatters: Scatters, settings: number): ArrowMatrix {
  const matrix = arrowMatrix({ banded: layout.banded, bandwidth: layout.bandwidth, border: layout.border });
  const independent = (index: number | undefined, sdMm: number): void => {
    if (index !== undefined) addOuter(matrix, { index: [index], coefficient: [1] }, 1 / sdMm ** 2);
  };
  for (let station = 1; station < layout.stations.length; station++) addStep(matrix, layout, randomWalkIntensity(scatters), station);
  for (const station of layout.stations.keys()) {
    for (const line of layout.lines.keys()) {
      independent(layout.deviation(line, station), DEVIATION_BASE_MM);
      independent(layout.board(line, station), BOARD_MM);
    }
  }
  independent(layout.zoneHeight, ZONE_MM);
  independent(layout.sharedBow, SHARED_BOW_MM);
  for (const line of layout.lines.keys()) independent(layout.ownBow(line), OWN_BOW_MM);
  for (let setting = 0; setting < settings; setting++) {
    independent(layout.offset(setting), FREE_MM);
    independent(layout.tilt(setting), FREE_MM);
  }
  for (const tool of layout.tools) {
    // limits of a tolerance taken as a rectangular distribution, GUM 4.3.7
    independent(layout.edgeError(tool)?.even, tool.straightnessToleranceMm / Math.sqrt(3));
    independent(layout.edgeError(tool)?.odd, tool.straightnessToleranceMm / Math.sqrt(3));
  }
  return matrix;
}

/**
 * One step of the integrated random walk, exact for uneven spacing: covariance q [[h^3/3, h^2/2], [h^2/2, h]] of height and slope,
 * whitened, and correlated across the lines by R = c J + (1 - c) I, whose inverse is I/(1-c) - c J / ((1-c)(1-c+cL)).
 */
function addStep(matrix: ArrowMatrix, layout: Layout, intensity: number, station: number): void {
  const h = (layout.stations[station]?.xMm ?? 0) - (layout.stations[station - 1]?.xMm ?? 0);
  const whitened = [...layout.lines.keys()].map((line) => whitenedStep(layout, intensity, h, line, station));
  const lines = whitened.length;
  const apart = 1 - COMMON_SHARE;
  for (const part of [0, 1] as const) {
    const rows = whitened.map((pair) => pair[part]);
    for (const row of rows) addOuter(matrix, row, 1 / apart);
    const sum = { index: rows.flatMap((row) => row.index), coefficient: rows.flatMap((row) => row.coefficient) };
    addOuter(matrix, sum, -COMMON_SHARE / (apart * (apart + COMMON_SHARE * lines)));
  }
}

function whitenedStep(layout: Layout, intensity: number, h: number, line: number, station: number): readonly [SparseRow, SparseRow] {
  const before = layout.smooth(line, station - 1);
  const after = layout.smooth(line, station);
  const heightScale = 1 / Math.sqrt((intensity * h ** 3) / 12);
  const slopeScale = 1 / (SLOPE_BASE_MM * Math.sqrt(intensity * h));
  const half = h / (2 * SLOPE_BASE_MM);
  const index = [after?.height, after?.slope, before?.height, before?.slope];
  return [
    present(index, [heightScale, -half * heightScale, -heightScale, -half * heightScale]),
    present(index, [0, slopeScale, 0, -slopeScale]),
  ];
}

function present(index: readonly (number | undefined)[], coefficient: readonly number[]): SparseRow {
  const kept = index.flatMap((at, position) => (at === undefined || coefficient[position] === 0 ? [] : [[at, coefficient[position] ?? 0] as const]));
  return { index: kept.map(([at]) => at), coefficient: kept.map(([, value]) => value) };
}
