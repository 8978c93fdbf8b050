import type { Measured } from "../../units/measured.js";
import type { UnitOrder } from "../../units/words.js";
import { believedDraws, type BowBelief } from "../calibration/belief.js";
import { rangeWords } from "../effect.js";
import type { BowSetup } from "../model/setup.js";
import { rangeOf } from "../uncertainty/range.js";
import { prepareWork, reliefAfter } from "./draw.js";

/** The two orders of work for the same board, frets and neck: what the pressed frets leave in the glued neck, with a flat clamp and the gluing face straight. */
export type OrdersCompared = {
  /** Frets pressed into the free board, then glued flat. */
  readonly before: Measured;
  /** Frets pressed into the glued neck. */
  readonly after: Measured;
  /** After less before, drawn together: below 0 where pressing after glue-up leaves more back bow. */
  readonly differenceMm: Measured;
  /** After over before, a number without unit; absent where nothing presses. */
  readonly times?: Measured;
  readonly describe: (order?: UnitOrder) => string;
};

const DRAWS = 400;
const SEED = 20_26;

/**
 * Compares the two orders of work for one neck: frets before or after glue-up. Neither is the default, and neither is a fault: what differs is how much back bow stays.
 * @param model a bow model, or its setup and belief
 */
export function ordersCompared({ setup, belief }: { readonly setup: BowSetup; readonly belief: BowBelief }): OrdersCompared {
  const [first, later] = [prepareWork(setup, { frets: "before glue-up" }), prepareWork(setup, { frets: "after glue-up" })];
  const pairs = believedDraws(belief, DRAWS, SEED).map((drawn) => {
    const unknowns = { ...drawn, neckFaceBowMm: 0 };
    return { before: reliefAfter(first, unknowns), after: reliefAfter(later, unknowns) };
  });
  const [before, after] = [rangeOf(pairs.map((pair) => pair.before)), rangeOf(pairs.map((pair) => pair.after))];
  const differenceMm = rangeOf(pairs.map((pair) => pair.after - pair.before));
  const ratios = pairs.filter((pair) => pair.before !== 0).map((pair) => pair.after / pair.before);
  const times: Measured | undefined = ratios.length > pairs.length / 2 ? { ...rangeOf(ratios), unit: "1" } : undefined;
  return {
    before, after, differenceMm, ...(times === undefined ? {} : { times }),
    describe: (order: UnitOrder = "mm first") => [
      `Frets pressed before glue-up leave ${rangeWords(before, order)}, the same frets pressed after it ${rangeWords(after, order)}, at fret ${setup.span.middleFret}`,
      ...(times === undefined ? [] : [`: ${times.low95.toFixed(1)} to ${times.high95.toFixed(1)} times as much`]), ".",
    ].join(""),
  };
}
