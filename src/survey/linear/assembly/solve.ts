import { belowOf, blocks, bytes, first, lanes, number, rowPlace, rowStart, vectors, whole, widthOf } from "./memory";
import { scale, takeMultiple } from "./product";
import { columnAt, isZero, solveOneBackward, solveOneForward } from "./solveOne";

/** L X = X in place, all right sides together; blocks with nothing but zeros are passed over. */
export function solveForward(): void {
  if (lanes === 1) return solveOneForward();
  for (let block = 0; block < blocks; block++) {
    const width = widthOf(block);
    const below = belowOf(block);
    const mine = rowAt(whole(first, block));
    if (isZero(mine, width * lanes)) continue;
    for (let j = 0; j < width; j++) {
      const column = columnAt(block, j, width + below);
      const x = mine + bytes(j * lanes);
      scale(x, 1 / number(column, j), lanes);
      for (let i = j + 1; i < width; i++) takeMultiple(mine + bytes(i * lanes), x, number(column, i), lanes);
      for (let i = 0; i < below; i++) takeMultiple(rowAt(whole(rowPlace, whole(rowStart, block) + i)), x, number(column, width + i), lanes);
    }
  }
}

/** L' X = X in place. */
export function solveBackward(): void {
  if (lanes === 1) return solveOneBackward();
  for (let block = blocks - 1; block >= 0; block--) {
    const width = widthOf(block);
    const below = belowOf(block);
    const mine = rowAt(whole(first, block));
    for (let j = width - 1; j >= 0; j--) {
      const column = columnAt(block, j, width + below);
      const x = mine + bytes(j * lanes);
      for (let i = j + 1; i < width; i++) takeMultiple(x, mine + bytes(i * lanes), number(column, i), lanes);
      for (let i = 0; i < below; i++) takeMultiple(x, rowAt(whole(rowPlace, whole(rowStart, block) + i)), number(column, width + i), lanes);
      scale(x, 1 / number(column, j), lanes);
    }
  }
}

@inline
function rowAt(place: i32): usize {
  return vectors + bytes(place * lanes);
}
