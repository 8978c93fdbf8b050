import type { TrussRod } from "../../neck/neck.js";
import { turnsTowardBackBow, type RodPosition } from "../../readings/rodState.js";
import { normalQuantile } from "../../survey/likelihood/normal.js";
import { NORMAL_95, type Measured } from "../../units/measured.js";
import { movedMm, type RodGuess } from "./rodGrid.js";
import type { RodQuestion } from "./rodQuestion.js";
import { weightedMeasured } from "./weighted.js";

/** How far to turn. */
export type RodTurns = {
  /** All in all, in turns from where the nut stands, the dead zone included, 0 or more; taken up in steps with a reading after each. */
  readonly inAll: Measured;
  /** The first step, in turns: a quarter at most. */
  readonly firstStep: number;
  readonly from: "rod test" | "bow model";
};

type Rod = Omit<RodGuess, "sense">;

const MOST_A_STEP = 0.25;
/** Points of the standard normal, each standing for a twentieth of it. */
const QUANTILES = 20;
/** Dead zones that stand for one that was not tested, turns (own estimate, as in the bow model). */
const DEAD_TURNS = [0, 0.1, 0.2];
const NEGLIGIBLE = 1e-5;

/**
 * The turns that move the middle by a change, over what is known of the rod: from where the nut stands, through its dead zone.
 * @param change relief at the middle, mm
 * @param position where the nut stands; where that is not clear it is taken as neutral
 * @returns undefined where nothing is known of the rod's response that way: then an eighth of a turn shows it
 */
export function turnsFor(change: Measured, way: "turn toward back bow" | "turn toward forward bow", { test, perTurn }: RodQuestion, position: RodPosition, rod: Pick<TrussRod, "moreRelief"> | undefined): RodTurns | undefined {
  const now = turnsTowardBackBow(position, rod) ?? 0;
  const changes = quantiles().map((z) => change.value + change.u * z).filter((mm) => (way === "turn toward back bow" ? mm < 0 : mm > 0));
  const bearing = (guess: Rod): boolean => (way === "turn toward back bow" ? guess.backPerTurn : guess.forwardPerTurn) > 0;
  const needed = (rods: readonly Rod[]): Measured => weightedMeasured(rods.filter(bearing).flatMap((guess) => changes.map((mm) => ({ value: Math.abs(turnsAt(guess, moved(guess, now) + mm) - now), weight: guess.weight }))), "1");
  if (test !== undefined) {
    const result = way === "turn toward back bow" ? test.towardBackBow : test.towardForwardBow;
    return result.status === "works" ? stepped(needed(test.guesses.filter(({ weight }) => weight > NEGLIGIBLE)), "rod test") : undefined;
  }
  if (perTurn === undefined || !(perTurn.low95 > 0)) return undefined;
  const spread = Math.log(perTurn.high95 / perTurn.low95) / (2 * NORMAL_95);
  const believed = quantiles().map((z) => perTurn.value * Math.exp(spread * z));
  return stepped(needed(believed.flatMap((mm) => DEAD_TURNS.map((deadTurns) => ({ backPerTurn: mm, forwardPerTurn: mm, deadTurns, weight: 1 })))), "bow model");
}

function quantiles(): readonly number[] {
  return Array.from({ length: QUANTILES }, (_, index) => normalQuantile((index + 0.5) / QUANTILES));
}

/** Relief that the rod adds at a position counted toward back bow, mm. */
function moved(guess: Rod, turns: number): number {
  return movedMm({ ...guess, sense: 1 }, turns);
}

/** The position, counted toward back bow, at which the rod adds a relief: what `moved` turns round. A way that does not bear is taken to its dead zone's end. */
function turnsAt({ backPerTurn, forwardPerTurn, deadTurns }: Rod, reliefMm: number): number {
  if (reliefMm < 0) return backPerTurn > 0 ? deadTurns - reliefMm / backPerTurn : deadTurns;
  return forwardPerTurn > 0 ? -(deadTurns + reliefMm / forwardPerTurn) : 0;
}

/** Eighths, since no hand turns finer; less than the whole on purpose, since what was turned too far has to come back. */
function stepped(inAll: Measured, from: RodTurns["from"]): RodTurns {
  return { inAll, from, firstStep: Math.min(MOST_A_STEP, Math.max(1 / 16, Math.floor(8 * inAll.value + 0.25) / 8)) };
}
