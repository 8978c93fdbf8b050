import type { Left } from "./contexts.js";
import { noFlatterThan } from "./curvature.js";
import type { Curvature } from "./curvature.js";
import { expectedAt, fittedDensity } from "./fittedDensity.js";
import type { Cell, FittedDensity, Known, Spot } from "./fittedDensity.js";
import { FARTHEST } from "./scatterTop.js";
import type { Look, Seen, Step, Top } from "./scatterTop.js";

/** How finely the scatters are integrated: spacing of the lattice in standard deviations, the density against the best below which its points are left out, and when sites count as settled. */
export type Fineness = { readonly spacing: number; readonly negligible: number; readonly settled: number };

/** Points at the corners of equal triangles about the top, so scaled that the density there is round: steps i along one side, j along another. */
export type Lattice = {
  readonly spacing: number;
  readonly place: (i: number, j: number) => Step;
  /** A place, and what is seen there, in the scale in which the density is round. */
  readonly spot: (at: Step) => Spot;
  readonly known: (seen: Seen) => Known;
  /** The plane about the lattice, no farther out than is looked, in cells of that scale. */
  readonly cells: () => readonly Cell[];
  /** Logarithm of the area of the scatters that one unit of area stands for. */
  readonly logUnit: number;
};

/** The lattice is not coarser than this curvature would have it: where the prior decides, variances grow with the roughness faster than a normal density suits. */
const LEAST_LATTICE_CURVATURE = 4;
const ROW = Math.sqrt(3) / 2;
/** Half width and side of the cells, in standard deviations. */
const REACH = 4.5;
const SIDE = 0.6;

/** The lattice about a top, of so many standard deviations' spacing. */
function latticeAbout({ seen, curvature }: Top, spacing: number): Lattice {
  const [a, b, c] = noFlatterThan(LEAST_LATTICE_CURVATURE, withCliffs(seen, curvature));
  const l11 = Math.sqrt(a);
  const l21 = b / l11;
  const l22 = Math.sqrt(c - l21 * l21);
  const [top, middle] = seen.at;
  const spot = ([x, y]: Step): Spot => [l11 * (x - top) + l21 * (y - middle), l22 * (y - middle)];
  const ridge = (seating: number): number => top - (l21 / l11) * (seating - middle);
  return {
    spacing,
    place: (i, j) => {
      const seating = middle + (ROW * spacing * j) / l22;
      return [ridge(seating) + (spacing * (i + j / 2)) / l11, seating];
    },
    spot,
    known: ({ at, logDensity, slopes: [x, y] }) => ({ at: spot(at), logDensity, slopes: [x / l11, (y - (l21 * x) / l11) / l22] }),
    cells: () => partsOf(middle, REACH / l22, SIDE / l22).flatMap(([seating, height]) =>
      partsOf(ridge(seating), REACH / l11, SIDE / l11).map(([roughness, width]): Cell => ({ at: spot([roughness, seating]), area: width * l11 * height * l22 }))),
    logUnit: -Math.log(l11 * l22),
  };
}

/** A place that would lie farther out than is looked lies where that ends: without it one side of the top would not be seen. */
function withinReach(place: Step): Step {
  const limited = (x: number): number => Math.max(-FARTHEST, Math.min(FARTHEST, x));
  return [limited(place[0]), limited(place[1])];
}

function isWithin(place: Step): boolean {
  return place.every((x) => Math.abs(x) <= FARTHEST);
}

/** Where a top lies at the end of what is looked at, the density falls off with its slope: as narrow as a normal one of that slope's square as curvature. */
function withCliffs({ at, slopes }: Seen, [a, b, c]: Curvature): Curvature {
  const cliff = (x: number, slope: number): number => (Math.abs(x) > FARTHEST - AT_END && x * slope > 0 ? slope * slope : 0);
  return [a + cliff(at[0], slopes[0]), b, c + cliff(at[1], slopes[1])];
}

const AT_END = 1e-6;

/** Middles and widths of equal parts of a stretch about a place, as far as is looked. */
function partsOf(at: number, reach: number, width: number): readonly (readonly [middle: number, width: number])[] {
  const [from, to] = [Math.max(-FARTHEST, at - reach), Math.min(FARTHEST, at + reach)];
  const parts = Math.max(0, Math.ceil((to - from) / width));
  return Array.from({ length: parts }, (_, k) => [from + ((k + 0.5) * (to - from)) / parts, (to - from) / parts]);
}

type Corner = readonly [i: number, j: number];

/** Corners beside one, those with the same seating first. */
const BESIDE: readonly Corner[] = [[1, 0], [-1, 0], [0, 1], [0, -1], [1, -1], [-1, 1]];

/** A lattice, and what was seen at its points: the top and those about it, then further ones as long as what was seen lets expect a density there that is not negligible. The top comes first. */
export type LatticeSeen = { readonly lattice: Lattice; readonly seen: readonly Seen[] };

