import type { LevelProblem } from "./problem.js";
import type { RodTest, RodWayResult } from "../rod/rodTest.js";

/** What a rod can do, as stated or as a rod test showed it. */
export type RodAbility = LevelProblem["rod"] | Pick<RodTest, "towardBackBow" | "towardForwardBow" | "triedTurns" | "deadTurns">;

/**
 * By how much the rod may change the relief, mm at the middle, positive toward forward bow. Of a test no more than was tried counts, with the lower end of
 * what a turn moves: travel beyond what was tried is not known.
 * @example equal(rodRange({ lowMm: -0.2, highMm: 0.1 }), { lowMm: -0.2, highMm: 0.1 });
 */
export function rodRange(rod: RodAbility): LevelProblem["rod"] {
  if ("lowMm" in rod) return rod;
  const moved = (way: RodWayResult, turns: number): number => (way.status === "works" ? Math.max(0, way.perTurn.low95) * Math.max(0, turns - Math.max(0, rod.deadTurns.value)) : 0);
  return { lowMm: 0 - moved(rod.towardBackBow, rod.triedTurns.towardBackBow), highMm: moved(rod.towardForwardBow, rod.triedTurns.towardForwardBow) };
}
