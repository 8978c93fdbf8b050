import { rowCovariances } from "../linear/arrow.js";
import { smallInverse, smallProduct } from "../linear/smallSpd.js";
import type { Layout } from "../model/layout.js";
import { DEVIATION_BASE_MM } from "../model/scatters.js";
import { along } from "./expectationPropagation.js";
import type { NormalPosterior } from "./expectationPropagation.js";
import { unpackInto } from "./naturals.js";
import { fretRows } from "./scatterGrid.js";

/**
 * What the readings and the smooth line say of how far each fret stands off the line on all lines alike, while nothing is supposed of its kind:
 * exp(shift' d - d' precision d / 2), flat row-major.
 */
export type FretStandings = { readonly stations: readonly number[]; readonly precision: Float64Array; readonly shift: Float64Array };

/**
 * Takes the frets' sites, and the wide normal they stand on, out of a posterior.
 * @param readings number of sites before those of the frets
 */
export function fretStandings(layout: Layout, readings: number, { mean, factor, sites }: NormalPosterior): FretStandings | undefined {
  const frets = fretRows(layout);
  const rows = frets.flatMap((fret, index) => fret.rows.map((row) => ({ row, index })));
  const size = rows.length;
  const covariance = rowCovariances(factor, rows.map(({ row }) => row));
  const known = smallInverse(covariance, size);
  if (known === undefined) return undefined;
  const shift = smallProduct(known.inverse, Float64Array.from(rows, ({ row }) => along(row, mean)));
  takeOutSites(frets.map((fret) => fret.rows.length), readings, sites, known.inverse, shift);
  return { stations: frets.map(({ station }) => station), ...alike(rows.map(({ index }) => index), frets.length, known.inverse, shift) };
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

/** The same where a fret stands alike on all its lines. */
function alike(fretOf: readonly number[], frets: number, precision: Float64Array, shift: Float64Array): Pick<FretStandings, "precision" | "shift"> {
  const sum = { precision: new Float64Array(frets * frets), shift: new Float64Array(frets) };
  const all = shift.length;
  for (const [i, a] of fretOf.entries()) {
    sum.shift[a] = (sum.shift[a] ?? 0) + (shift[i] ?? 0);
    for (const [j, b] of fretOf.entries()) sum.precision[a * frets + b] = (sum.precision[a * frets + b] ?? 0) + (precision[i * all + j] ?? 0);
  }
  return sum;
}
