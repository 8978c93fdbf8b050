import { elimination } from "./elimination.js";
import type { ArrowShape } from "./elimination.js";

/** A row of coefficients that are zero except at `index`; in any order, an index that comes twice counts twice. */
export type SparseRow = { readonly index: readonly number[]; readonly coefficient: readonly number[] };

/**
 * Where the entries of a symmetric matrix and of its Cholesky factor stand. Unknowns get places in the order of their elimination, the border's last.
 * Neighbouring places that fill nearly the same rows are one block: its columns stand one after the other, each holding the block's own rows and then
 * those that it fills below, zeros of neighbours among them. So all arithmetic is that of small dense matrices.
 */
export type ArrowPattern = {
  readonly shape: ArrowShape;
  /** Number of places of the border's. */
  readonly border: number;
  /** Place of each unknown. */
  readonly place: Int32Array;
  /** First place of each block, and one more for the end; the block of each place. */
  readonly first: Int32Array;
  readonly blockOf: Int32Array;
  /** Places below each block that it fills, ascending. */
  readonly rowStart: Int32Array;
  readonly rowPlace: Int32Array;
  /** Where the columns of each block begin. */
  readonly panelAt: Int32Array;
  /** Runs of a block's rows that belong to one later block: first row and one past the last, counted from the block's first row below. */
  readonly runStart: Int32Array;
  readonly runFrom: Int32Array;
  readonly runTo: Int32Array;
  /** For each run: where the later block's columns begin, how high they are, and which of its rows are this block's, from the run's first on: those in the run are columns of its as well. */
  readonly runAt: Int32Array;
  readonly runHeight: Int32Array;
  readonly runRowStart: Int32Array;
  readonly runRow: Int32Array;
  readonly entries: number;
  /** Most rows below any block, and most columns in any. */
  readonly tallest: number;
  readonly widest: number;
};

/** Zeros that a block may hold for the sake of being one, as a share of its entries. */
const ZERO_SHARE = 0.1;
/** In a block within itself the arithmetic is slower than between blocks. */
const MOST_WIDE = 12;

/**
 * The pattern in which a matrix made of the given rows, each times itself, can be held and factored without further fill.
 * @param shape unknowns 0..banded - 1 in order of place, then the border's
 * @param rows indices of the unknowns in each row that will be added
 * @throws {RangeError} a size that is not a whole number of 0 or more, or an index outside the matrix
 * @source structure of the factor by the elimination tree, and blocks of like columns (supernodes): T. A. Davis, Direct Methods for Sparse Linear Systems, 2006, sections 4.2 and 4.8 (from memory)
 */
export function arrowPattern(shape: ArrowShape, rows: readonly (readonly number[])[]): ArrowPattern {
  for (const [name, size] of [["banded", shape.banded], ["border", shape.border]] as const) {
    if (!Number.isInteger(size) || size < 0) throw new RangeError(`Cannot make a matrix: expected ${name} to be a whole number of 0 or more, got ${size}`);
  }
  for (const row of rows) for (let k = 0; k < row.length; k++) checkIndex(shape, row[k] ?? NaN);
  const { order, inner } = elimination(shape, rows);
  const place = new Int32Array(order.length);
  for (const [at, unknown] of order.entries()) place[unknown] = at;
  const blocks = blocksOf(filledColumns(order.length, place, rows));
  return { shape, border: order.length - inner, place, ...blocks, ...runsOf(blocks) };
}

function checkIndex({ banded, border }: ArrowShape, at: number): void {
  if (!Number.isInteger(at) || at < 0 || at >= banded + border) {
    throw new RangeError(`Cannot use this row: expected indices in 0..${banded + border - 1}, got ${at}`);
  }
}

/**
 * Checks that a row is one of this matrix's unknowns.
 * @throws {RangeError} an index outside the matrix, or lists of unlike length
 */
export function checkSparseRow(shape: ArrowShape, { index, coefficient }: SparseRow): void {
  if (index.length !== coefficient.length) {
    throw new RangeError(`Cannot use this row: expected as many coefficients as indices, got ${coefficient.length} and ${index.length}`);
  }
  for (let k = 0; k < index.length; k++) checkIndex(shape, index[k] ?? NaN);
}

