import { believedDraws } from "./calibration/belief.js";
import { stringsNotKnown } from "./cases/stringPull.js";
import type { BowModel } from "./model/bowModel.js";
import { bowRoom, bowState } from "./model/state.js";
import { prepareWork, reliefAfter } from "./sequence/draw.js";
import type { OrderOfWork } from "./sequence/work.js";
import { rangeOf } from "./uncertainty/range.js";
import type { BowUnknowns } from "./unknowns/unknowns.js";
import type { Measured } from "../units/measured.js";

/** Relief left under strings for one opening per slot: at each tension asked about, and with the neck's own strings. */
export type OpeningRelief = { readonly openingMm: number; readonly relief: readonly Measured[]; readonly own: Measured };

/** Relief under strings by opening per slot and string tension. */
export type Openings = { readonly tensionsN: readonly number[]; readonly ownTensionN: number; readonly steps: readonly OpeningRelief[] };

const DRAWS = 120;
const SEED = 20_28;
/** Any interference will do: without crushing the opening is in proportion to it. */
const UNIT_MM = 0.01;

/**
 * Relief at the middle fret once strings are on, for openings per slot that are taken as known: how far the tangs open each slot on average, in the free
 * board where frets are pressed before glue-up, in the glued neck where after. All other unknowns vary as they are believed to.
 * @param openingsMm 0 or more
 * @param tensionsN total tensions, 0 or more
 * @throws {RangeError} an opening or tension below 0, or a neck without strings
 */
export function openingReliefs(model: BowModel, work: OrderOfWork, openingsMm: readonly number[], tensionsN: readonly number[]): Openings {
  const bad = [...openingsMm, ...tensionsN].find((value) => !(value >= 0 && Number.isFinite(value)));
  if (bad !== undefined) throw new RangeError(`Cannot work out openings: expected openings in mm and tensions in N of 0 or more, got ${bad}`);
  const ownTensionN = model.setup.pull?.tensionN;
  if (ownTensionN === undefined) throw new RangeError(stringsNotKnown(model.setup.neck.name));
  const parts = believedDraws(model.belief, DRAWS, SEED).map((unknowns) => partsOf(model, { ...work, strings: true }, unknowns, tensionsN.map((tension) => tension / ownTensionN)));
  return {
    tensionsN, ownTensionN,
    steps: openingsMm.map((openingMm) => ({
      openingMm, own: rangeOf(parts.map(({ own, perMm }) => own + perMm * openingMm)),
      relief: tensionsN.map((_, at) => rangeOf(parts.map(({ without, perMm }) => (without[at] ?? 0) + perMm * openingMm))),
    })),
  };
}

type Parts = { readonly without: readonly number[]; readonly own: number; readonly perMm: number };

/** Of one draw: relief without any opening at each tension, and what a mm of opening adds, which no tension changes. */
function partsOf({ setup }: BowModel, work: OrderOfWork, drawn: BowUnknowns, factors: readonly number[]): Parts {
  const prepared = prepareWork(setup, work);
  const relief = (stringTension: number, interferenceMm: number): number => reliefAfter(prepared, { ...drawn, stringTension: Math.max(1e-6, stringTension), interferenceMm, crushingMPa: Infinity });
  const { tang } = bowState(setup, { ...drawn, interferenceMm: UNIT_MM, crushingMPa: Infinity }, bowRoom(setup));
  const opened = work.frets === "before glue-up" ? tang.freeOpeningMm : tang.afterOpeningMm;
  const meanMm = opened.reduce((sum, one) => sum + one, 0) / opened.length;
  const own = relief(drawn.stringTension, 0);
  return { own, without: factors.map((factor) => relief(factor, 0)), perMm: (relief(drawn.stringTension, UNIT_MM) - own) / meanMm };
}
