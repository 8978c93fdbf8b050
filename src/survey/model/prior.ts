import type { ArrowShape, SparseRow } from "../linear/arrow.js";
import { SLOPE_BASE_MM, combined, fretDeviationRow, woodDeviationRow } from "./layout.js";
import type { Layout, PlacedBody } from "./layout.js";
import type { Mixture, NormalClass } from "./normalClass.js";
import { edgeSpread } from "./sag.js";
import { DEVIATION_BASE_MM, randomWalkIntensity } from "./scatters.js";

/** How far one line's bow differs from the shared one (common practice, no source). */
const OWN_BOW_MM = 0.04;
/** One line in twenty bends by itself, on a neck that has wound: so far, standard deviation (own judgement). Only of lines read beside others can that be told. */
const WOUND_BOW_MM = 0.3;
const WOUND_SHARE = 0.05;
/** Share of the smooth line's wandering that the lines have in common. */
const COMMON_SHARE = 0.9;
/** Bare wood against the smooth line, standard deviation (common practice, no source). */
export const BOARD_MM = 0.012;
/** Wide normal base of a zone's height, divided out where `zoneMixture` comes in. */
const ZONE_BASE_MM = 0.3;
/** Level of the lines against each other where settings cross, and over the surveyed length their tilt: wide against any neck. */
const LEVEL_MM = 5;
/** How far the crown across stands off the nominal radius midway between two lines (common practice, no source). */
const CROSS_BOW_MM = 0.1;
/** Height of the wire over the wood: wide about nothing. */
const CROWN_MM = 20;
/** How far a fret moves when it is reseated (common practice, no source). */
const RESEATED_MM = 0.08;
/** Offsets and tilts of settings are free, or those of the lines that they carry: wide against any neck. */
const FREE_MM = 20;

/** Noise of the random walk for a roughness of 1 mm. */
const UNIT_INTENSITY = randomWalkIntensity({ roughnessMm: 1, seatingMm: 0 });

/** How far a zone of neighbouring frets stands up: some hundredths, seldom a tenth (common practice, no source). */
export const ZONE = { meanMm: 0.05, sdMm: 0.03 } as const;

/** The height of a zone over its wide base: rises only are looked for, so that it is no normal about nothing. */
export const ZONE_MIXTURE: Mixture = {
  classes: [{ weight: 1, mean: Float64Array.of(ZONE.meanMm), precision: Float64Array.of(1 / ZONE.sdMm ** 2), logPrecision: -2 * Math.log(ZONE.sdMm) }],
  baseSd: ZONE_BASE_MM, widest: ZONE_BASE_MM, beyond: ZONE_BASE_MM,
};

/** A line's own bow over its wide base: a little, as on most necks, or so much that the line bends by itself. */
export const OWN_BOW_MIXTURE: Mixture = { classes: [aboutNothing(1 - WOUND_SHARE, OWN_BOW_MM), aboutNothing(WOUND_SHARE, WOUND_BOW_MM)], baseSd: WOUND_BOW_MM, widest: WOUND_BOW_MM, beyond: WOUND_BOW_MM };

function aboutNothing(weight: number, sdMm: number): NormalClass {
  return { weight, mean: Float64Array.of(0), precision: Float64Array.of(1 / sdMm ** 2), logPrecision: -2 * Math.log(sdMm) };
}

/** The own bows of lines that are read beside others. */
export function ownBowsToTell({ bodies: [neckLine], ownBow }: Layout): readonly number[] {
  return neckLine === undefined || neckLine.lines.length < 2 ? [] : neckLine.lines.map((_, line) => ownBow(neckLine.firstTrack + line));
}

/** A normal prior term: precision `weight` of a linear form; those of the roughness are divided by its square. */
export type PriorTerm = { readonly row: SparseRow; readonly weight: number; readonly of: "fixed" | "roughness" };

/** A normal prior over the unknowns. */
export type Prior = {
  readonly shape: ArrowShape;
  readonly terms: readonly PriorTerm[];
  /** Rank of the roughness terms together. */
  readonly roughRank: number;
};

