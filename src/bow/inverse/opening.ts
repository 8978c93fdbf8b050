import type { Measured } from "../../units/measured.js";
import { lengthWords, type UnitOrder } from "../../units/words.js";
import { MM_PER_THOU } from "../../units/length.js";
import { middleUnknowns, type BowBelief } from "../calibration/belief.js";
import type { BowSetup } from "../model/setup.js";
import { bowState } from "../model/state.js";
import { prepareWork, reliefAfter } from "../sequence/draw.js";
import type { OrderOfWork } from "../sequence/work.js";
import { answered, checkedWanted, mayBeWords, reachedWords, wantedWords } from "./answered.js";
import { crossing } from "./crossing.js";

/** How much thicker than its slot a tang must be for a wanted relief, or why no thickness gives it. */
export type OpeningAnswer =
  | {
      readonly status: "found";
      /** Tang less slot: what it takes at the middle, and the middle 95 % of what it may take. */
      readonly interferenceMm: Measured;
      /** The slot for the neck's tang, where its thickness is known. */
      readonly slotWidthMm?: Measured;
      /** By how much each slot is then pressed open, mm, mean over the frets. */
      readonly openingMm: number;
      /** Share of the draws in which the relief can be reached. */
      readonly reached: number;
      readonly describe: (order?: UnitOrder) => string;
    }
  | { readonly status: "not reachable"; readonly why: string; readonly leastMm: number; readonly mostMm: number; readonly describe: (order?: UnitOrder) => string };

/** Thicker than this no tang is driven in. Own estimate. */
const MOST_INTERFERENCE_MM = 0.15;

/**
 * Which slot width, for the neck's tangs, leaves the relief wanted at the end of an order of work.
 * @param model a bow model, or its setup and belief
 * @param work what is done; its last stage is where the relief is wanted (with strings, under strings)
 * @param reliefMm wanted at the span's middle fret; positive is forward bow
 * @returns tang less slot, alike for all frets, with what the unknowns leave open; or why no slot gives it
 * @throws {RangeError} a relief that is no number, or an order of work that contradicts itself
 */
export function openingFor({ setup, belief }: { readonly setup: BowSetup; readonly belief: BowBelief }, work: OrderOfWork, reliefMm: number): OpeningAnswer {
  checkedWanted(reliefMm);
  const prepared = prepareWork(setup, work);
  const { middle, range, reached } = answered(belief, (unknowns) =>
    crossing((interferenceMm) => reliefAfter(prepared, { ...unknowns, interferenceMm }), reliefMm, 0, MOST_INTERFERENCE_MM, 1e-6));
  if (middle.status === "outside") {
    const leaves = (interferenceMm: number, order: UnitOrder): string => mayBeWords(belief, (unknowns) => reliefAfter(prepared, { ...unknowns, interferenceMm }), order);
    const why = (order: UnitOrder): string => reliefMm > middle.atLow
      ? `even slots that press on nothing leave ${leaves(0, order)}, and pressing only moves the neck toward back bow (middle high)`
      : `even tangs ${lengthWords(MOST_INTERFERENCE_MM, order)} thicker than their slots leave ${leaves(MOST_INTERFERENCE_MM, order)}: the wood crushes before it pushes harder`;
    return unreachable(middle.atLow, middle.atHigh, reliefMm, why);
  }
  const interferenceMm: Measured = { value: middle.at, u: range?.u ?? 0, unit: "mm", low95: range?.low95 ?? 0, high95: range?.high95 ?? MOST_INTERFERENCE_MM };
  const tangMm = setup.neck.tangs?.thicknessMm;
  const slotWidthMm: Measured | undefined = tangMm === undefined ? undefined : { ...interferenceMm, value: tangMm - interferenceMm.value, low95: tangMm - interferenceMm.high95, high95: tangMm - interferenceMm.low95 };
  const { tang } = bowState(setup, { ...middleUnknowns(belief), interferenceMm: middle.at });
  const opened = work.frets === "before glue-up" ? tang.freeOpeningMm : tang.afterOpeningMm;
  const openingMm = opened.reduce((sum, value) => sum + value, 0) / opened.length;
  return {
    status: "found", interferenceMm, ...(slotWidthMm === undefined ? {} : { slotWidthMm }), openingMm, reached,
    describe: (order: UnitOrder = "mm first") => {
      const slots = slotWidthMm === undefined ? `slots ${between(interferenceMm, order, 3)} narrower than the tangs are thick` : `slots ${between(slotWidthMm, order)} wide for tangs of ${lengthWords(tangMm ?? 0, order)}`;
      return `For ${wantedWords(reliefMm, order)} at fret ${setup.span.middleFret}: ${slots}.${reachedWords(reached)} Start in the middle of that, on a scrap board of the same wood: press six frets, lay the board on its side and read its bow; that says more than any book. Do not force a tang: the board splits.`;
    },
  };
}

function unreachable(atNone: number, atMost: number, reliefMm: number, why: (order: UnitOrder) => string): OpeningAnswer {
  return { status: "not reachable", why: why("mm first"), leastMm: Math.min(atNone, atMost), mostMm: Math.max(atNone, atMost), describe: (order: UnitOrder = "mm first") => `No slot width gives ${wantedWords(reliefMm, order)} at the middle of what is known: ${why(order)}. Let the rod, the clamp or the neck's own shape do it.` };
}

/** Slots are cut to hundredths at best, interference counts in thousandths; both units. */
export function between({ low95, high95 }: Pick<Measured, "low95" | "high95">, order: UnitOrder, decimals = 2): string {
  const mm = `${low95.toFixed(decimals)} to ${high95.toFixed(decimals)} mm`;
  const thou = `${(low95 / MM_PER_THOU).toFixed(decimals - 1)} to ${(high95 / MM_PER_THOU).toFixed(decimals - 1)} thou`;
  return order === "mm first" ? `${mm} (${thou})` : `${thou} (${mm})`;
}
