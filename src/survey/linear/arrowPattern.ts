/** How many unknowns stand in order of place, and how many may touch every other. */
export type ArrowShape = { readonly banded: number; readonly border: number };

/** A row of coefficients that are zero except at `index`; in any order, an index that comes twice counts twice. */
export type SparseRow = { readonly index: readonly number[]; readonly coefficient: readonly number[] };

/**
 * Where the entries of a symmetric matrix [[B, C'], [C, D]] and of its Cholesky factor stand: B sparse, C and D dense.
 * Unknowns get places: those eliminated sparsely come first ("inner"), the border last. All entries lie in one array:
 * B below the diagonal by rows, its diagonal, C by inner unknown with `stride` numbers each, D by rows of `stride`.
 */
export type ArrowPattern = {
  readonly shape: ArrowShape;
  readonly inner: number;
  readonly border: number;
  /** `border` rounded up to fours, so that the loops over the border need no remainder. */
  readonly stride: number;
  /** Place of each unknown. */
  readonly place: Int32Array;
  /** Columns of B's factor in each row below the diagonal, ascending; they stand at the same positions in the array of entries. */
  readonly rowStart: Int32Array;
  readonly rowColumn: Int32Array;
  /** Rows of B's factor in each column, ascending, and where those entries stand. */
  readonly columnStart: Int32Array;
  readonly columnRow: Int32Array;
  readonly columnEntry: Int32Array;
  readonly diagonalAt: number;
  readonly edgeAt: number;
  readonly cornerAt: number;
  readonly entries: number;
};

/** A border unknown that reaches over no more than this share of the others is eliminated among them: one of many short settings. */
const LOCAL_SHARE = 0.25;
/** Unknowns that touch few others and not each other go first: they fill nothing in. */
const FEW_NEIGHBOURS = 3;

/**
 * The pattern in which a matrix made of the given rows, each times itself, can be held and factored without further fill.
 * @param shape unknowns 0..banded - 1 in order of place, then the border's
 * @param rows indices of the unknowns in each row that will be added
 * @throws {RangeError} a size that is not a whole number of 0 or more, or an index outside the matrix
 * @source row structure of the factor by the elimination tree: T. A. Davis, Direct Methods for Sparse Linear Systems, 2006, section 4.2 (from memory)
 */
export function arrowPattern(shape: ArrowShape, rows: readonly (readonly number[])[]): ArrowPattern {
  for (const [name, size] of [["banded", shape.banded], ["border", shape.border]] as const) {
    if (!Number.isInteger(size) || size < 0) throw new RangeError(`Cannot make a matrix: expected ${name} to be a whole number of 0 or more, got ${size}`);
  }
  for (const row of rows) for (const at of row) checkIndex(shape, at);
  const { order, inner } = elimination(shape, rows);
  const place = new Int32Array(order.length);
  for (const [at, unknown] of order.entries()) place[unknown] = at;
  return { shape, inner, border: order.length - inner, place, ...factorRows(inner, order.length - inner, place, rows) };
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
  for (const at of index) checkIndex(shape, at);
}

/** The order of elimination: leaves, then the unknowns in order of place with local settings after the last they touch, then the border. */
function elimination({ banded, border }: ArrowShape, rows: readonly (readonly number[])[]): { readonly order: readonly number[]; readonly inner: number } {
  const first = new Int32Array(border).fill(banded);
  const last = new Int32Array(border).fill(-1);
  for (const row of rows) {
    let [low, high] = [banded, -1];
    for (const at of row) {
      if (at >= banded) continue;
      if (at < low) low = at;
      if (at > high) high = at;
    }
    for (const at of row) {
      if (at < banded) continue;
      first[at - banded] = Math.min(first[at - banded] ?? banded, low);
      last[at - banded] = Math.max(last[at - banded] ?? -1, high);
    }
  }
  const lastOf = (at: number): number => last[at - banded] ?? -1;
  const isLocal = (at: number): boolean => lastOf(at) >= 0 && lastOf(at) - (first[at - banded] ?? 0) <= LOCAL_SHARE * banded;
  const all = Array.from({ length: border }, (_, k) => banded + k);
  // the sort is stable: of columns that end together the lower one stays first
  const local = all.filter(isLocal).sort((a, b) => lastOf(a) - lastOf(b));
  const sequence: number[] = [];
  let next = 0;
  for (let at = 0; at < banded; at++) {
    sequence.push(at);
    for (let own = local[next]; own !== undefined && lastOf(own) === at; own = local[++next]) sequence.push(own);
  }
  const leaf = leavesAmong(sequence, banded + border, rows);
  const order = [...sequence.filter((at) => leaf[at] === 1), ...sequence.filter((at) => leaf[at] !== 1), ...all.filter((at) => !isLocal(at))];
  return { order, inner: sequence.length };
}

