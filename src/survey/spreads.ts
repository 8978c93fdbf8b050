import type { GridPoint } from "./estimation/scatterGrid.js";
import { LOG_SD } from "./model/scatters.js";
import type { SpreadUsed } from "./survey.js";

/** A spread counts as estimated when the readings leave no more than this share of the prior's own spread. */
const NARROWED = 0.6;
/** Values whose logarithms differ by less are one. */
const SAME = 1e-6;

/** The posterior mean of a spread's logarithm; "estimated" when the readings narrowed the prior enough. A spread that was looked at with one value only has no width from which to tell, and counts as the prior's. */
export function spreadUsed(grid: readonly Pick<GridPoint, "weight" | "scatters">[], valueOf: (point: Pick<GridPoint, "scatters">) => number, centre: number): SpreadUsed {
  const logs = grid.map((point) => ({ weight: point.weight, log: Math.log(valueOf(point) / centre) }));
  const mean = logs.reduce((sum, { weight, log }) => sum + weight * log, 0);
  const sd = Math.sqrt(logs.reduce((sum, { weight, log }) => sum + weight * (log - mean) ** 2, 0));
  const hasWidth = logs.some(({ log }) => Math.abs(log - (logs[0]?.log ?? log)) > SAME);
  return { valueMm: centre * Math.exp(mean), basis: hasWidth && sd < NARROWED * LOG_SD ? "estimated" : "prior-dominated" };
}
