/**
 * Dense arithmetic of the blocks: column by column in one flat array, since nearly all time of a survey is spent here.
 */

/** A matrix within a flat array: entry (m, i) stands at `at` + m `row` + i `column`. */
export type Part = { readonly of: Float64Array; readonly at: number; readonly row: number; readonly column: number };

/** Size of a product: so many terms in each sum, rows and columns; with `lower` only what lies on or below the diagonal is needed. */
export type Size = { readonly terms: number; readonly rows: number; readonly columns: number; readonly lower?: boolean };

/**
 * C = A' B, where C stands column by column, `height` apart, from `at` on.
 * In tiles of four by two: eight sums that do not wait for each other. At the edges a tile does its last row or column twice.
 */
export function crossProduct({ terms, rows, columns, lower = false }: Size, left: Part, right: Part, into: { readonly of: Float64Array; readonly at: number; readonly height: number }): void {
  const { of: a, at: aAt, row: aRow, column: aColumn } = left;
  const { of: b, at: bAt, row: bRow, column: bColumn } = right;
  const { of: c, height } = into;
  for (let k = 0; k < columns; k += 2) {
    const next = k + 1 < columns ? 1 : 0;
    const top = into.at + k * height;
    for (let i = lower ? k & ~3 : 0; i < rows; i += 4) {
      const last = rows - 1 - i;
      const [i1, i2, i3] = [last > 1 ? 1 : last, last > 2 ? 2 : last, last > 3 ? 3 : last];
      let a0 = 0;
      let a1 = 0;
      let b0 = 0;
      let b1 = 0;
      let c0 = 0;
      let c1 = 0;
      let d0 = 0;
      let d1 = 0;
      let from0 = aAt + i * aColumn;
      let from1 = from0 + i1 * aColumn;
      let from2 = from0 + i2 * aColumn;
      let from3 = from0 + i3 * aColumn;
      let fromB = bAt + k * bColumn;
      let beyondB = fromB + next * bColumn;
      for (let m = 0; m < terms; m++) {
        const l = b[fromB] ?? 0;
        const r = b[beyondB] ?? 0;
        const w = a[from0] ?? 0;
        const x = a[from1] ?? 0;
        const y = a[from2] ?? 0;
        const z = a[from3] ?? 0;
        a0 += w * l;
        a1 += w * r;
        b0 += x * l;
        b1 += x * r;
        c0 += y * l;
        c1 += y * r;
        d0 += z * l;
        d1 += z * r;
        from0 += aRow;
        from1 += aRow;
        from2 += aRow;
        from3 += aRow;
        fromB += bRow;
        beyondB += bRow;
      }
      const at = top + i;
      c[at] = a0;
      c[at + i1] = b0;
      c[at + i2] = c0;
      c[at + i3] = d0;
      if (next === 0) continue;
      const beside = at + height;
      c[beside] = a1;
      c[beside + i1] = b1;
      c[beside + i2] = c1;
      c[beside + i3] = d1;
    }
  }
}