/** The prior of all unknowns: smooth lines, seating, the edges and free settings. */
export function priorOf(layout: Layout, settings: number): Prior {
  const independent = (index: number | undefined, sdMm: number): PriorTerm[] => (index === undefined ? [] : [fixed({ index: [index], coefficient: [1] }, sdMm)]);
  const places = [...layout.stations.keys()].flatMap((station) => layout.lines.map((name, line) => ({ station, name, line })));
  const steps = Math.max(0, layout.stations.length - 1);
  // a single place has no slope, but a prior for it
  const lengthMm = steps === 0 ? SLOPE_BASE_MM : (layout.stations.at(-1)?.xMm ?? 0) - (layout.stations[0]?.xMm ?? 0);
  const levelMm = layout.crosses ? LEVEL_MM : FREE_MM;
  const toTell = ownBowsToTell(layout);
  const tracks = layout.bodies.flatMap((body) => body.lines.map((_, line) => body.firstTrack + line));
  const terms = [
    ...Array.from({ length: steps }, (_, index) => layout.bodies.flatMap((body) => stepTerms(layout, body, index + 1))).flat(),
    ...places.filter(({ line, station }) => layout.top(line, station) !== undefined).map(({ name, station }) => fixed(fretDeviationRow(layout, name, station), DEVIATION_BASE_MM)),
    ...places.filter(({ line, station }) => layout.wood(line, station) !== undefined).map(({ name, station }) => fixed(woodDeviationRow(layout, name, station), BOARD_MM)),
    ...independent(layout.zoneHeight, ZONE_BASE_MM),
    ...layout.bodies.flatMap((body) => layout.sharedBends(body.index).flatMap((at, bend) => independent(at, layout.bends[bend]?.sdMm ?? layout.bends[0].sdMm))),
    ...tracks.flatMap((track) => independent(layout.ownBow(track), toTell.includes(layout.ownBow(track)) ? OWN_BOW_MIXTURE.baseSd : OWN_BOW_MM)),
    ...tracks.flatMap((track) => [...independent(layout.smooth(track, 0)?.height, levelMm), ...independent(layout.smooth(track, 0)?.slope, (levelMm * SLOPE_BASE_MM) / lengthMm)]),
    ...independent(layout.crossBow, CROSS_BOW_MM),
    ...independent(layout.crownHeight, CROWN_MM),
    ...places.flatMap(({ name, station }) => layout.reseats(name, station).flatMap(({ at }) => independent(at, RESEATED_MM))),
    ...Array.from({ length: settings }, (_, setting) => [...independent(layout.offset(setting), FREE_MM), ...independent(layout.tilt(setting), FREE_MM)]).flat(),
    ...layout.tools.flatMap((tool) => [...independent(layout.edgeError(tool)?.even, edgeSpread(tool).evenMm), ...independent(layout.edgeError(tool)?.odd, edgeSpread(tool).oddMm)]),
  ];
  return { shape: { banded: layout.banded, border: layout.border }, terms, roughRank: 2 * tracks.length * steps };
}

function fixed(row: SparseRow, sdMm: number): PriorTerm {
  return { row, weight: 1 / sdMm ** 2, of: "fixed" };
}

/**
 * One step of the integrated random walk, exact for uneven spacing: covariance q [[h^3/3, h^2/2], [h^2/2, h]] of height and slope,
 * whitened, and correlated across the lines by R = c J + (1 - c) I, whose inverse is I/(1-c) - c J / ((1-c)(1-c+cL)). For a roughness of 1 mm.
 */
function stepTerms(layout: Layout, body: PlacedBody, station: number): readonly PriorTerm[] {
  const h = (layout.stations[station]?.xMm ?? 0) - (layout.stations[station - 1]?.xMm ?? 0);
  const whitened = body.lines.map((_, line) => whitenedStep(layout, UNIT_INTENSITY, h, body.firstTrack + line, station));
  const lines = whitened.length;
  const apart = 1 - COMMON_SHARE;
  return ([0, 1] as const).flatMap((part): readonly PriorTerm[] => {
    const rows = whitened.map((pair) => pair[part]);
    const sum = { index: rows.flatMap((row) => row.index), coefficient: rows.flatMap((row) => row.coefficient) };
    return [
      ...rows.map((row): PriorTerm => ({ row, weight: 1 / apart, of: "roughness" })),
      { row: sum, weight: -COMMON_SHARE / (apart * (apart + COMMON_SHARE * lines)), of: "roughness" },
    ];
  });
}

/**
 * A change of slope `slope` of all lines in the middle of the step that ends at a station, g in the unknowns, and the prior's precision K: K g as a row, and g' K g, both for a roughness of 1 mm.
 * There the step's height stays as its slopes would have it, so that the walk's terms of slope alone know of it.
 */
export function slopeForm(layout: Layout, station: number, slope: number): { readonly row: SparseRow; readonly known: number } {
  const [body] = layout.bodies;
  const h = (layout.stations[station]?.xMm ?? 0) - (layout.stations[station - 1]?.xMm ?? 0);
  const rows = body?.lines.map((_, line) => whitenedStep(layout, UNIT_INTENSITY, h, body.firstTrack + line, station)[1]) ?? [];
  const whitened = slope / Math.sqrt(UNIT_INTENSITY * h);
  // R^-1 times ones
  const each = whitened / (1 - COMMON_SHARE + COMMON_SHARE * rows.length);
  return { row: combined(rows.map((row) => [each, row])), known: each * whitened * rows.length };
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
  const row: { readonly index: number[]; readonly coefficient: number[] } = { index: [], coefficient: [] };
  for (let k = 0; k < index.length; k++) {
    const [at, value = 0] = [index[k], coefficient[k]];
    if (at === undefined || value === 0) continue;
    row.index.push(at);
    row.coefficient.push(value);
  }
  return row;
}
