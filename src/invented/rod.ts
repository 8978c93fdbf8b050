/** A bend of the neck between two places, straight beyond them. `bowMm` at the middle of that stretch, positive is forward bow (middle low). */
export type RodBend = { readonly fromMm: number; readonly toMm: number; readonly bowMm: number };

/** An invented truss rod: what turning its nut does to the neck. */
export type InventedRod = {
  /** Stretch of the neck that it bends, from the nut, mm. */
  readonly fromMm: number;
  readonly toMm: number;
  /** Bow for one turn, mm at the middle of that stretch; always positive. Tightening (positive turns) bends toward back bow. */
  readonly perTurnMm: number;
  /** Turns from slack each way in which nothing moves. */
  readonly deadTurns: number;
  /** Whether turning the other way pushes toward forward bow. */
  readonly bothWays: boolean;
};

/**
 * What a rod bends at a setting of its nut, turns from slack, positive tightening.
 * @example near(rodBendOf({ fromMm: 20, toMm: 420, perTurnMm: 0.8, deadTurns: 0.25, bothWays: false }, 0.75).bowMm, -0.4, { abs: 1e-12 });
 */
export function rodBendOf(rod: InventedRod, turns: number): RodBend {
  const moved = Math.max(0, Math.abs(turns) - rod.deadTurns) * rod.perTurnMm;
  const bowMm = turns > 0 ? -moved : moved;
  return { fromMm: rod.fromMm, toMm: rod.toMm, bowMm: turns < 0 && !rod.bothWays ? 0 : bowMm };
}

/**
 * Height that a bend gives the neck line at `xMm`: of constant curvature between its ends, straight beyond them, nothing before the first.
 * @example near(rodBendMm({ fromMm: 0, toMm: 400, bowMm: 0.2 }, 200), 0.2, { abs: 1e-12 });
 */
export function rodBendMm({ fromMm, toMm, bowMm }: RodBend, xMm: number): number {
  const length = toMm - fromMm;
  const inside = Math.min(length, Math.max(0, xMm - fromMm));
  const beyond = Math.max(0, xMm - toMm);
  return (4 * bowMm * (inside * inside + 2 * length * beyond)) / (length * length);
}
