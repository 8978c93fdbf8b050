import type { DataFrame } from "danfojs";
import { believedValues, middleUnknowns, type BowBelief } from "../bow/calibration/belief.js";
import { learnBow as learn, type LearntBow } from "../bow/calibration/learn.js";
import type { BowReading } from "../bow/calibration/readings.js";
import { unknownRangeWords } from "../bow/calibration/unknownWords.js";
import { bowForecast, type BowForecast, type ForecastOptions } from "../bow/forecast.js";
import type { BowModelOptions } from "../bow/model/bowModel.js";
import { bowState } from "../bow/model/state.js";
import { openingReliefs } from "../bow/openings.js";
import type { OrderOfWork } from "../bow/sequence/work.js";
import type { BowUnknownName } from "../bow/unknowns/unknowns.js";
import { beliefFigure, type DrawnBelief } from "../figures/beliefFigure.js";
import type { Figure } from "../figures/figure.js";
import { openingFigure } from "../figures/openingFigure.js";
import { limitsOf, type Limits } from "../neck/limits.js";
import type { Neck } from "../neck/neck.js";
import { MM_PER_THOU } from "../units/length.js";
import { bowWords, type UnitOrder } from "../units/words.js";
import { dataFrame } from "./dataFrame.js";
import { whileSaying } from "./outlet.js";
import { plainly } from "./plainly.js";

/**
 * Predict the bow that an order of work leaves in a neck, cause by cause, as a range.
 *
 *     const bow = predictBow(neck, { frets: "before glue-up", strings: true });
 *     tell(bow);
 *     show(bow);
 *
 * @param neck what `describeNeck` or `openNeck` gave; sizes, woods, tangs, slots and strings make the range narrower
 * @param work what is done, in which order; no order is the default
 * @param options `stage` to stop earlier; `belief` (of `learnBow(...).after`) to predict with what readings taught; `season` for two rooms
 * @throws {Error} in one sentence where something does not fit
 */
export function predictBow(neck: Neck, work: OrderOfWork, options: ForecastOptions = {}): BowForecast {
  return plainly(() => whileSaying("Working out the bow", () => bowForecast(neck, work, options)));
}

/**
 * Learn a neck from its own readings: a board's bow on the bench, surveys at any stage. What was believed before and after stands side by side.
 *
 *     const order = { frets: "before glue-up", strings: true } as const;
 *     const learnt = learnBow(neck, [{ after: "fretted board", work: order, reliefMm: -4.2, giveOrTakeMm: 0.3 }, { after: "strings", work: order, survey: survey }]);
 *     tell(learnt);
 *     tell(predictBow(neck, order, { belief: learnt.after }));
 *
 * @throws {Error} in one sentence where a reading teaches nothing
 */
export function learnBow(neck: Neck, readings: readonly BowReading[], options: BowModelOptions = {}): LearntBow {
  return plainly(() => whileSaying("Learning from the readings", () => learn(neck, readings, options)));
}

/**
 * The causes of a predicted bow as a table (a danfo.js DataFrame): the middle of what is believed and its range at the middle fret, forward bow positive.
 * @param order which unit stands first; mm unless said
 */
export function causesTable(bow: BowForecast, order: UnitOrder = "mm first"): DataFrame {
  return plainly(() => {
    const rows = [...bow.causes.map(({ cause, reliefMm, range }) => ({ cause, mm: range?.value ?? reliefMm, low: range?.low95 ?? reliefMm, high: range?.high95 ?? reliefMm })), { cause: "all together", mm: bow.relief.value, low: bow.relief.low95, high: bow.relief.high95 }];
    const column = (pick: (row: (typeof rows)[number]) => number, unit: "mm" | "thou"): readonly number[] => rows.map((row) => rounded(pick(row) / (unit === "mm" ? 1 : MM_PER_THOU), unit === "mm" ? 4 : 2));
    const inUnit = (unit: "mm" | "thou"): Record<string, readonly number[]> => ({ [`middle ${unit}`]: column((row) => row.mm, unit), [`from ${unit}`]: column((row) => row.low, unit), [`to ${unit}`]: column((row) => row.high, unit) });
    const [first, second] = order === "mm first" ? (["mm", "thou"] as const) : (["thou", "mm"] as const);
    return dataFrame({ cause: rows.map(({ cause }) => cause), toward: rows.map(({ mm }) => (Math.abs(mm) < 0.005 ? "next to nothing" : bowWords(mm))), ...inUnit(first), ...inUnit(second) });
  });
}

/** What readings taught, as a table: each unknown with the interval it was believed to lie in before the readings and after them. */
export function learntTable(learnt: LearntBow): DataFrame {
  return plainly(() => {
    const rows = [...learnt.values].sort((a, b) => a.left - b.left);
    return dataFrame({
      unknown: rows.map(({ what }) => what), before: rows.map(({ before, unit }) => unknownRangeWords(before, unit)), after: rows.map(({ after, unit }) => unknownRangeWords(after, unit)),
      "width left": rows.map(({ left }) => `${(100 * Math.min(1, left)).toFixed(0)} %`),
    });
  });
}

