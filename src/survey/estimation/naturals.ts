/** Normal approximations of all sites in natural parameters: packed precisions by slot, shifts by form. */
export type Naturals = { readonly precision: Float64Array; readonly shift: Float64Array };

/** A copy that can be written into. */
export function copiedNaturals({ precision, shift }: Naturals): Naturals {
  return { precision: precision.slice(), shift: shift.slice() };
}

/** Writes a small symmetric matrix row by row, below and on its diagonal, from a slot on. */
export function packInto(full: Float64Array, size: number, packed: Float64Array, from: number): void {
  for (let i = 0, t = from; i < size; i++) for (let j = 0; j <= i; j++, t++) packed[t] = full[i * size + j] ?? 0;
}

/** The inverse of `packInto`. */
export function unpackInto(packed: Float64Array, from: number, size: number, full: Float64Array): void {
  for (let i = 0, t = from; i < size; i++) {
    for (let j = 0; j <= i; j++, t++) {
      full[i * size + j] = packed[t] ?? 0;
      full[j * size + i] = packed[t] ?? 0;
    }
  }
}
