import type { GridPoint } from "./estimation/scatterGrid.js";
import { LOG_SD } from "./model/scatters.js";
import type { SpreadUsed } from "./survey.js";

/** A spread counts as estimated when the readings leave no more than this share of the prior's own spread. */
const NARROWED = 0.6;

/** The posterior mean of a spread's logarithm; "estimated" when the readings narrowed the prior enough. */
export function spreadUsed(grid: readonly GridPoint[], valueOf: (point: GridPoint) => number, centre: number): SpreadUsed {
  const logs = grid.map((point) => ({ weight: point.weight, log: Math.log(valueOf(point) / centre) }));
  const mean = logs.reduce((sum, { weight, log }) => sum + weight * log, 0);
  const sd = Math.sqrt(logs.reduce((sum, { weight, log }) => sum + weight * (log - mean) ** 2, 0));
  return { valueMm: centre * Math.exp(mean), basis: sd < NARROWED * LOG_SD ? "estimated" : "prior-dominated" };
}