/**
 * What is believed of a neck's relief before and after readings, and of what they taught most, as hills over one scale; the surer, the narrower.
 *
 *     show(learntFigure(bow, learnt));
 *     show(learntFigure(bow, learnt, strung));
 *
 * @param bow the prediction asked about; its order of work and stage are used
 * @param learnt what `learnBow` gave of the same neck, the one with the fewest readings first
 * @throws {Error} in one sentence where nothing was learnt, or the necks differ
 */
export function learntFigure(bow: BowForecast, learnt: LearntBow, ...more: readonly LearntBow[]): Figure {
  return plainly(() => {
    const all = [learnt, ...more];
    const other = all.find(({ neck }) => neck.name !== bow.neck.name);
    if (other !== undefined) throw new RangeError(`Cannot draw what was learnt of ${other.neck.name} beside a prediction of ${bow.neck.name}: expected one neck`);
    const [taught] = [...(all.at(-1)?.values ?? [])].sort((a, b) => a.left - b.left);
    if (taught === undefined) throw new RangeError("Cannot draw what was learnt: no unknown of the model was learnt");
    const at = (belief: BowBelief, known: string): DrawnBelief => ({ known, reliefMm: reliefUnder(bow, belief), taught: believedOf(belief, taught.name) });
    const limits = limitsOf(bow.neck);
    const beliefs = [at(learnt.before, "before any reading"), ...all.map(({ after, fits }) => at(after, `after ${fits.map(({ of }) => of.replace(", not glued", "")).join(" and ")}`))];
    return beliefFigure({ neck: bow.neck, title: bow.title, middleFret: bow.span.middleFret, beliefs, taught, wantedMm: { min: limits.reliefMinMm, max: limits.reliefMaxMm } });
  });
}

function reliefUnder({ neck, work, stage }: BowForecast, belief: BowBelief): DrawnBelief["reliefMm"] {
  const { value, low95, high95 } = bowForecast(neck, work, { stage, belief }).relief;
  return { middle: value, low95, high95 };
}

function believedOf(belief: BowBelief, wanted: BowUnknownName): DrawnBelief["taught"] {
  const found = believedValues(belief).find(({ name }) => name === wanted);
  if (found === undefined) throw new RangeError(`Cannot draw the belief about ${wanted}: it is no unknown of the model`);
  return found;
}

/** Openings per slot that the slider goes through, mm, and total tensions, N. */
const OPENINGS_MM: readonly number[] = Array.from({ length: 13 }, (_, step) => step * 0.0025);
const TENSIONS: readonly number[] = [0, 0.25, 0.5, 0.75, 1, 1.25, 1.5, 1.75, 2];

/**
 * Relief under strings against their tension, with a slider for how far the tangs open each slot; it works in a saved page without a kernel.
 * @param bow a prediction of an order of work; its belief is worked with
 * @param order which unit stands first; mm unless said
 */
export function openingsFigure(bow: BowForecast, order: UnitOrder = "mm first"): Figure {
  return plainly(() => {
    const { neck, model, work } = bow;
    const own = model.setup.pull?.tensionN ?? 0;
    const openings = openingReliefs(model, work, OPENINGS_MM, TENSIONS.map((times) => roundedTo(times * own, 10)));
    const limits = limitsOf(neck);
    const first = OPENINGS_MM.findIndex((opening) => opening >= openingNow(bow) - 1e-9);
    return openingFigure({
      ...openings, neck, title: "opening per slot against string tension", first: first < 0 ? OPENINGS_MM.length - 1 : first, wantedMm: { min: limits.reliefMinMm, max: limits.reliefMaxMm },
      notes: [work.frets === "before glue-up" ? "Frets pressed before glue-up: the opening is that of the free board." : "Frets pressed after glue-up: the opening is that in the glued neck.", ...wantedWords(limits)],
    }, { order });
  });
}

/** Which of the wanted relief's ends nobody stated. */
function wantedWords({ assumed }: Limits): readonly string[] {
  const unstated = assumed.filter((one) => one.includes("relief"));
  return unstated.length === 0 ? [] : [`Wanted, since the neck file does not say it: ${unstated.join("; ")}.`];
}

/** The mean opening that this neck's tangs are believed to make, mm. */
function openingNow({ model, work }: BowForecast): number {
  const { tang } = bowState(model.setup, middleUnknowns(model.belief));
  const opened = work.frets === "before glue-up" ? tang.freeOpeningMm : tang.afterOpeningMm;
  return opened.reduce((sum, one) => sum + one, 0) / opened.length;
}

function roundedTo(value: number, step: number): number {
  return Math.round(value / step) * step;
}

function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals)) + 0; // no minus before zero
}
