import type { Measured } from "../../units/measured.js";
import { lengthWords, type UnitOrder } from "../../units/words.js";
import { middleUnknowns, type BowBelief } from "../calibration/belief.js";
import { prepareBow, type BowSetup } from "../model/setup.js";
import { prepareWork, reliefAfter } from "../sequence/draw.js";
import type { OrderOfWork } from "../sequence/work.js";
import { answered, checkedWanted, mayBeWords, reachedWords, wantedWords } from "./answered.js";
import { crossing } from "./crossing.js";

/** How stiff a neck must be for a wanted relief, or why stiffness does not do it. */
export type StiffnessAnswer =
  | {
      readonly status: "found";
      /** Stiffness of the neck's wood over the stated one: 1 is as it is; a number without unit. */
      readonly factor: Measured;
      /** The same as a modulus along the grain, MPa, at the middle. */
      readonly modulusMPa: number;
      /** What the neck would have to gain in thickness all along instead, of the same wood, mm; absent where that is more than 6 mm either way. */
      readonly thickerMm?: number;
      readonly reached: number;
      readonly describe: (order?: UnitOrder) => string;
    }
  | { readonly status: "not reachable"; readonly why: string; readonly describe: (order?: UnitOrder) => string };

const LEAST_FACTOR = 0.25;
const MOST_FACTOR = 8;
const MOST_THICKER_MM = 6;
/** Dense woods reach 20 to 25 GPa along the grain (Wood Handbook, Tables 5-3 and 5-5). */
const STIFFEST_WOOD_MPA = 27_000;

/**
 * How stiff the neck's wood must be (or how much thicker the neck, of the same wood) for a wanted relief at the end of an order of work.
 * @param model a bow model, or its setup and belief
 * @param work what is done
 * @param reliefMm wanted at the span's middle fret; positive is forward bow
 * @throws {RangeError} a relief that is no number, or an order of work that contradicts itself
 */
export function stiffnessFor({ setup, belief }: { readonly setup: BowSetup; readonly belief: BowBelief }, work: OrderOfWork, reliefMm: number): StiffnessAnswer {
  checkedWanted(reliefMm);
  const prepared = prepareWork(setup, work);
  const { middle, range, reached } = answered(belief, (unknowns) =>
    crossing((logFactor) => reliefAfter(prepared, { ...unknowns, neckStiffness: Math.exp(logFactor) }), reliefMm, Math.log(LEAST_FACTOR), Math.log(MOST_FACTOR), 1e-5));
  if (middle.status === "outside") {
    const at = (factor: number, order: UnitOrder): string => mayBeWords(belief, (unknowns) => reliefAfter(prepared, { ...unknowns, neckStiffness: factor }), order);
    const why = (order: UnitOrder): string => `a neck a quarter as stiff as stated has ${at(LEAST_FACTOR, order)}, one eight times as stiff ${at(MOST_FACTOR, order)}`;
    return { status: "not reachable", why: why("mm first"), describe: (order: UnitOrder = "mm first") => `Stiffness alone does not give ${wantedWords(reliefMm, order)}: ${why(order)}. Slots, clamp or rod have to.` };
  }
  const at = (logFactor: number): number => Math.exp(logFactor);
  const value = at(middle.at);
  const factor: Measured = { value, u: value * (range?.u ?? 0), unit: "1", low95: range === undefined ? LEAST_FACTOR : at(range.low95), high95: range === undefined ? MOST_FACTOR : at(range.high95) };
  const modulusMPa = value * setup.moduli.neckMPa;
  const thickerMm = thickerBy(setup, belief, work, reliefMm);
  return {
    status: "found", factor, modulusMPa, ...(thickerMm === undefined ? {} : { thickerMm }), reached,
    describe: (order: UnitOrder = "mm first") => {
      const wood = `a neck's wood ${factor.low95.toFixed(1)} to ${factor.high95.toFixed(1)} times as stiff as stated (about ${(modulusMPa / 1000).toFixed(0)} GPa${modulusMPa > STIFFEST_WOOD_MPA ? ", more than any wood has: bars, or a thicker neck" : ""})`;
      const thick = thickerMm === undefined ? "" : `, or of the same wood about ${lengthWords(Math.abs(thickerMm), order)} ${thickerMm < 0 ? "thinner" : "thicker"} all along`;
      return `For ${wantedWords(reliefMm, order)} at fret ${setup.span.middleFret}: ${wood}${thick}.${reachedWords(reached)}`;
    },
  };
}

/** The gain in thickness that does the same, at the middle of the belief. */
function thickerBy(setup: BowSetup, belief: BowBelief, work: OrderOfWork, reliefMm: number): number | undefined {
  const unknowns = middleUnknowns(belief);
  const { sizes, neck } = setup;
  const least = Math.min(...Array.from(setup.points.depthMm)) - (sizes.channel?.depthMm ?? 0);
  const found = crossing((more) => {
    const total = sizes.total.map((size) => ({ ...size, mm: size.mm + more }));
    return reliefAfter(prepareWork(prepareBow({ ...neck, thickness: { board: sizes.board, total } }, setup), work), unknowns);
  }, reliefMm, Math.max(-MOST_THICKER_MM, 0.5 - least), MOST_THICKER_MM, 1e-3);
  return found.status === "found" ? found.at : undefined;
}
