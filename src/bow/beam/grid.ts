/**
 * Places along the neck at which bow is worked out. Between neighbouring nodes everything is smooth: breaks stand at the frets, the
 * body joint, the rod's ends and wherever a measured size makes a corner. Curvature is taken at two Gauss points a cell, never on a break.
 */
export type BowGrid = {
  /** Nodes from the nut (0) to the board's end, mm, increasing. */
  readonly nodeMm: Float64Array;
  /** Two places inside each cell, in order: 2 (nodes - 1) of them. Curvature and sections stand here. */
  readonly pointMm: Float64Array;
};

const GAUSS = 0.5 - Math.sqrt(3) / 6;
/** Breaks closer than this are one. */
const SAME_MM = 1e-6;

/**
 * A grid with a node at every break and no cell longer than `stepMm`.
 * @param breaksMm in any order; repeated ones are merged; two different ones or more
 * @throws {RangeError} fewer than two different breaks, or a step that is not above 0
 * @example equal([...bowGrid([0, 10, 10, 4], 5).nodeMm], [0, 4, 7, 10]);
 */
export function bowGrid(breaksMm: readonly number[], stepMm: number): BowGrid {
  const breaks = [...breaksMm].sort((a, b) => a - b).filter((x, index, all) => index === 0 || x - (all[index - 1] ?? -Infinity) > SAME_MM);
  if (breaks.length < 2 || !(stepMm > 0)) throw new RangeError(`Cannot lay a grid: expected two different places or more and a step above 0 mm, got ${breaks.length} places and ${stepMm} mm`);
  const nodes = [breaks[0] ?? 0];
  for (const [index, from] of breaks.entries()) {
    const to = breaks[index + 1];
    if (to === undefined) break;
    const cells = Math.max(1, Math.ceil((to - from) / stepMm - 1e-9));
    for (let cell = 1; cell < cells; cell++) nodes.push(from + ((to - from) * cell) / cells);
    nodes.push(to);
  }
  const points = nodes.slice(1).flatMap((to, index) => {
    const from = nodes[index] ?? 0;
    return [from + GAUSS * (to - from), to - GAUSS * (to - from)];
  });
  return { nodeMm: Float64Array.from(nodes), pointMm: Float64Array.from(points) };
}

/**
 * The node that stands at a place.
 * @throws {RangeError} a place where the grid has no node
 */
export function nodeAt(grid: BowGrid, xMm: number): number {
  const found = grid.nodeMm.findIndex((x) => Math.abs(x - xMm) <= SAME_MM);
  if (found < 0) throw new RangeError(`Cannot find ${xMm} mm on the grid: it has no node there (add the place to the grid's breaks)`);
  return found;
}
