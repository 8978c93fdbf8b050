/** Second derivatives of minus a log density in two directions: of the first, mixed, of the second. */
export type Curvature = readonly [first: number, mixed: number, second: number];

/** The nearest curvature in which no direction is flatter than `least`. */
export function noFlatterThan(least: number, [a, b, c]: Curvature): Curvature {
  const [middle, half] = [(a + c) / 2, Math.hypot((a - c) / 2, b)];
  const [low, high] = [middle - half, middle + half];
  if (low >= least) return [a, b, c];
  const top = Math.max(high, least);
  const angle = 0.5 * Math.atan2(2 * b, a - c);
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  return [top * cos * cos + least * sin * sin, (top - least) * cos * sin, top * sin * sin + least * cos * cos];
}
