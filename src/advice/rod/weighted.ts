import type { Measured } from "../../units/measured.js";

type Point = { readonly value: number; readonly weight: number };

/**
 * A weighed set of values as one number with its interval: median, spread, and the ends of the middle 95 %.
 * @param points weights above 0 in total, not necessarily summing to 1
 * @throws {RangeError} no weight at all
 */
export function weightedMeasured(points: readonly Point[], unit: Measured["unit"]): Measured {
  const sorted = [...points].sort((a, b) => a.value - b.value);
  const total = sorted.reduce((sum, { weight }) => sum + weight, 0);
  if (!(total > 0)) throw new RangeError("Cannot state a value: expected at least one that is possible");
  const mean = sorted.reduce((sum, { value, weight }) => sum + (weight * value) / total, 0);
  const variance = sorted.reduce((sum, { value, weight }) => sum + (weight * (value - mean) ** 2) / total, 0);
  return { value: quantile(sorted, total, 0.5), u: Math.sqrt(variance), unit, low95: quantile(sorted, total, 0.025), high95: quantile(sorted, total, 0.975) };
}

/** Share of the weight whose value is accepted. */
export function shareWhere<T extends { readonly weight: number }>(points: readonly T[], accepts: (point: T) => boolean): number {
  let [all, accepted] = [0, 0];
  for (const point of points) {
    all += point.weight;
    if (accepts(point)) accepted += point.weight;
  }
  return accepted / all;
}

/** Straight between the middles of the weights, so that a coarse grid does not make steps. */
function quantile(sorted: readonly Point[], total: number, p: number): number {
  let below = 0;
  let before: { readonly at: number; readonly value: number } | undefined;
  for (const { value, weight } of sorted) {
    const at = (below + weight / 2) / total;
    if (at >= p) return before === undefined || at === before.at ? value : before.value + ((value - before.value) * (p - before.at)) / (at - before.at);
    before = { at, value };
    below += weight;
  }
  return before?.value ?? 0;
}
