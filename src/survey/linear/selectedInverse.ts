import { heightOf } from "./arrowFactor.js";
import type { ArrowFactor } from "./arrowFactor.js";
import type { ArrowPattern } from "./arrowPattern.js";
import { crossProduct } from "./blocks.js";

/**
 * Fills the entries of A^-1 inside the pattern of A, at the same positions as those of A, block by block from the last: with T = L_J^-1, the inverse of the block's own triangle,
 * L_R its rows below, G = L_R T and Z the inverse, Z_RJ = -Z_RR G and Z_JJ = T' T - G' Z_RJ. Z_RR stands in later blocks.
 * @source K. Takahashi, J. Fagan, M.-S. Chen, Formation of a sparse bus impedance matrix, 1973
 */
export function fillInverse({ pattern, entries }: ArrowFactor, inverse: Float64Array): void {
  const { first, panelAt, tallest, widest } = pattern;
  const { known, gain, own, triangle } = roomFor(tallest, widest);
  for (let block = first.length - 2; block >= 0; block--) {
    const width = (first[block + 1] ?? 0) - (first[block] ?? 0);
    const height = heightOf(pattern, block);
    const below = height - width;
    const at = panelAt[block] ?? 0;
    if (width === 1) {
      fillColumn(pattern, entries, inverse, gain, block, at, below);
      continue;
    }
    fillTriangle(entries, triangle, at, width, height);
    if (below > 0) {
      const gains = { of: gain, at: 0, row: 1, column: below };
      // T comes with its sign turned, so that both products come out as they are wanted
      crossProduct({ terms: width, rows: below, columns: width }, { of: entries, at: at + width, row: height, column: 1 }, { of: triangle, at: 0, row: 1, column: width }, { of: gain, at: 0, height: below });
      gather(pattern, inverse, known, block, below);
      crossProduct({ terms: below, rows: below, columns: width }, { of: known, at: 0, row: below, column: 1 }, gains, { of: inverse, at: at + width, height });
      crossProduct({ terms: below, rows: width, columns: width, lower: true }, gains, { of: inverse, at: at + width, row: 1, column: height }, { of: own, at: 0, height: width });
    } else own.fill(0);
    fillOwn(triangle, inverse, own, at, width, height);
  }
}

/** The same for a block of one column: z = -Z_RR g with g = l / l_jj, and z_jj = 1 / l_jj^2 - g' z. */
function fillColumn({ runStart, runFrom, runTo, runAt, runHeight, runRowStart, runRow }: ArrowPattern, factor: Float64Array, inverse: Float64Array, gain: Float64Array, block: number, at: number, below: number): void {
  const scale = 1 / (factor[at] ?? 0);
  const rowsAt = at + 1;
  for (let i = 0; i < below; i++) {
    gain[i] = (factor[rowsAt + i] ?? 0) * scale;
    inverse[rowsAt + i] = 0;
  }
  for (let run = runStart[block] ?? 0; run < (runStart[block + 1] ?? 0); run++) {
    const from = runFrom[run] ?? 0;
    const rows = (runRowStart[run] ?? 0) - from;
    for (let c = from; c < (runTo[run] ?? 0); c++) {
      const column = (runAt[run] ?? 0) + (runRow[rows + c] ?? 0) * (runHeight[run] ?? 0);
      const own = gain[c] ?? 0;
      let sum = (inverse[column + (runRow[rows + c] ?? 0)] ?? 0) * own;
      for (let i = c + 1; i < below; i++) {
        const known = inverse[column + (runRow[rows + i] ?? 0)] ?? 0;
        sum += known * (gain[i] ?? 0);
        inverse[rowsAt + i] = (inverse[rowsAt + i] ?? 0) - known * own;
      }
      inverse[rowsAt + c] = (inverse[rowsAt + c] ?? 0) - sum;
    }
  }
  let variance = scale * scale;
  for (let i = 0; i < below; i++) variance -= (gain[i] ?? 0) * (inverse[rowsAt + i] ?? 0);
  inverse[at] = variance;
}

type Room = { known: Float64Array; gain: Float64Array; own: Float64Array; triangle: Float64Array };

const room: Room = { known: new Float64Array(0), gain: new Float64Array(0), own: new Float64Array(0), triangle: new Float64Array(0) };

/** Room for one block's work, used again and again. */
function roomFor(tallest: number, widest: number): Room {
  if (room.known.length < tallest * tallest) room.known = new Float64Array(tallest * tallest);
  if (room.gain.length < tallest * widest) room.gain = new Float64Array(tallest * widest);
  if (room.own.length < widest * widest) {
    room.own = new Float64Array(widest * widest);
    room.triangle = new Float64Array(widest * widest);
  }
  return room;
}

/** -L_J^-1, column by column, with zeros above the diagonal. */
function fillTriangle(factor: Float64Array, triangle: Float64Array, at: number, width: number, height: number): void {
  for (let c = 0; c < width; c++) {
    const column = c * width;
    for (let i = 0; i < c; i++) triangle[column + i] = 0;
    for (let i = c; i < width; i++) {
      let value = i === c ? -1 : 0;
      for (let k = c; k < i; k++) value -= (factor[at + k * height + i] ?? 0) * (triangle[column + k] ?? 0);
      triangle[column + i] = value / (factor[at + i * height + i] ?? 0);
    }
  }
}

/** The inverse among a block's rows, as a full square. */
function gather({ runStart, runFrom, runTo, runAt, runHeight, runRowStart, runRow }: ArrowPattern, inverse: Float64Array, known: Float64Array, block: number, below: number): void {
  for (let run = runStart[block] ?? 0; run < (runStart[block + 1] ?? 0); run++) {
    const from = runFrom[run] ?? 0;
    const to = runTo[run] ?? 0;
    const rows = (runRowStart[run] ?? 0) - from;
    for (let c = from; c < to; c++) {
      const column = (runAt[run] ?? 0) + (runRow[rows + c] ?? 0) * (runHeight[run] ?? 0);
      const row = c * below;
      for (let i = c, mirror = row + c; i < below; i++, mirror += below) {
        const value = inverse[column + (runRow[rows + i] ?? 0)] ?? 0;
        known[row + i] = value;
        known[mirror] = value;
      }
    }
  }
}

/** T' T and what comes from below. */
function fillOwn(triangle: Float64Array, inverse: Float64Array, fromBelow: Float64Array, at: number, width: number, height: number): void {
  for (let c = 0; c < width; c++) {
    for (let i = c; i < width; i++) {
      let sum = fromBelow[c * width + i] ?? 0;
      for (let k = i; k < width; k++) sum += (triangle[i * width + k] ?? 0) * (triangle[c * width + k] ?? 0);
      inverse[at + c * height + i] = sum;
    }
  }
}
