/**
 * Where the kernels find a pattern and its numbers in linear memory. `kernels.ts` lays them out, under these names, and writes the addresses.
 * The parts of the pattern are described at `ArrowPattern`.
 */

/** Number of blocks. */
export let blocks: i32 = 0;

export let first: usize = 0;
export let rowStart: usize = 0;
export let rowPlace: usize = 0;
export let panelAt: usize = 0;
export let runStart: usize = 0;
export let runFrom: usize = 0;
export let runTo: usize = 0;
export let runAt: usize = 0;
export let runHeight: usize = 0;
export let runRowStart: usize = 0;
export let runRow: usize = 0;

/** Entries of the factor (before it is factored: of the matrix) and of the inverse. */
export let factor: usize = 0;
export let inverse: usize = 0;
/** Room for a product or square as high as the tallest block's rows below, for a block's columns there, and for two squares as wide as the widest block. */
export let square: usize = 0;
export let gain: usize = 0;
export let own: usize = 0;
export let triangle: usize = 0;
/** The matrix's diagonal, by places. */
export let diagonal: usize = 0;
/** Right sides and solutions: a row of `lanes` numbers for each place. */
export let vectors: usize = 0;
export let lanes: i32 = 0;

/** Bytes that so many numbers take. */
@inline
export function bytes(numbers: i32): usize {
  return <usize>numbers << 3;
}

/** Entry k of a list of whole numbers. */
@inline
export function whole(list: usize, k: i32): i32 {
  return load<i32>(list + (<usize>k << 2));
}

/** Entry k of a list of numbers. */
@inline
export function number(list: usize, k: i32): f64 {
  return load<f64>(list + bytes(k));
}

@inline
export function setNumber(list: usize, k: i32, value: f64): void {
  store<f64>(list + bytes(k), value);
}

@inline
export function widthOf(block: i32): i32 {
  return whole(first, block + 1) - whole(first, block);
}

/** Rows that a block fills below its own. */
@inline
export function belowOf(block: i32): i32 {
  return whole(rowStart, block + 1) - whole(rowStart, block);
}

/** The rows of a run: where those of its block, from the run's first on, stand in the later block. */
@inline
export function rowsOf(run: i32): usize {
  return runRow + (<usize>whole(runRowStart, run) << 2);
}
