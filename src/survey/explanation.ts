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

/** The grid point with most posterior weight. */
export function heaviestPoint({ grid }: Pick<Explanation, "grid">): GridPoint {
  const [first, ...rest] = grid;
  if (first === undefined) throw new RangeError("Cannot choose among no grid points: expected one or more");
  return rest.reduce((best, point) => (point.weight > best.weight ? point : best), first);
}
