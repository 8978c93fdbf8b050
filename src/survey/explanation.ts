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

/** The grid point where the density of the scatters is highest. Weights stand for what lies about a point as well, and in a wide density the outer ones may weigh more. */
export function topPoint({ grid }: Pick<Explanation, "grid">): GridPoint {
  const [first, ...rest] = grid;
  if (first === undefined) throw new RangeError("Cannot choose among no grid points: expected one or more");
  return rest.reduce((best, point) => (point.logDensity > best.logDensity ? point : best), first);
}
