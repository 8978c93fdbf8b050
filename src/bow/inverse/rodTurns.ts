import type { Measured } from "../../units/measured.js";
import type { UnitOrder } from "../../units/words.js";
import type { BowBelief } from "../calibration/belief.js";
import { effectiveTurns } from "../cases/rod.js";
import type { BowSetup } from "../model/setup.js";
import { prepareWork, reliefAfter } from "../sequence/draw.js";
import type { OrderOfWork } from "../sequence/work.js";
import { answered, checkedWanted, mayBeWords, reachedWords, wantedWords } from "./answered.js";
import type { Crossing } from "./crossing.js";

/** How far the rod must turn from slack, or why turning does not do it. */
export type RodTurnsAnswer =
  | {
      readonly status: "found";
      /** Turns from slack: above 0 tighter, toward back bow (middle high); a number without unit. */
      readonly turns: Measured;
      readonly reached: number;
      readonly describe: (order?: UnitOrder) => string;
    }
  | { readonly status: "not reachable"; readonly why: string; readonly describe: (order?: UnitOrder) => string };

/** Few rods have more. Common practice, no source. */
const MOST_TURNS = 2;

/** Said wherever a rod is to be turned. */
export const ROD_CAUTION =
  "Caution: no more than a quarter turn a step, then wait and read again; let the strings down if the nut is stiff; stop when resistance rises fast, at a creak, or when a quarter turn moves nothing that you can read; a forced rod breaks the neck. The rod maker's word goes first.";

/**
 * How far the rod must turn from slack for a wanted relief at the end of an order of work.
 * @param model a bow model, or its setup and belief
 * @param work what is done besides; its own `rodTurns` do not count
 * @param reliefMm wanted at the span's middle fret; positive is forward bow
 * @throws {RangeError} a relief that is no number, or an order of work that contradicts itself
 */
export function rodTurnsFor({ setup, belief }: { readonly setup: BowSetup; readonly belief: BowBelief }, work: OrderOfWork, reliefMm: number): RodTurnsAnswer {
  checkedWanted(reliefMm);
  const { rod } = setup;
  if (rod === undefined) return refused(() => 'nothing says that this neck has a rod and how it works: give rod.works, "one way" or "both ways", in the neck file');
  const [without, tightened] = [prepareWork(setup, { ...work, rodTurns: 0 }), prepareWork(setup, { ...work, rodTurns: 1 })];
  const bareMm: number[] = [];
  const { middle, range, reached } = answered(belief, (unknowns): Crossing => {
    const bare = reliefAfter(without, unknowns);
    bareMm.push(bare);
    const perTurn = (reliefAfter(tightened, unknowns) - bare) / effectiveTurns(1, unknowns.rodDeadZoneTurns);
    const effective = (reliefMm - bare) / perTurn;
    const turns = effective + Math.sign(effective) * unknowns.rodDeadZoneTurns;
    const within = Math.abs(turns) <= MOST_TURNS && !(rod.works === "one way" && turns < 0);
    return within ? { status: "found", at: turns } : { status: "outside", atLow: bare, atHigh: bare + perTurn * MOST_TURNS };
  });
  if (middle.status === "outside") {
    const bare = bareMm[0] ?? 0;
    return refused((order) => rod.works === "one way" && reliefMm > bare
      ? `with the rod slack the neck is expected to have ${mayBeWords(belief, (unknowns) => reliefAfter(without, unknowns), order)}, and a rod that works one way can only push toward back bow (middle high)`
      : `it would take more than ${MOST_TURNS} turns, more than most rods have`);
  }
  const turns: Measured = { value: middle.at, u: range?.u ?? 0, unit: "1", low95: range?.low95 ?? -MOST_TURNS, high95: range?.high95 ?? MOST_TURNS };
  return { status: "found", turns, reached, describe: (order: UnitOrder = "mm first") => `For ${wantedWords(reliefMm, order)} at fret ${setup.span.middleFret}: ${turnsWords(turns)}.${reachedWords(reached)} ${ROD_CAUTION}` };
}

function turnsWords({ low95, high95 }: Measured): string {
  const way = (turns: number): string => (turns < 0 ? "the other way, toward forward bow (middle low)" : "tighter, toward back bow (middle high)");
  if (low95 < 0 && high95 > 0) return `between ${(-low95).toFixed(2)} of a turn ${way(-1)}, and ${high95.toFixed(2)} of a turn ${way(1)}: leave it slack and read first`;
  const [least, most] = [Math.min(Math.abs(low95), Math.abs(high95)), Math.max(Math.abs(low95), Math.abs(high95))];
  return `${least.toFixed(2)} to ${most.toFixed(2)} turns from slack ${way(low95 + high95)}`;
}

function refused(why: (order: UnitOrder) => string): RodTurnsAnswer {
  return { status: "not reachable", why: why("mm first"), describe: (order: UnitOrder = "mm first") => `The rod alone does not do it: ${why(order)}.` };
}
