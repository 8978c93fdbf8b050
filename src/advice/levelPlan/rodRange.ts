import type { TrussRod } from "../../neck/neck.js";
import { rodPosition, turnsTowardBackBow } from "../../readings/rodState.js";
import { MOST_MOVED_MM } from "../rod/rodStop.js";
import type { RodTest, RodWayResult } from "../rod/rodTest.js";
import type { LevelProblem } from "./problem.js";

/** What a rod can do from where it stood when the neck was read, as stated; or what a rod test, counted from neutral, showed of it. */
export type RodAbility = LevelProblem["rod"] | Pick<RodTest, "towardBackBow" | "towardForwardBow" | "triedTurns" | "deadTurns" | "moreRelief">;

/** How far the rod may change the relief, and what is to be known of that, in a builder's words. */
export type RodRange = { readonly range: LevelProblem["rod"]; readonly notes: readonly string[] };

/**
 * By how much the rod may change the relief, mm at the middle, positive toward forward bow. Of a test no more than was tried counts, with the lower end of
 * what a turn moves: travel beyond what was tried is not known. A nut that stands turned has that much less to go, and may be let go again.
 * @param fromTurns where the nut stood when the neck was read, turns from neutral, above 0 toward back bow; a stated range counts from there anyway
 * @throws {RangeError} a stated range that is reversed, holds no number, or is more than any rod gives
 * @example equal(rodRange({ lowMm: -0.2, highMm: 0.1 }), { lowMm: -0.2, highMm: 0.1 });
 */
export function rodRange(rod: RodAbility, fromTurns: number = 0): LevelProblem["rod"] {
  if ("lowMm" in rod) {
    if (Number.isFinite(rod.lowMm) && Number.isFinite(rod.highMm) && rod.lowMm <= rod.highMm) return within(rod);
    throw new RangeError(`Cannot plan with a rod that changes the relief by ${rod.lowMm} to ${rod.highMm} mm: expected two lengths, the lower first, negative toward back bow (middle high), as { lowMm: -0.2, highMm: 0.1 }`);
  }
  const { towardBackBow: back, towardForwardBow: forward, triedTurns: tried } = rod;
  const moved = (way: RodWayResult, turns: number): number => (way.status === "works" ? Math.max(0, way.perTurn.low95) * Math.max(0, turns - Math.max(0, rod.deadTurns.value)) : 0);
  // what the nut holds now; past what was tried it is not known what a turn moves, so that part counts for nothing
  const holdsBack = moved(back, Math.min(fromTurns, tried.towardBackBow));
  const holdsForward = moved(forward, Math.min(-fromTurns, tried.towardForwardBow));
  return { lowMm: holdsBack - moved(back, tried.towardBackBow) - holdsForward, highMm: holdsBack + moved(forward, tried.towardForwardBow) - holdsForward };
}

function within(rod: LevelProblem["rod"]): LevelProblem["rod"] {
  const { lowMm, highMm } = rod;
  if (Math.max(-lowMm, highMm) <= MOST_MOVED_MM) return rod;
  throw new RangeError(`Cannot plan with a rod that changes the relief by ${lowMm} to ${highMm} mm: no rod gives more than ${MOST_MOVED_MM} mm either way (was thou meant? Write mm, as { lowMm: -0.2, highMm: 0.1 })`);
}

const STILL = { lowMm: 0, highMm: 0 } as const;
const SURE = 0.95;

/**
 * The range of a rod from where it stood when the neck was read.
 * @param words where it stood, as the readings say; absent is neutral
 * @param ability what it can do; absent leaves it where it is
 * @throws {RangeError} as `rodRange`
 */
export function rodRangeFrom(rod: TrussRod | undefined, words: string | undefined, ability: RodAbility | undefined): RodRange {
  if (rod?.works === "none") return { range: STILL, notes: ["This neck has no rod: its relief is what the beam leaves."] };
  if (ability === undefined) return { range: STILL, notes: ["No rod test was given, so the rod stays where it was when the neck was read. If the neck has a bow, straighten it with the rod first, as far as that goes, and read it again."] };
  const position = rodPosition(words);
  const isOneWay = rod?.works === "one way";
  const isSlack = position.kind === "slack";
  const turns = isSlack ? 0 : turnsTowardBackBow(position, { ...rod, ...testedWay(ability) });
  if (turns === undefined && !("lowMm" in ability)) {
    return { range: STILL, notes: [`Where the rod stood when the neck was read is not clear ("${words ?? ""}"), so how much of what the test tried is left is not known and the rod stays. Say how many turns from neutral it stood and which way, as "1/4 turn toward back bow".`] };
  }
  const range = rodRange(isOneWay ? withoutPush(ability) : ability, turns);
  const isUnloaded = turns !== undefined && turns <= 0;
  const mayPush = "lowMm" in ability ? range.highMm > 0 : ability.towardForwardBow.status === "works";
  if (!isOneWay || !isUnloaded || !mayPush) return { range, notes: [] };
  return { range: { lowMm: Math.min(0, range.lowMm), highMm: 0 }, notes: [`The rod works one way and was ${words ?? "neutral"}: it can only push toward back bow (middle high).`] };
}

/** Which way gives more relief, where only the test says and says it surely. */
function testedWay(ability: RodAbility): Pick<TrussRod, "moreRelief"> {
  const found = "lowMm" in ability ? undefined : ability.moreRelief;
  return found === undefined || found.probability < SURE ? {} : { moreRelief: found.way };
}

/** A rod that works one way lets go and does not push, whatever a test took for a push. */
function withoutPush(ability: RodAbility): RodAbility {
  return "lowMm" in ability ? ability : { ...ability, towardForwardBow: { status: "not tested" } };
}
