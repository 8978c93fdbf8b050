import { heightOf } from "./arrowFactor.js";
import type { ArrowFactor } from "./arrowFactor.js";
import { eachLaterColumn } from "./arrowPattern.js";
import type { ArrowPattern } from "./arrowPattern.js";
import { crossProduct } from "./blocks.js";

/**
 * Fills the entries of A^-1 inside the pattern of A, at the same positions as those of A, block by block from the last: with L_J the block's own triangle,
 * L_R its rows below, G = L_R L_J^-1 and Z the inverse, Z_RJ = -Z_RR G and Z_JJ = (L_J L_J')^-1 - G' Z_RJ. Z_RR stands in later blocks.
 * @source K. Takahashi, J. Fagan, M.-S. Chen, Formation of a sparse bus impedance matrix, 1973
 */
export function fillInverse({ pattern, entries }: ArrowFactor, inverse: Float64Array): void {
  const { first, panelAt, tallest, widest } = pattern;
  const { known, gain, own } = roomFor(tallest, widest);
  for (let block = first.length - 2; block >= 0; block--) {
    const width = (first[block + 1] ?? 0) - (first[block] ?? 0);
    const height = heightOf(pattern, block);
    const below = height - width;
    const at = panelAt[block] ?? 0;
    fillGain(entries, gain, at, width, height);
    gather(pattern, inverse, known, block, below);
    // with the sign of G turned, both products come out as they are wanted
    const gains = { of: gain, at: 0, row: 1, column: below };
    crossProduct({ terms: below, rows: below, columns: width }, { of: known, at: 0, row: below, column: 1 }, gains, { of: inverse, at: at + width, height });
    crossProduct({ terms: below, rows: width, columns: width, lower: true }, gains, { of: inverse, at: at + width, row: 1, column: height }, { of: own, at: 0, height: width });
    fillOwn(entries, inverse, own, at, width, height);
  }
}

type Room = { known: Float64Array; gain: Float64Array; own: Float64Array };

const room: Room = { known: new Float64Array(0), gain: new Float64Array(0), own: new Float64Array(0) };

/** Room for one block's work, used again and again. */
function roomFor(tallest: number, widest: number): Room {
  if (room.known.length < tallest * tallest) room.known = new Float64Array(tallest * tallest);
  if (room.gain.length < tallest * widest) room.gain = new Float64Array(tallest * widest);
  if (room.own.length < widest * widest) room.own = new Float64Array(widest * widest);
  return room;
}

/** -L_R L_J^-1, column by column from the last. */
function fillGain(factor: Float64Array, gain: Float64Array, at: number, width: number, height: number): void {
  const below = height - width;
  for (let c = width - 1; c >= 0; c--) {
    const column = at + c * height;
    const scale = 1 / (factor[column + c] ?? 0);
    const into = c * below;
    for (let i = 0; i < below; i++) gain[into + i] = -(factor[column + width + i] ?? 0) * scale;
    let k = c + 1;
    for (; k + 1 < width; k += 2) {
      const f = (factor[column + k] ?? 0) * scale;
      const g = (factor[column + k + 1] ?? 0) * scale;
      const from = k * below;
      const beside = from + below;
      for (let i = 0; i < below; i++) gain[into + i] = (gain[into + i] ?? 0) - f * (gain[from + i] ?? 0) - g * (gain[beside + i] ?? 0);
    }
    if (k < width) {
      const f = (factor[column + k] ?? 0) * scale;
      const from = k * below;
      for (let i = 0; i < below; i++) gain[into + i] = (gain[into + i] ?? 0) - f * (gain[from + i] ?? 0);
    }
  }
}

/** The inverse among a block's rows, as a full square. */
function gather(pattern: ArrowPattern, inverse: Float64Array, known: Float64Array, block: number, below: number): void {
  const { runRow } = pattern;
  eachLaterColumn(pattern, block, (c, column, rows) => {
    for (let i = c, row = c * below, mirror = c * (below + 1); i < below; i++, mirror += below) {
      const value = inverse[column + (runRow[rows + i] ?? 0)] ?? 0;
      known[row + i] = value;
      known[mirror] = value;
    }
  });
}

/** (L_J L_J')^-1 and what comes from below; the triangle's inverse is made where the block's own rows stand, column by column. */
function fillOwn(factor: Float64Array, inverse: Float64Array, fromBelow: Float64Array, at: number, width: number, height: number): void {
  for (let c = 0; c < width; c++) {
    const column = at + c * height;
    for (let i = c; i < width; i++) {
      let value = i === c ? 1 : 0;
      for (let k = c; k < i; k++) value -= (factor[at + k * height + i] ?? 0) * (inverse[column + k] ?? 0);
      inverse[column + i] = value / (factor[at + i * height + i] ?? 0);
    }
  }
  // an entry takes only what stands in its own column and to its right, from its own row down: so columns from the left, rows from above
  for (let c = 0; c < width; c++) {
    const column = at + c * height;
    for (let i = c; i < width; i++) {
      const other = at + i * height;
      let sum = fromBelow[c * width + i] ?? 0;
      for (let k = i; k < width; k++) sum += (inverse[other + k] ?? 0) * (inverse[column + k] ?? 0);
      inverse[column + i] = sum;
    }
  }
}
