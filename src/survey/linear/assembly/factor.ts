import { belowOf, blocks, bytes, diagonal, factor, first, number, panelAt, rowsOf, runAt, runFrom, runHeight, runStart, runTo, setNumber, square, whole, widthOf } from "./memory";
import { product, scale, takeMultiple } from "./product";

/**
 * Turns the matrix that stands where the factor shall stand into its Cholesky factor, block by block, each taken from the later ones as soon as it is factored.
 * @param relTol smallest pivot against its diagonal entry
 * @returns whether it is positive definite within the tolerance
 */
export function factorise(relTol: f64): bool {
  keepDiagonal();
  for (let block = 0; block < blocks; block++) {
    const width = widthOf(block);
    const below = belowOf(block);
    const panel = factor + bytes(whole(panelAt, block));
    if (!factorPanel(panel, diagonal + bytes(whole(first, block)), width, width + below, relTol)) return false;
    if (width === 1) takeColumnFromLater(block, panel + bytes(1), below);
    else takeFromLater(block, panel + bytes(width), width, below);
  }
  return true;
}

function keepDiagonal(): void {
  for (let block = 0; block < blocks; block++) {
    const from = whole(first, block);
    const width = widthOf(block);
    const apart = width + belowOf(block) + 1;
    for (let j = 0; j < width; j++) setNumber(diagonal, from + j, number(factor, whole(panelAt, block) + j * apart));
  }
}

/** Columns of one block, each taken from those after it. */
function factorPanel(panel: usize, diagonals: usize, width: i32, height: i32, relTol: f64): bool {
  for (let j = 0; j < width; j++) {
    const column = panel + bytes(j * height);
    const pivot = number(column, j);
    const entry = number(diagonals, j);
    if (!(entry > 0 && pivot > relTol * entry && pivot < Infinity)) return false;
    const root = sqrt(pivot);
    setNumber(column, j, root);
    scale(column + bytes(j + 1), 1 / root, height - j - 1);
    for (let k = j + 1; k < width; k++) takeMultiple(panel + bytes(k * height + k), column + bytes(k), number(column, k), height - k);
  }
  return true;
}

/** Takes the products of a block's rows with each other, summed over its columns, from the later blocks that the rows belong to. */
function takeFromLater(block: i32, below: usize, width: i32, height: i32): void {
  const apart = width + height;
  for (let run = whole(runStart, block); run < whole(runStart, block + 1); run++) {
    const from = whole(runFrom, run);
    const left = height - from;
    const columns = whole(runTo, run) - from;
    const part = below + bytes(from);
    product(part, apart, part, apart, 1, square, left, width, left, columns, true);
    const rows = rowsOf(run);
    for (let c = 0; c < columns; c++) {
      const into = factor + bytes(whole(runAt, run) + whole(rows, c) * whole(runHeight, run));
      const taken = square + bytes(c * left);
      for (let i = c; i < left; i++) setNumber(into, whole(rows, i), number(into, whole(rows, i)) - number(taken, i));
    }
  }
}

/** The same for a block of one column, of which there are as many as readings on the wood. */
function takeColumnFromLater(block: i32, below: usize, height: i32): void {
  for (let run = whole(runStart, block); run < whole(runStart, block + 1); run++) {
    const from = whole(runFrom, run);
    const left = height - from;
    const part = below + bytes(from);
    const rows = rowsOf(run);
    for (let c = 0; c < whole(runTo, run) - from; c++) {
      const into = factor + bytes(whole(runAt, run) + whole(rows, c) * whole(runHeight, run));
      const f = number(part, c);
      for (let i = c; i < left; i++) setNumber(into, whole(rows, i), number(into, whole(rows, i)) - f * number(part, i));
    }
  }
}
