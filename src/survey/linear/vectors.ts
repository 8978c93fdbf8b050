/** Sum of a[fromA + k] b[fromB + k], k = 0..count - 1. */
export function dot(a: Float64Array, fromA: number, b: Float64Array, fromB: number, count: number): number {
  let sum = 0;
  for (let k = 0; k < count; k++) sum += (a[fromA + k] ?? 0) * (b[fromB + k] ?? 0);
  return sum;
}

/** Adds factor times a[fromA + k] to b[fromB + k], k = 0..count - 1. */
export function addScaled(factor: number, a: Float64Array, fromA: number, b: Float64Array, fromB: number, count: number): void {
  for (let k = 0; k < count; k++) b[fromB + k] = (b[fromB + k] ?? 0) + factor * (a[fromA + k] ?? 0);
}