/**
 * Rows of each column of the factor below its diagonal, ascending: a row of the factor reaches all that its own columns lead to in the elimination tree.
 * Of the unknowns held together by a row only the first to be eliminated need name the others: its elimination ties these to each other.
 */
function filledColumns(size: number, place: Int32Array, rows: readonly (readonly number[])[]): readonly (readonly number[])[] {
  const own = Array.from({ length: size }, (): number[] => []);
  for (const row of rows) {
    let lowest = size;
    for (let k = 0; k < row.length; k++) lowest = Math.min(lowest, place[row[k] ?? 0] ?? 0);
    for (let k = 0; k < row.length; k++) {
      const at = place[row[k] ?? 0] ?? 0;
      if (at > lowest) own[at]?.push(lowest);
    }
  }
  const parent = new Int32Array(size).fill(-1);
  const seen = new Int32Array(size).fill(-1);
  const filled = Array.from({ length: size }, (): number[] => []);
  for (let i = 0; i < size; i++) {
    const columns = own[i] ?? [];
    seen[i] = i;
    for (let k = 0; k < columns.length; k++) {
      for (let j = columns[k] ?? i; seen[j] !== i; j = parent[j] ?? i) {
        seen[j] = i;
        filled[j]?.push(i);
        if (parent[j] === -1) parent[j] = i;
      }
    }
  }
  return filled;
}

type Blocks = Pick<ArrowPattern, "first" | "blockOf" | "rowStart" | "rowPlace" | "panelAt" | "entries" | "tallest" | "widest">;

/** A column joins the block before it if it is the first row that this fills, and few zeros are held for it. */
function blocksOf(filled: readonly (readonly number[])[]): Blocks {
  const first: number[] = [];
  let zeros = 0;
  for (const [j, rows] of filled.entries()) {
    const before = filled[j - 1] ?? [];
    const width = j - (first.at(-1) ?? 0);
    zeros += width * (rows.length + 1 - before.length);
    if (j > 0 && width < MOST_WIDE && before[0] === j && zeros <= ZERO_SHARE * (width + 1) * (width + 1 + rows.length)) continue;
    first.push(j);
    zeros = 0;
  }
  const below = first.map((_, k) => filled[(first[k + 1] ?? filled.length) - 1] ?? []);
  const widths = first.map((from, k) => (first[k + 1] ?? filled.length) - from);
  const blockOf = new Int32Array(filled.length);
  for (const [k, from] of first.entries()) blockOf.fill(k, from, from + (widths[k] ?? 0));
  return {
    first: Int32Array.from([...first, filled.length]), blockOf,
    rowStart: startsOf(below.map((rows) => rows.length)), rowPlace: Int32Array.from(below.flat()),
    ...panelsOf(startsOf(widths.map((width, k) => width * (width + (below[k]?.length ?? 0))))),
    tallest: below.reduce((most, rows) => Math.max(most, rows.length), 0), widest: widths.reduce((most, width) => Math.max(most, width), 0),
  };
}

function panelsOf(panelAt: Int32Array): Pick<Blocks, "panelAt" | "entries"> {
  return { panelAt, entries: panelAt.at(-1) ?? 0 };
}

/** Where each of several lists begins when they stand one after the other, and where the last ends. */
function startsOf(lengths: readonly number[]): Int32Array {
  const starts = new Int32Array(lengths.length + 1);
  for (const [k, length] of lengths.entries()) starts[k + 1] = (starts[k] ?? 0) + length;
  return starts;
}

type Runs = Pick<ArrowPattern, "runStart" | "runFrom" | "runTo" | "runAt" | "runHeight" | "runRowStart" | "runRow">;