/** The top and the points beside it along the roughness. */
const ROW_OF_TOP: readonly Corner[] = [[0, 0], [1, 0], [-1, 0]];
/** A lattice is laid anew where the density is so many times as steep, or as flat, along the roughness as was taken. */
const MISTAKEN = 2;

/** The lattice about a top, and what is seen there. The steps to the top may have told little of the curvature along the roughness, so that the first points tell whether it suits. */
export function latticeSeen(top: Top, look: Look, fineness: Fineness): LatticeSeen {
  const first = latticeAbout(top, fineness.spacing);
  const row = new Map<string, Seen>();
  see(first, ROW_OF_TOP, row, look, top, fineness);
  const [roughness, mixed, seating] = top.curvature;
  const shown = curvatureShown([...row.values()]) ?? roughness;
  const steeper = Math.max(LEAST_LATTICE_CURVATURE, shown) / Math.max(LEAST_LATTICE_CURVATURE, roughness);
  if (steeper < MISTAKEN && steeper > 1 / MISTAKEN) return { lattice: first, seen: seenOn(first, row, look, top, fineness) };
  const suited = latticeAbout({ ...top, curvature: [shown, mixed, seating] }, fineness.spacing);
  return { lattice: suited, seen: seenOn(suited, new Map(), look, top, fineness) };
}

/** Curvature along the roughness between the outermost of settled places in one row. */
function curvatureShown(row: readonly Seen[]): number | undefined {
  const inOrder = row.filter(isSettled).sort((one, other) => one.at[0] - other.at[0]);
  const [first, last] = [inOrder[0], inOrder.at(-1)];
  return first === undefined || last === undefined || first === last ? undefined : (first.slopes[0] - last.slopes[0]) / (last.at[0] - first.at[0]);
}

function seenOn(lattice: Lattice, found: Map<string, Seen>, look: Look, top: Top, fineness: Fineness): readonly Seen[] {
  const visited = new Set(found.keys());
  for (let next: readonly Corner[] = [[0, 0], ...BESIDE]; next.length > 0; next = cornersBeyond(lattice, found, visited, top.beside, fineness.negligible)) {
    see(lattice, next.filter((corner) => !visited.has(keyOf(corner))), found, look, top, fineness);
    for (const corner of next) visited.add(keyOf(corner));
  }
  return [...found.values()];
}

function see(lattice: Lattice, corners: readonly Corner[], found: Map<string, Seen>, look: Look, top: Top, { settled }: Fineness): void {
  for (const [i, j] of corners) {
    const place = withinReach(lattice.place(i, j));
    if (!standsApart(lattice, place, found)) continue;
    const seen = i === 0 && j === 0 && top.seen.posterior.move < settled ? top.seen : look(place, startBeside(found, [i, j], top.seen), settled);
    if (seen !== undefined) found.set(keyOf([i, j]), seen);
  }
}

/** The density that fits what was seen. */
export function densityOn(lattice: Lattice, seen: readonly Seen[]): FittedDensity {
  return fittedDensity(seen.map(lattice.known));
}

/** Only where sites have settled is the evidence that of the readings. */
export function isSettled({ posterior }: Seen): boolean {
  return posterior.converged;
}

/** Corners not yet visited beside those found, with more than a negligible density expected. */
function cornersBeyond(lattice: Lattice, found: ReadonlyMap<string, Seen>, visited: ReadonlySet<string>, more: readonly Seen[], negligible: number): readonly Corner[] {
  const density = densityOn(lattice, [...found.values(), ...more].filter(isSettled));
  if (density.length === 0) return [];
  const least = Math.max(...density.map(({ logDensity }) => logDensity)) + Math.log(negligible);
  const beside = [...found.keys()].map(cornerOf).flatMap(([i, j]) => BESIDE.map(([di, dj]): Corner => [i + di, j + dj]));
  const open = [...new Set(beside.map(keyOf))].filter((key) => !visited.has(key)).map(cornerOf);
  return open.filter(([i, j]) => {
    const at = lattice.place(i, j);
    return isWithin(at) && expectedAt(density, lattice.spot(at)) >= least;
  });
}

/** At the end of what is looked at corners about the top may come to lie beside each other, and one of them will do. */
function standsApart(lattice: Lattice, place: Step, found: ReadonlyMap<string, Seen>): boolean {
  const [x, y] = lattice.spot(place);
  return [...found.values()].every(({ at }) => {
    const [u, v] = lattice.spot(at);
    return Math.hypot(x - u, y - v) > lattice.spacing / 2;
  });
}

function keyOf([i, j]: Corner): string {
  return `${i},${j}`;
}

function cornerOf(key: string): Corner {
  const [i = 0, j = 0] = key.split(",").map(Number);
  return [i, j];
}

/** Sites from which to start: rather those of a corner with the same seating, since frets change their kind with it. */
function startBeside(found: ReadonlyMap<string, Seen>, [i, j]: Corner, otherwise: Seen): Left {
  const [beside] = BESIDE.flatMap(([di, dj]) => found.get(keyOf([i + di, j + dj])) ?? []);
  return (beside ?? otherwise).posterior.sites;
}