function leavesAmong(sequence: readonly number[], size: number, rows: readonly (readonly number[])[]): Uint8Array {
  const inside = new Uint8Array(size);
  for (const at of sequence) inside[at] = 1;
  const neighbours = Array.from({ length: size }, (): number[] => []);
  for (const row of rows) {
    for (const at of row) {
      const own = neighbours[at];
      if (own === undefined || own.length > FEW_NEIGHBOURS) continue;
      for (const other of row) if (other !== at && inside[other] === 1 && !own.includes(other)) own.push(other);
    }
  }
  const leaf = new Uint8Array(size);
  for (const at of sequence) {
    const own = neighbours[at] ?? [];
    if (own.length <= FEW_NEIGHBOURS && !own.some((other) => leaf[other] === 1)) leaf[at] = 1;
  }
  return leaf;
}

type Positions = Omit<ArrowPattern, "shape" | "inner" | "border" | "place">;

function factorRows(inner: number, border: number, place: Int32Array, rows: readonly (readonly number[])[]): Positions {
  const lists = filledRows(inner, place, rows);
  const rowStart = new Int32Array(inner + 1);
  for (const [i, list] of lists.entries()) rowStart[i + 1] = (rowStart[i] ?? 0) + list.length;
  const below = rowStart[inner] ?? 0;
  const rowColumn = new Int32Array(below);
  for (const [i, list] of lists.entries()) rowColumn.set(list, rowStart[i] ?? 0);
  const stride = 4 * Math.ceil(border / 4);
  const edgeAt = below + inner;
  const cornerAt = edgeAt + inner * stride;
  return { rowStart, rowColumn, ...columnsOf(inner, rowStart, rowColumn), stride, diagonalAt: below, edgeAt, cornerAt, entries: cornerAt + stride * stride };
}

/** Columns of each row of the factor: all that the row's own columns lead to in the elimination tree. */
function filledRows(inner: number, place: Int32Array, rows: readonly (readonly number[])[]): readonly Int32Array[] {
  const own = Array.from({ length: inner }, (): number[] => []);
  for (const row of rows) {
    const places = row.map((at) => place[at] ?? 0).filter((at) => at < inner);
    for (const i of places) for (const j of places) if (j < i) own[i]?.push(j);
  }
  const parent = new Int32Array(inner).fill(-1);
  const seen = new Int32Array(inner).fill(-1);
  return own.map((columns, i) => {
    const list: number[] = [];
    seen[i] = i;
    for (const column of columns) {
      for (let j = column; seen[j] !== i; j = parent[j] ?? i) {
        seen[j] = i;
        list.push(j);
        if (parent[j] === -1) parent[j] = i;
      }
    }
    return Int32Array.from(list).sort();
  });
}

function columnsOf(inner: number, rowStart: Int32Array, rowColumn: Int32Array): Pick<Positions, "columnStart" | "columnRow" | "columnEntry"> {
  const columnStart = new Int32Array(inner + 1);
  for (const column of rowColumn) columnStart[column + 1] = (columnStart[column + 1] ?? 0) + 1;
  for (let j = 0; j < inner; j++) columnStart[j + 1] = (columnStart[j + 1] ?? 0) + (columnStart[j] ?? 0);
  const next = columnStart.slice();
  const columnRow = new Int32Array(rowColumn.length);
  const columnEntry = new Int32Array(rowColumn.length);
  for (let i = 0; i < inner; i++) {
    for (let entry = rowStart[i] ?? 0; entry < (rowStart[i + 1] ?? 0); entry++) {
      const column = rowColumn[entry] ?? 0;
      const at = next[column] ?? 0;
      columnRow[at] = i;
      columnEntry[at] = entry;
      next[column] = at + 1;
    }
  }
  return { columnStart, columnRow, columnEntry };
}

/** Position of the entry of two places in the array of entries, or -1 where the pattern holds none. */
export function entryAt(pattern: ArrowPattern, a: number, b: number): number {
  const i = Math.max(a, b);
  const j = Math.min(a, b);
  const { inner, stride, rowStart, rowColumn } = pattern;
  if (i >= inner) return j >= inner ? pattern.cornerAt + (i - inner) * stride + j - inner : pattern.edgeAt + j * stride + i - inner;
  if (i === j) return pattern.diagonalAt + i;
  let low = rowStart[i] ?? 0;
  let high = (rowStart[i + 1] ?? 0) - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const column = rowColumn[middle] ?? 0;
    if (column === j) return middle;
    if (column < j) low = middle + 1;
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
  const { index, coefficient } = row;
  const at: number[] = [];
  for (const a of index) {
    const from = pattern.place[a] ?? 0;
    for (const b of index) {
      const to = pattern.place[b] ?? 0;
      const found = to > from ? NONE : entryAt(pattern, from, to);
      if (found === -1) throw new RangeError(`Cannot use this row: the pattern does not hold the unknowns ${Math.min(a, b)} and ${Math.max(a, b)} together (name the row when the pattern is made)`);
      at.push(found);
    }
  }
  for (let i = 0, t = 0; i < index.length; i++) {
    const scaled = weight * (coefficient[i] ?? 0);
    for (let j = 0; j < index.length; j++, t++) {
      const entry = at[t] ?? NONE;
      if (entry !== NONE) entries[entry] = (entries[entry] ?? 0) + scaled * (coefficient[j] ?? 0);
    }
  }
}

/** Above the diagonal: the matrix is symmetric, and only its lower half is held. */
const NONE = -2;
