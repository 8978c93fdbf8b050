import { topAmong } from "./estimation/scatterGrid.js";
import type { GridPoint } from "./estimation/scatterGrid.js";
import type { Equation } from "./model/equations.js";
import type { Layout } from "./model/layout.js";

/** One way to explain all readings, with its probability; probabilities of all explanations of a survey sum to 1. */
export type Explanation = {
  readonly layout: Layout;
  readonly equations: readonly Equation[];
  readonly grid: readonly GridPoint[];
  readonly probability: number;
};

/** The grid point where the density of the scatters is highest. @throws {RangeError} a grid without points */
export function topPoint({ grid }: Pick<Explanation, "grid">): GridPoint {
  const top = topAmong(grid);
  if (top === undefined) throw new RangeError("Cannot choose among no grid points: expected one or more");
  return top;
}
