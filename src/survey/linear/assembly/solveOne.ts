import { belowOf, blocks, bytes, factor, first, gain, number, panelAt, rowPlace, rowStart, setNumber, vectors, whole, widthOf } from "./memory";
import { dot, takeMultiple } from "./product";

/** L x = x in place for a single right side, whose numbers stand one after the other; blocks with nothing but zeros are passed over. */
export function solveOneForward(): void {
  for (let block = 0; block < blocks; block++) {
    const width = widthOf(block);
    const below = belowOf(block);
    const x = vectors + bytes(whole(first, block));
    if (isZero(x, width)) continue;
    memory.fill(gain, 0, bytes(below));
    for (let j = 0; j < width; j++) {
      const column = columnAt(block, j, width + below);
      const value = number(x, j) / number(column, j);
      setNumber(x, j, value);
      takeMultiple(x + bytes(j + 1), column + bytes(j + 1), value, width - j - 1);
      takeMultiple(gain, column + bytes(width), value, below);
    }
    for (let i = 0; i < below; i++) {
      const place = whole(rowPlace, whole(rowStart, block) + i);
      setNumber(vectors, place, number(vectors, place) + number(gain, i));
    }
  }
}

/** L' x = x in place. */
export function solveOneBackward(): void {
  for (let block = blocks - 1; block >= 0; block--) {
    const width = widthOf(block);
    const below = belowOf(block);
    const x = vectors + bytes(whole(first, block));
    for (let i = 0; i < below; i++) setNumber(gain, i, number(vectors, whole(rowPlace, whole(rowStart, block) + i)));
    for (let j = width - 1; j >= 0; j--) {
      const column = columnAt(block, j, width + below);
      const value = number(x, j) - dot(x + bytes(j + 1), column + bytes(j + 1), width - j - 1) - dot(gain, column + bytes(width), below);
      setNumber(x, j, value / number(column, j));
    }
  }
}

/** Column j of a block of the factor. */
@inline
export function columnAt(block: i32, j: i32, height: i32): usize {
  return factor + bytes(whole(panelAt, block) + j * height);
}

export function isZero(list: usize, numbers: i32): bool {
  for (let k = 0; k < numbers; k++) if (number(list, k) !== 0) return false;
  return true;
}
