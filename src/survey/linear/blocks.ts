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

/** Rows of columns within a flat array: row i of column m stands at `at` + m `apart` + i. */
export type Columns = { readonly of: Float64Array; readonly at: number; readonly apart: number };

/** Where rows stand in other columns: row i at `rows[from + i]` below the column's beginning. */
export type Standing = { readonly rows: Int32Array; readonly from: number };

/**
 * Takes the products of rows with each other, sums over the first `terms` columns, from columns elsewhere in the same array: the product of row i with row c, i from c to the end,
 * from row i of the column that begins at `at` + row c times `apart`, for c from `begin` to `end`.
 * In tiles of three by three, as above; every number is read before any is written, so that doing a row or column again takes nothing twice. Above the diagonal of `into` there stands nothing of use afterwards.
 */
export function takeProducts({ of, at, apart }: Columns, terms: number, begin: number, end: number, height: number, into: { readonly at: number; readonly apart: number }, { rows, from }: Standing): void {
  for (let c = begin; c < end; c += 3) {
    const d1 = Math.min(1, end - 1 - c);
    const d2 = Math.min(2, end - 1 - c);
    const column0 = into.at + (rows[from + c] ?? 0) * into.apart;
    const column1 = into.at + (rows[from + c + d1] ?? 0) * into.apart;
    const column2 = into.at + (rows[from + c + d2] ?? 0) * into.apart;
    for (let i = c; i < height; i += 3) {
      const i1 = Math.min(1, height - 1 - i);
      const i2 = Math.min(2, height - 1 - i);
      let s00 = 0;
      let s10 = 0;
      let s20 = 0;
      let s01 = 0;
      let s11 = 0;
      let s21 = 0;
      let s02 = 0;
      let s12 = 0;
      let s22 = 0;
      let a = at + i;
      let b = at + c;
      for (let m = 0; m < terms; m++, a += apart, b += apart) {
        const u = of[b] ?? 0;
        const v = of[b + d1] ?? 0;
        const w = of[b + d2] ?? 0;
        const x = of[a] ?? 0;
        s00 += x * u;
        s01 += x * v;
        s02 += x * w;
        const y = of[a + i1] ?? 0;
        s10 += y * u;
        s11 += y * v;
        s12 += y * w;
        const z = of[a + i2] ?? 0;
        s20 += z * u;
        s21 += z * v;
        s22 += z * w;
      }
      const r0 = rows[from + i] ?? 0;
      const r1 = rows[from + i + i1] ?? 0;
      const r2 = rows[from + i + i2] ?? 0;
      s00 = (of[column0 + r0] ?? 0) - s00;
      s10 = (of[column0 + r1] ?? 0) - s10;
      s20 = (of[column0 + r2] ?? 0) - s20;
      s01 = (of[column1 + r0] ?? 0) - s01;
      s11 = (of[column1 + r1] ?? 0) - s11;
      s21 = (of[column1 + r2] ?? 0) - s21;
      s02 = (of[column2 + r0] ?? 0) - s02;
      s12 = (of[column2 + r1] ?? 0) - s12;
      s22 = (of[column2 + r2] ?? 0) - s22;
      of[column0 + r0] = s00;
      of[column0 + r1] = s10;
      of[column0 + r2] = s20;
      of[column1 + r0] = s01;
      of[column1 + r1] = s11;
      of[column1 + r2] = s21;
      of[column2 + r0] = s02;
      of[column2 + r1] = s12;
      of[column2 + r2] = s22;
    }
  }
}
