/**
 * Dense arithmetic of the blocks: column by column in one flat array, since nearly all time of a survey is spent here.
 */

/** A matrix within a flat array: entry (m, i) stands at `at` + m `row` + i `column`. */
export type Part = { readonly of: Float64Array; readonly at: number; readonly row: number; readonly column: number };

/** Size of a product: so many terms in each sum, rows and columns; with `lower` only what lies on or below the diagonal is needed. */
export type Size = { readonly terms: number; readonly rows: number; readonly columns: number; readonly lower?: boolean };

/**
 * C = A' B, where C stands column by column, `height` apart, from `at` on.
 * In tiles of three by three: nine sums that do not wait for each other. At the edges a tile does its last row or column again.
 */
export function crossProduct({ terms, rows, columns, lower = false }: Size, left: Part, right: Part, into: { readonly of: Float64Array; readonly at: number; readonly height: number }): void {
  const { of: a, at: aAt, row: aRow, column: aColumn } = left;
  const { of: b, at: bAt, row: bRow, column: bColumn } = right;
  const { of: c, height } = into;
  for (let k = 0; k < columns; k += 3) {
    const k1 = Math.min(1, columns - 1 - k);
    const k2 = Math.min(2, columns - 1 - k);
    for (let i = lower ? k : 0; i < rows; i += 3) {
      const i1 = Math.min(1, rows - 1 - i);
      const i2 = Math.min(2, rows - 1 - i);
      let s00 = 0;
      let s10 = 0;
      let s20 = 0;
      let s01 = 0;
      let s11 = 0;
      let s21 = 0;
      let s02 = 0;
      let s12 = 0;
      let s22 = 0;
      let a0 = aAt + i * aColumn;
      let a1 = a0 + i1 * aColumn;
      let a2 = a0 + i2 * aColumn;
      let b0 = bAt + k * bColumn;
      let b1 = b0 + k1 * bColumn;
      let b2 = b0 + k2 * bColumn;
      for (let m = 0; m < terms; m++, a0 += aRow, a1 += aRow, a2 += aRow, b0 += bRow, b1 += bRow, b2 += bRow) {
        const u = b[b0] ?? 0;
        const v = b[b1] ?? 0;
        const w = b[b2] ?? 0;
        const x = a[a0] ?? 0;
        s00 += x * u;
        s01 += x * v;
        s02 += x * w;
        const y = a[a1] ?? 0;
        s10 += y * u;
        s11 += y * v;
        s12 += y * w;
        const z = a[a2] ?? 0;
        s20 += z * u;
        s21 += z * v;
        s22 += z * w;
      }
      const c0 = into.at + k * height + i;
      const c1 = c0 + k1 * height;
      const c2 = c0 + k2 * height;
      c[c0] = s00;
      c[c0 + i1] = s10;
      c[c0 + i2] = s20;
      c[c1] = s01;
      c[c1 + i1] = s11;
      c[c1 + i2] = s21;
      c[c2] = s02;
      c[c2 + i1] = s12;
      c[c2 + i2] = s22;
    }
  }
}
