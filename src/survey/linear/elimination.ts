/** How many unknowns stand in order of place, and how many may touch every other. */
export type ArrowShape = { readonly banded: number; readonly border: number };

/** A border unknown that reaches over no more than this share of the others is eliminated among them: one of many short settings. */
const LOCAL_SHARE = 0.25;
/** Unknowns that touch few others and not each other go first: they fill nothing in. */
const FEW_NEIGHBOURS = 3;

/** The order of elimination: unknowns alone in all their rows and leaves, then the unknowns in order of place with local settings after the last they touch, then the border. */
export function elimination({ banded, border }: ArrowShape, rows: readonly (readonly number[])[]): { readonly order: readonly number[]; readonly inner: number } {
  const first = new Int32Array(border).fill(banded);
  const last = new Int32Array(border).fill(-1);
  for (const row of rows) {
    let low = banded;
    let high = -1;
    for (let k = 0; k < row.length; k++) {
      const at = row[k] ?? 0;
      if (at >= banded) continue;
      if (at < low) low = at;
      if (at > high) high = at;
    }
    for (let k = 0; k < row.length; k++) {
      const at = row[k] ?? 0;
      if (at < banded) continue;
      first[at - banded] = Math.min(first[at - banded] ?? banded, low);
      last[at - banded] = Math.max(last[at - banded] ?? -1, high);
    }
  }
  const lastOf = (at: number): number => last[at - banded] ?? -1;
  const isLocal = (at: number): boolean => lastOf(at) >= 0 && lastOf(at) - (first[at - banded] ?? 0) <= LOCAL_SHARE * banded;
  const all = Array.from({ length: border }, (_, k) => banded + k);
  const isAlone = aloneAmong(banded + border, rows);
  // the sort is stable: of columns that end together the lower one stays first
  const local = all.filter(isLocal).sort((a, b) => lastOf(a) - lastOf(b));
  const sequence: number[] = [];
  let next = 0;
  for (let at = 0; at < banded; at++) {
    sequence.push(at);
    for (let own = local[next]; own !== undefined && lastOf(own) === at; own = local[++next]) sequence.push(own);
  }
  const leaf = leavesAmong(sequence, banded + border, rows);
  const alone = all.filter((at) => isAlone[at] === 1);
  const order = [...alone, ...sequence.filter((at) => leaf[at] === 1), ...sequence.filter((at) => leaf[at] !== 1), ...all.filter((at) => !isLocal(at) && isAlone[at] !== 1)];
  return { order, inner: alone.length + sequence.length };
}

/** Unknowns that no row holds together with another, such as an error of a tool that nothing was read with. */
function aloneAmong(size: number, rows: readonly (readonly number[])[]): Uint8Array {
  const alone = new Uint8Array(size).fill(1);
  for (const row of rows) {
    let isShared = false;
    for (let k = 1; k < row.length; k++) isShared ||= row[k] !== row[0];
    if (isShared) for (let k = 0; k < row.length; k++) alone[row[k] ?? 0] = 0;
  }
  return alone;
}

function leavesAmong(sequence: readonly number[], size: number, rows: readonly (readonly number[])[]): Uint8Array {
  const inside = new Uint8Array(size);
  for (const at of sequence) inside[at] = 1;
  const neighbours = Array.from({ length: size }, (): number[] => []);
  for (const row of rows) {
    for (let k = 0; k < row.length; k++) {
      const own = neighbours[row[k] ?? 0];
      if (own === undefined || own.length > FEW_NEIGHBOURS) continue;
      for (let l = 0; l < row.length; l++) {
        const other = row[l] ?? 0;
        if (l !== k && inside[other] === 1 && other !== row[k] && !own.includes(other)) own.push(other);
      }
    }
  }
  const leaf = new Uint8Array(size);
  for (const at of sequence) {
    const own = neighbours[at] ?? [];
    if (own.length <= FEW_NEIGHBOURS && !own.some((other) => leaf[other] === 1)) leaf[at] = 1;
  }
  return leaf;
}
