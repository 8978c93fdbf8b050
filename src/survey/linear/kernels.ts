import type { ArrowPattern } from "./arrowPattern.js";
import { KERNEL_CODE } from "./kernelCode.js";

/**
 * The arithmetic of the blocks, done in linear memory by what `assembly/` holds the source of. Here memory is laid out, numbers are copied in and out.
 * A pattern and one factor stay there until others come, so that what is asked of a factor one after the other finds it.
 */

/** The lists of a pattern that the kernels read. */
const LISTS = ["first", "rowStart", "rowPlace", "panelAt", "runStart", "runFrom", "runTo", "runAt", "runHeight", "runRowStart", "runRow"] as const;
/** What they write into; `vectors` comes last, as it alone grows with what is asked. */
const ROOMS = ["factor", "inverse", "diagonal", "square", "gain", "own", "triangle", "vectors"] as const;

type List = (typeof LISTS)[number];
type Room = (typeof ROOMS)[number];

type Kernels = Readonly<Record<List | Room | "blocks" | "lanes", { value: number }>> & {
  readonly memory: { readonly buffer: ArrayBuffer; readonly grow: (pages: number) => number };
  readonly factorise: (relTol: number) => number;
  readonly invert: () => void;
  readonly solveForward: () => void;
  readonly solveBackward: () => void;
};

// of the platform, but not in the language's own library of types
declare const WebAssembly: { readonly Module: new (code: Uint8Array) => object; readonly Instance: new (module: object) => { readonly exports: Kernels } };

const kernels = new WebAssembly.Instance(new WebAssembly.Module(Uint8Array.from(atob(KERNEL_CODE), (byte) => byte.charCodeAt(0)))).exports;

/** Entries of a factor: kept in an array, or standing where the kernels have made it. */
export type FactorEntries = Float64Array | Standing;

/** A factor that stands in the kernels' memory until another takes its place; what is asked of it afterwards is refused. */
export type Standing = { readonly isStanding: true };

let heldPattern: ArrowPattern | undefined;
let heldFactor: FactorEntries | undefined;
let isInverted = false;

/** Where a matrix of this pattern is to be written, to be factored there next. Good until anything else is asked of the kernels. */
export function matrixRoom(pattern: ArrowPattern): Float64Array {
  hold(pattern);
  stands(undefined);
  return room("factor", pattern.entries);
}

/** Makes the matrix that was just written its Cholesky factor; undefined where it is not positive definite. @param relTol smallest pivot against its diagonal entry */
export function factorise(relTol: number): Standing | undefined {
  if (kernels.factorise(relTol) === 0) return undefined;
  const standing: Standing = { isStanding: true };
  stands(standing);
  return standing;
}

/** Entries of a factor, or of its inverse inside the pattern. Good until anything else is asked of the kernels. @throws {Error} a factor that stands no longer */
export function entriesOf(pattern: ArrowPattern, factor: FactorEntries, what: "factor" | "inverse"): Float64Array {
  holdFactor(pattern, factor);
  if (what === "inverse" && !isInverted) {
    kernels.invert();
    isInverted = true;
  }
  return room(what, pattern.entries);
}

/** Which of L and L' are solved for, one after the other. */
export type Way = "forward" | "backward" | "both";

/** Solves with a factor for several right sides at once, in place, by places. @throws {Error} a factor that stands no longer */
export function solveInPlace(pattern: ArrowPattern, factor: FactorEntries, columns: readonly Float64Array[], way: Way): void {
  if (columns.length === 0) return;
  holdFactor(pattern, factor);
  // several are done two at a time, so that they are made even
  const lanes = columns.length === 1 ? 1 : columns.length + (columns.length % 2);
  const places = pattern.place.length;
  reach(kernels.vectors.value + 8 * places * lanes);
  kernels.lanes.value = lanes;
  const rows = room("vectors", places * lanes);
  if (lanes === 1) rows.set(columns[0] ?? rows);
  else {
    rows.fill(0);
    for (const [lane, column] of columns.entries()) for (let place = 0, at = lane; place < places; place++, at += lanes) rows[at] = column[place] ?? 0;
  }
  if (way !== "backward") kernels.solveForward();
  if (way !== "forward") kernels.solveBackward();
  if (lanes === 1) columns[0]?.set(rows);
  else for (const [lane, column] of columns.entries()) for (let place = 0, at = lane; place < places; place++, at += lanes) column[place] = rows[at] ?? 0;
}

function holdFactor(pattern: ArrowPattern, factor: FactorEntries): void {
  hold(pattern);
  if (heldFactor === factor) return;
  if (!(factor instanceof Float64Array)) throw new Error("Cannot use this factor: it was to be used before another was made (not expected; reported so that it can be mended)");
  room("factor", pattern.entries).set(factor);
  stands(factor);
}

function stands(factor: FactorEntries | undefined): void {
  [heldFactor, isInverted] = [factor, false];
}

/** Addresses are multiples of this, so that two numbers can be read in one go. */
const ALIGNED = 16;

/** Lays a pattern out, with room for all that is made of it. */
function hold(pattern: ArrowPattern): void {
  if (heldPattern === pattern) return;
  heldPattern = undefined;
  stands(undefined);
  let end = ALIGNED;
  const placed = (name: List | Room, bytes: number): number => {
    const at = end;
    kernels[name].value = at;
    end += Math.ceil(bytes / ALIGNED) * ALIGNED;
    return at;
  };
  const { entries, tallest, widest, place } = pattern;
  const numbers: Readonly<Record<Room, number>> = { factor: entries, inverse: entries, diagonal: place.length, square: tallest * tallest, gain: tallest * widest, own: widest * widest, triangle: widest * widest, vectors: 0 };
  const lists = LISTS.map((name) => ({ list: pattern[name], at: placed(name, 4 * pattern[name].length) }));
  for (const name of ROOMS) placed(name, 8 * numbers[name]);
  reach(end);
  for (const { list, at } of lists) new Int32Array(kernels.memory.buffer, at, list.length).set(list);
  kernels.blocks.value = pattern.first.length - 1;
  heldPattern = pattern;
}

const PAGE_BYTES = 65_536;

/** Grows memory to so many bytes where it is smaller; it never shrinks. @throws {RangeError} more than the machine has left */
function reach(bytes: number): void {
  const missing = Math.ceil((bytes - kernels.memory.buffer.byteLength) / PAGE_BYTES);
  if (missing > 0) kernels.memory.grow(missing);
}

/** Numbers where a room begins. Asked for anew each time: memory that has grown stands elsewhere. */
function room(name: Room, numbers: number): Float64Array {
  return new Float64Array(kernels.memory.buffer, kernels[name].value, numbers);
}
