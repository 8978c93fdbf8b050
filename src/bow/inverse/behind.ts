import { normalQuantile } from "../../survey/likelihood/normal.js";
import type { Measured } from "../../units/measured.js";
import { lengthWords, type UnitOrder } from "../../units/words.js";
import { middleUnknowns, type BowBelief } from "../calibration/belief.js";
import { amountWords, rangeWords } from "../effect.js";
import type { BowSetup } from "../model/setup.js";
import { bowState } from "../model/state.js";
import { prepareWork, reliefAfter } from "../sequence/draw.js";
import { answered, checkedWanted, mayBeWords } from "./answered.js";
import { crossing } from "./crossing.js";
import { between } from "./opening.js";

/** The interference behind a free board's bow, or why there is none. */
export type InterferenceAnswer =
  | {
      readonly status: "found";
      /** Tang less slot. */
      readonly interferenceMm: Measured;
      /** Mean opening of a slot: what the bow itself says, almost whatever the contact. */
      readonly openingMm: number;
      readonly describe: (order?: UnitOrder) => string;
    }
  | { readonly status: "not reachable"; readonly why: string; readonly describe: (order?: UnitOrder) => string };

/** More than any tang is thicker than its slot. Own estimate. */
const MOST_INTERFERENCE_MM = 0.4;

/**
 * The interference behind the measured bow of a free fretted board.
 * @param model a bow model, or its setup and belief
 * @param measured relief of the board at the middle fret of its whole length (`setup.boardSpan`), mm; a board bowed by its frets has back bow, below 0
 * @returns tang less slot, alike for all frets; the range holds the reading's uncertainty and what is not known of the contact
 * @throws {RangeError} a reading that is no number
 */
export function interferenceBehind({ setup, belief }: { readonly setup: BowSetup; readonly belief: BowBelief }, measured: Measured): InterferenceAnswer {
  checkedWanted(measured.value);
  if (measured.value >= 0) {
    return refused((order) => `the board has ${amountWords(measured.value, order)}, and tangs only ever bow a board back (middle high): the wood itself, or its moisture, does this`);
  }
  const prepared = prepareWork(setup, { frets: "before glue-up" });
  const { middle, range } = answered(belief, (unknowns, draw) => {
    const wanted = draw < 0 ? measured.value : measured.value + measured.u * spread(draw);
    return crossing((interferenceMm) => reliefAfter(prepared, { ...unknowns, interferenceMm }, "fretted board"), wanted, 0, MOST_INTERFERENCE_MM, 1e-7);
  });
  if (middle.status === "outside") return refused((order) => `even tangs ${lengthWords(MOST_INTERFERENCE_MM, order)} thicker than their slots would give ${mayBeWords(belief, (unknowns) => reliefAfter(prepared, { ...unknowns, interferenceMm: MOST_INTERFERENCE_MM }, "fretted board"), order)}, since the wood crushes first: read the bow again, or the board was bowed before it was fretted`);
  const interferenceMm: Measured = { value: middle.at, u: range?.u ?? 0, unit: "mm", low95: range?.low95 ?? 0, high95: range?.high95 ?? MOST_INTERFERENCE_MM };
  const { freeOpeningMm } = bowState(setup, { ...middleUnknowns(belief), interferenceMm: middle.at }).tang;
  const openingMm = freeOpeningMm.reduce((sum, value) => sum + value, 0) / freeOpeningMm.length;
  return {
    status: "found", interferenceMm, openingMm,
    describe: (order: UnitOrder = "mm first") => `Behind ${rangeWords(measured, order)}: tangs ${between(interferenceMm, order, 3)} thicker than their slots, which presses each slot open by about ${(1000 * openingMm).toFixed(0)} um.`,
  };
}

function refused(why: (order: UnitOrder) => string): InterferenceAnswer {
  return { status: "not reachable", why: why("mm first"), describe: (order: UnitOrder = "mm first") => `No interference is behind this bow: ${why(order)}.` };
}

/** Evenly spread normal scores, in an order that has nothing to do with the draws of the unknowns (golden ratio). */
function spread(draw: number): number {
  return normalQuantile(((draw + 0.5) * 0.6180339887498949) % 1);
}