function runsOf({ first, blockOf, rowStart, rowPlace, panelAt }: Blocks): Runs {
  const [runStart, runFrom, runTo, runAt, runHeight, runRowStart, runRow]: number[][] = [[0], [], [], [], [], [0], []];
  for (let block = 0; block + 1 < first.length; block++) {
    const [begin, end] = [rowStart[block] ?? 0, rowStart[block + 1] ?? 0];
    for (let from = begin; from < end; ) {
      const later = blockOf[rowPlace[from] ?? 0] ?? 0;
      let to = from;
      while (to < end && blockOf[rowPlace[to] ?? 0] === later) to++;
      const width = (first[later + 1] ?? 0) - (first[later] ?? 0);
      const height = width + (rowStart[later + 1] ?? 0) - (rowStart[later] ?? 0);
      runFrom?.push(from - begin);
      runTo?.push(to - begin);
      runAt?.push(panelAt[later] ?? 0);
      runHeight?.push(height);
      for (let t = from, u = rowStart[later] ?? 0; t < end; t++) {
        const place = rowPlace[t] ?? 0;
        if (place < (first[later + 1] ?? 0)) runRow?.push(place - (first[later] ?? 0));
        else {
          while ((rowPlace[u] ?? Infinity) < place) u++;
          runRow?.push(width + u - (rowStart[later] ?? 0));
        }
      }
      runRowStart?.push(runRow?.length ?? 0);
      from = to;
    }
    runStart?.push(runFrom?.length ?? 0);
  }
  const numbers = (list: readonly number[] | undefined): Int32Array => Int32Array.from(list ?? []);
  return { runStart: numbers(runStart), runFrom: numbers(runFrom), runTo: numbers(runTo), runAt: numbers(runAt), runHeight: numbers(runHeight), runRowStart: numbers(runRowStart), runRow: numbers(runRow) };
}

/** Position of the entry of two places in the array of entries, or -1 where the pattern holds none. */
export function entryAt({ first, blockOf, rowStart, rowPlace, panelAt }: ArrowPattern, a: number, b: number): number {
  const i = Math.max(a, b);
  const j = Math.min(a, b);
  const block = blockOf[j] ?? 0;
  const from = first[block] ?? 0;
  const width = (first[block + 1] ?? 0) - from;
  const start = rowStart[block] ?? 0;
  const end = rowStart[block + 1] ?? 0;
  const column = (panelAt[block] ?? 0) + (j - from) * (width + end - start);
  if (i < from + width) return column + i - from;
  let low = start;
  let high = end - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const place = rowPlace[middle] ?? 0;
    if (place === i) return column + width + middle - start;
    if (place < i) low = middle + 1;
    else high = middle - 1;
  }
  return -1;
}

/**
 * Adds weight times row' row to a matrix.
 * @param entries the matrix, `pattern.entries` numbers, zeros at first
 * @param weight precision of an observation of this row; negative takes it away again
 * @throws {RangeError} an index outside the matrix, unknowns that the pattern does not hold together, or lists of unlike length; the matrix is then unchanged
 */
export function addOuter(pattern: ArrowPattern, entries: Float64Array, row: SparseRow, weight: number): void {
  checkSparseRow(pattern.shape, row);
  const { place } = pattern;
  const { index, coefficient } = row;
  const size = index.length;
  if (positions.length < size * size) positions = new Int32Array(size * size);
  for (let i = 0, t = 0; i < size; i++) {
    const from = place[index[i] ?? 0] ?? 0;
    for (let j = 0; j < size; j++, t++) {
      const to = place[index[j] ?? 0] ?? 0;
      const found = to > from ? NONE : entryAt(pattern, from, to);
      if (found === -1) throw new RangeError(`Cannot use this row: the pattern does not hold the unknowns ${Math.min(index[i] ?? 0, index[j] ?? 0)} and ${Math.max(index[i] ?? 0, index[j] ?? 0)} together (name the row when the pattern is made)`);
      positions[t] = found;
    }
  }
  for (let i = 0, t = 0; i < size; i++) {
    const scaled = weight * (coefficient[i] ?? 0);
    for (let j = 0; j < size; j++, t++) {
      const entry = positions[t] ?? NONE;
      if (entry !== NONE) entries[entry] = (entries[entry] ?? 0) + scaled * (coefficient[j] ?? 0);
    }
  }
}

/** Room for where the entries of one row times itself stand, used again and again. */
let positions = new Int32Array(0);

/** Above the diagonal: the matrix is symmetric, and only its lower half is held. */
const NONE = -2;
