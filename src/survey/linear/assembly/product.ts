import { bytes, number, setNumber } from "./memory";

/** Rows and columns of a tile: eight sums of two numbers that do not wait for each other. */
const TILE: i32 = 4;

/**
 * C = A B. Columns of A and C stand `apart` numbers apart, their rows one after the other; entry (m, k) of B stands at m `termApart` + k `columnApart`.
 * With `lower` only what lies on or below the diagonal is needed. The last rows are done with those before them once more where they fill no tile.
 */
export function product(a: usize, aApart: i32, b: usize, termApart: i32, columnApart: i32, c: usize, cApart: i32, terms: i32, rows: i32, columns: i32, lower: bool): void {
  const tiled = rows < TILE ? 0 : columns - (columns % TILE);
  for (let k = 0; k < tiled; k += TILE) {
    for (let row = lower ? k : 0; row < rows; row += TILE) {
      const i = min(row, rows - TILE);
      tile(a + bytes(i), bytes(aApart), b + bytes(k * columnApart), bytes(termApart), bytes(columnApart), c + bytes(k * cApart + i), bytes(cApart), terms);
    }
  }
  for (let k = tiled; k < columns; k++) column(a, bytes(aApart), b + bytes(k * columnApart), bytes(termApart), c + bytes(k * cApart), terms, lower ? k : 0, rows);
}

/** Distances in bytes. */
@inline
function tile(a: usize, aApart: usize, b: usize, termApart: usize, columnApart: usize, c: usize, cApart: usize, terms: i32): void {
  let s00 = f64x2.splat(0);
  let s10 = s00;
  let s01 = s00;
  let s11 = s00;
  let s02 = s00;
  let s12 = s00;
  let s03 = s00;
  let s13 = s00;
  for (let m = 0; m < terms; m++, a += aApart, b += termApart) {
    const x = v128.load(a);
    const y = v128.load(a, 16);
    const u = v128.load64_splat(b);
    s00 = f64x2.add(s00, f64x2.mul(x, u));
    s10 = f64x2.add(s10, f64x2.mul(y, u));
    const v = v128.load64_splat(b + columnApart);
    s01 = f64x2.add(s01, f64x2.mul(x, v));
    s11 = f64x2.add(s11, f64x2.mul(y, v));
    const w = v128.load64_splat(b + 2 * columnApart);
    s02 = f64x2.add(s02, f64x2.mul(x, w));
    s12 = f64x2.add(s12, f64x2.mul(y, w));
    const z = v128.load64_splat(b + 3 * columnApart);
    s03 = f64x2.add(s03, f64x2.mul(x, z));
    s13 = f64x2.add(s13, f64x2.mul(y, z));
  }
  v128.store(c, s00);
  v128.store(c, s10, 16);
  v128.store(c + cApart, s01);
  v128.store(c + cApart, s11, 16);
  v128.store(c + 2 * cApart, s02);
  v128.store(c + 2 * cApart, s12, 16);
  v128.store(c + 3 * cApart, s03);
  v128.store(c + 3 * cApart, s13, 16);
}

/** One column of the product, from row `from` on. */
function column(a: usize, aApart: usize, b: usize, termApart: usize, c: usize, terms: i32, from: i32, rows: i32): void {
  let i = from;
  for (; i + 1 < rows; i += 2) {
    let sums = f64x2.splat(0);
    for (let m = 0, x = a + bytes(i), y = b; m < terms; m++, x += aApart, y += termApart) sums = f64x2.add(sums, f64x2.mul(v128.load(x), v128.load64_splat(y)));
    v128.store(c + bytes(i), sums);
  }
  if (i === rows) return;
  let sum: f64 = 0;
  for (let m = 0, x = a + bytes(i), y = b; m < terms; m++, x += aApart, y += termApart) sum += load<f64>(x) * load<f64>(y);
  setNumber(c, i, sum);
}

/** C = A' B on and below the diagonal, where the columns of A, B and C stand one number after the other, `aApart`, `bApart` and `columns` apart. In pairs of columns; the last is done twice where they are odd. */
export function lowerDots(a: usize, aApart: i32, b: usize, bApart: i32, c: usize, terms: i32, columns: i32): void {
  const paired = terms & ~1;
  for (let k = 0; k < columns; k += 2) {
    const nextK = min(k + 1, columns - 1);
    for (let i = k; i < columns; i += 2) {
      const nextI = min(i + 1, columns - 1);
      const a0 = a + bytes(i * aApart);
      const a1 = a + bytes(nextI * aApart);
      const b0 = b + bytes(k * bApart);
      const b1 = b + bytes(nextK * bApart);
      let s00 = f64x2.splat(0);
      let s10 = s00;
      let s01 = s00;
      let s11 = s00;
      for (let m: usize = 0; m < bytes(paired); m += 16) {
        const x = v128.load(a0 + m);
        const y = v128.load(a1 + m);
        const u = v128.load(b0 + m);
        const v = v128.load(b1 + m);
        s00 = f64x2.add(s00, f64x2.mul(x, u));
        s10 = f64x2.add(s10, f64x2.mul(y, u));
        s01 = f64x2.add(s01, f64x2.mul(x, v));
        s11 = f64x2.add(s11, f64x2.mul(y, v));
      }
      const odd = paired < terms;
      setNumber(c, k * columns + i, bothOf(s00) + (odd ? number(a0, paired) * number(b0, paired) : 0));
      setNumber(c, k * columns + nextI, bothOf(s10) + (odd ? number(a1, paired) * number(b0, paired) : 0));
      setNumber(c, nextK * columns + i, bothOf(s01) + (odd ? number(a0, paired) * number(b1, paired) : 0));
      setNumber(c, nextK * columns + nextI, bothOf(s11) + (odd ? number(a1, paired) * number(b1, paired) : 0));
    }
  }
}

/** Sum of x y, for numbers one after the other. */
@inline
export function dot(x: usize, y: usize, numbers: i32): f64 {
  const paired = bytes(numbers & ~1);
  let sums = f64x2.splat(0);
  for (let at: usize = 0; at < paired; at += 16) sums = f64x2.add(sums, f64x2.mul(v128.load(x + at), v128.load(y + at)));
  return bothOf(sums) + ((numbers & 1) === 1 ? load<f64>(x + paired) * load<f64>(y + paired) : 0);
}

@inline
function bothOf(pair: v128): f64 {
  return f64x2.extract_lane(pair, 0) + f64x2.extract_lane(pair, 1);
}

/** y = y - f x, for numbers one after the other. */
@inline
export function takeMultiple(y: usize, x: usize, f: f64, numbers: i32): void {
  const both = f64x2.splat(f);
  const paired = bytes(numbers & ~1);
  for (let at: usize = 0; at < paired; at += 16) v128.store(y + at, f64x2.sub(v128.load(y + at), f64x2.mul(both, v128.load(x + at))));
  if ((numbers & 1) === 1) store<f64>(y + paired, load<f64>(y + paired) - f * load<f64>(x + paired));
}

/** x = f x. */
@inline
export function scale(x: usize, f: f64, numbers: i32): void {
  const both = f64x2.splat(f);
  const paired = bytes(numbers & ~1);
  for (let at: usize = 0; at < paired; at += 16) v128.store(x + at, f64x2.mul(both, v128.load(x + at)));
  if ((numbers & 1) === 1) store<f64>(x + paired, f * load<f64>(x + paired));
}
