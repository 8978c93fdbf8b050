import { rowCovariances } from "../linear/arrow.js";
import { smallInverse, smallProduct } from "../linear/smallSpd.js";
import type { Equation } from "../model/equations.js";
import { woodDeviationRow } from "../model/layout.js";
import type { Layout } from "../model/layout.js";
import { BOARD_MM } from "../model/prior.js";
import { DEVIATION_BASE_MM } from "../model/scatters.js";
import { along } from "./expectationPropagation.js";
import type { NormalPosterior } from "./expectationPropagation.js";
import { unpackInto } from "./naturals.js";
import { fretRows } from "./scatterGrid.js";

/**
 * What the readings and the smooth line say of how far each fret, alike on all lines, stands off the line while nothing is supposed of its kind, and of how far the
 * board stands off it at each place where wood was read: exp(shift' d - d' precision d / 2), frets first, flat row-major.
 */
export type Standings = { readonly stations: readonly number[]; readonly wood: readonly WoodPlace[]; readonly precision: Float64Array; readonly shift: Float64Array };

/** A line and station whose bare wood was read. */
export type WoodPlace = { readonly line: string; readonly station: number };

type Normal = Pick<Standings, "precision" | "shift">;

/**
 * Takes what is known beforehand of frets and wood out of a posterior. Undefined where the posterior is none.
 * @param equations of the readings, whose sites stand before those of the frets
 */
export function standingsOf(layout: Layout, equations: readonly Equation[], { mean, factor, sites }: NormalPosterior): Standings | undefined {
  const frets = fretRows(layout);
  const wood = woodPlaces(layout, equations);
  const rows = [...frets.flatMap((fret, index) => fret.rows.map((row) => ({ row, index }))), ...wood.map(({ line, station }, place) => ({ row: woodDeviationRow(layout, line, station), index: frets.length + place }))];
  const known = smallInverse(rowCovariances(factor, rows.map(({ row }) => row)), rows.length);
  if (known === undefined) return undefined;
  const shift = smallProduct(known.inverse, Float64Array.from(rows, ({ row }) => along(row, mean)));
  takeOutSites(frets.map((fret) => fret.rows.length), equations.length, sites, known.inverse, shift);
  const free = woodIntegrated(summed(rows.map(({ index }) => index), frets.length + wood.length, known.inverse, shift), frets.length);
  return free === undefined ? undefined : { stations: frets.map(({ station }) => station), wood, ...free };
}

function woodPlaces(layout: Layout, equations: readonly Equation[]): readonly WoodPlace[] {
  const read = new Set(equations.flatMap(({ row }) => [...row.index]));
  return [...layout.stations.keys()].flatMap((station) => layout.lines.flatMap((line, at) => (read.has(layout.wood(at, station) ?? -1) ? [{ line, station }] : [])));
}

function takeOutSites(sizes: readonly number[], readings: number, sites: NormalPosterior["sites"], precision: Float64Array, shift: Float64Array): void {
  const all = shift.length;
  let [from, slot] = [0, readings];
  for (const size of sizes) {
    const own = new Float64Array(size * size);
    unpackInto(sites.precision, slot, size, own);
    for (let i = 0; i < size; i++) {
      shift[from + i] = (shift[from + i] ?? 0) - (sites.shift[readings + from + i] ?? 0);
      for (let j = 0; j < size; j++) {
        const at = (from + i) * all + from + j;
        precision[at] = (precision[at] ?? 0) - (own[i * size + j] ?? 0) - (i === j ? 1 / DEVIATION_BASE_MM ** 2 : 0);
      }
    }
    from += size;
    slot += (size * (size + 1)) / 2;
  }
}

/** The same where rows of one number are alike: a fret on all its lines. */
function summed(numberOf: readonly number[], count: number, precision: Float64Array, shift: Float64Array): Normal {
  const sum = { precision: new Float64Array(count * count), shift: new Float64Array(count) };
  const all = shift.length;
  for (const [i, a] of numberOf.entries()) {
    sum.shift[a] = (sum.shift[a] ?? 0) + (shift[i] ?? 0);
    for (const [j, b] of numberOf.entries()) sum.precision[a * count + b] = (sum.precision[a * count + b] ?? 0) + (precision[i * all + j] ?? 0);
  }
  return sum;
}

/**
 * Of the wood's deviations, what the board as a whole stands off: the wood strays about that by its own normal, which stands in the posterior about nothing and is integrated.
 * With P_w the wood's own part and K = P_w + 1 / s^2, once that normal is taken out: P - P_.w K^-1 P_w. and shift - P_.w K^-1 shift_w.
 */
function woodIntegrated({ precision, shift }: Normal, frets: number): Normal | undefined {
  const size = shift.length;
  const wood = size - frets;
  if (wood === 0) return { precision, shift };
  const own = new Float64Array(wood * wood);
  for (let i = 0; i < wood; i++) for (let j = 0; j < wood; j++) own[i * wood + j] = precision[(frets + i) * size + frets + j] ?? 0;
  const spread = smallInverse(own, wood)?.inverse;
  if (spread === undefined) return undefined;
  const known = 1 / BOARD_MM ** 2;
  const columns = Array.from({ length: size }, (_, at) => Float64Array.from({ length: wood }, (_unused, w) => (precision[at * size + frets + w] ?? 0) - (at === frets + w ? known : 0)));
  const gains = columns.map((column) => smallProduct(spread, column));
  const pulled = (at: number, of: (w: number) => number): number => (gains[at] ?? new Float64Array(0)).reduce((sum, gain, w) => sum + gain * of(w), 0);
  return {
    precision: precision.map((value, at) => {
      const [row, column] = [Math.floor(at / size), at % size];
      return value - (row === column && row >= frets ? known : 0) - pulled(row, (w) => columns[column]?.[w] ?? 0);
    }),
    shift: shift.map((value, at) => value - pulled(at, (w) => shift[frets + w] ?? 0)),
  };
}
