import { belowOf, blocks, bytes, factor, gain, inverse, number, own, panelAt, rowsOf, runAt, runFrom, runHeight, runStart, runTo, setNumber, square, triangle, whole, widthOf } from "./memory";
import { lowerDots, product } from "./product";

/**
 * Fills the entries of A^-1 inside the pattern, block by block from the last: with T = L_J^-1, the inverse of the block's own triangle, L_R its rows below,
 * G = L_R T and Z the inverse, Z_RJ = -Z_RR G and Z_JJ = T' T - G' Z_RJ. Z_RR stands in later blocks.
 * @source K. Takahashi, J. Fagan, M.-S. Chen, Formation of a sparse bus impedance matrix, 1973
 */
export function invert(): void {
  for (let block = blocks - 1; block >= 0; block--) {
    const width = widthOf(block);
    const below = belowOf(block);
    const panel = bytes(whole(panelAt, block));
    if (width === 1) invertColumn(block, factor + panel, inverse + panel, below);
    else invertPanel(block, factor + panel, inverse + panel, width, below);
  }
}

function invertPanel(block: i32, known: usize, into: usize, width: i32, below: i32): void {
  const height = width + below;
  fillTriangle(known, width, height);
  if (below === 0) memory.fill(own, 0, bytes(width * width));
  else {
    // T comes with its sign turned, so that both products come out as they are wanted
    product(known + bytes(width), height, triangle, 1, width, gain, below, width, below, width, false);
    gather(block, below);
    product(square, below, gain, 1, below, into + bytes(width), height, below, below, width, false);
    lowerDots(gain, below, into + bytes(width), height, own, below, width);
  }
  fillOwn(into, width, height);
}

/** -L_J^-1, column by column, with zeros above the diagonal. */
function fillTriangle(known: usize, width: i32, height: i32): void {
  for (let c = 0; c < width; c++) {
    const column = triangle + bytes(c * width);
    for (let i = 0; i < c; i++) setNumber(column, i, 0);
    for (let i = c; i < width; i++) {
      let value: f64 = i === c ? -1 : 0;
      for (let k = c; k < i; k++) value -= number(known, k * height + i) * number(column, k);
      setNumber(column, i, value / number(known, i * height + i));
    }
  }
}

/** The inverse among a block's rows below, as a full square. */
function gather(block: i32, below: i32): void {
  for (let run = whole(runStart, block); run < whole(runStart, block + 1); run++) {
    const from = whole(runFrom, run);
    const rows = rowsOf(run);
    for (let c = from; c < whole(runTo, run); c++) {
      const column = inverse + bytes(whole(runAt, run) + whole(rows, c - from) * whole(runHeight, run));
      for (let i = c; i < below; i++) {
        const value = number(column, whole(rows, i - from));
        setNumber(square, c * below + i, value);
        setNumber(square, i * below + c, value);
      }
    }
  }
}

/** T' T and what comes from below. */
function fillOwn(into: usize, width: i32, height: i32): void {
  for (let c = 0; c < width; c++) {
    for (let i = c; i < width; i++) {
      let sum = number(own, c * width + i);
      for (let k = i; k < width; k++) sum += number(triangle, i * width + k) * number(triangle, c * width + k);
      setNumber(into, c * height + i, sum);
    }
  }
}

/** What `invertPanel` does, for a block of one column: z = -Z_RR g with g = l / l_jj, and z_jj = 1 / l_jj^2 - g' z. */
function invertColumn(block: i32, known: usize, into: usize, below: i32): void {
  const scale = 1 / number(known, 0);
  const column = into + bytes(1);
  for (let i = 0; i < below; i++) {
    setNumber(gain, i, number(known, i + 1) * scale);
    setNumber(column, i, 0);
  }
  for (let run = whole(runStart, block); run < whole(runStart, block + 1); run++) {
    const from = whole(runFrom, run);
    const rows = rowsOf(run);
    for (let c = from; c < whole(runTo, run); c++) {
      const row = whole(rows, c - from);
      const later = inverse + bytes(whole(runAt, run) + row * whole(runHeight, run));
      const g = number(gain, c);
      let sum = number(later, row) * g;
      for (let i = c + 1; i < below; i++) {
        const z = number(later, whole(rows, i - from));
        sum += z * number(gain, i);
        setNumber(column, i, number(column, i) - z * g);
      }
      setNumber(column, c, number(column, c) - sum);
    }
  }
  let variance = scale * scale;
  for (let i = 0; i < below; i++) variance -= number(gain, i) * number(column, i);
  setNumber(into, 0, variance);
}
