import type { BowSpan } from "./beam/span.js";
import { rangeWords, type Effect } from "./effect.js";
import { ROD_CAUTION } from "./inverse/rodTurns.js";
import { bowModel, type BowModel, type BowModelOptions } from "./model/bowModel.js";
import type { BowSequence, BowStage } from "./sequence/sequence.js";
import { STAGE_WORDS, type OrderOfWork, type StageName } from "./sequence/work.js";
import { STRING_CAUTION } from "./strings/stringLoad.js";
import type { Contributor } from "./uncertainty/contributors.js";
import { profileBand } from "./uncertainty/band.js";
import { predictionWords } from "./uncertainty/reasons.js";
import type { Neck } from "../neck/neck.js";
import type { Profile } from "../shape/profile.js";
import { capital } from "../units/text.js";
import type { Measured } from "../units/measured.js";
import type { UnitOrder } from "../units/words.js";

/** The bow that one neck is predicted to have after one stage of its order of work: cause by cause, and all together with its range. */
export type BowForecast = {
  readonly neck: Neck;
  readonly model: BowModel;
  readonly work: OrderOfWork;
  readonly sequence: BowSequence;
  readonly stage: StageName;
  /** What is predicted, in a builder's words. */
  readonly title: string;
  readonly span: BowSpan;
  readonly causes: readonly Effect[];
  /** Heights over the chord of the span with their standard uncertainties. */
  readonly sum: Profile;
  readonly relief: Measured;
  readonly contributors: readonly Contributor[];
  readonly notes: readonly string[];
  /** What can hurt at the work. */
  readonly cautions: readonly string[];
  readonly assumed: readonly string[];
  /** Where, how much and which way as a range, why it is wide, what narrows it; then each cause; then the cautions that belong to it. */
  readonly describe: (order?: UnitOrder) => string;
};

/** What is predicted, and until which stage; without a stage to the end of the work. */
export type ForecastOptions = BowModelOptions & { readonly stage?: StageName };

/**
 * Predicts a neck's bow after an order of work, from what the neck file says, books, and whatever `belief` calibration gave.
 * @param neck a neck from `readNeck`
 * @param work what is done, in which order; no order is the default
 * @throws {RangeError} a stage or an order that contradicts itself, a wood that is not known, sizes that make no neck
 */
export function bowForecast(neck: Neck, work: OrderOfWork, options: ForecastOptions = {}): BowForecast {
  const model = bowModel(neck, options);
  const sequence = model.sequence(work);
  const stages = sequence.stages.map(({ stage }) => stage);
  const at = options.stage === undefined ? sequence.final : sequence.stages.find(({ stage }) => stage === options.stage);
  if (at === undefined) throw new RangeError(`Cannot predict the bow at the stage "${options.stage ?? ""}": this order of work has ${stages.join(", ")}`);
  const causes = sequence.stages.slice(0, stages.indexOf(at.stage) + 1).filter(({ on }) => on === at.on).flatMap(({ added }) => added);
  const found = {
    neck, model, work, sequence, stage: at.stage, title: STAGE_WORDS[at.stage], span: at.sum.span, causes,
    sum: profileBand(model.setup, model.belief, work, at.stage), relief: at.relief, contributors: at.contributors,
    notes: [openWords(at, model)].filter((note) => note !== ""), cautions: [...(work.strings === true ? [STRING_CAUTION] : []), ...((work.rodTurns ?? 0) === 0 ? [] : [ROD_CAUTION])], assumed: model.assumed,
  };
  return { ...found, describe: (order: UnitOrder = "mm first") => forecastWords(found, order) };
}

function openWords({ relief, contributors }: BowStage, { belief }: BowModel): string {
  const [, reason] = /^[^;]*; (.*)$/.exec(predictionWords(relief, contributors[0], belief)) ?? [];
  if (reason === undefined) return "";
  return `${capital(reason)}.`;
}

function forecastWords({ neck, title, span, causes, relief, notes, cautions }: Omit<BowForecast, "describe">, order: UnitOrder): string {
  return [
    `${neck.name}, ${title}: ${rangeWords(relief, order)}, at fret ${span.middleFret} over ${span.words}.`,
    ...causes.map(({ cause, range }) => (range === undefined ? `${capital(cause)}.` : `${capital(cause)}: ${rangeWords(range, order)}.`)),
    ...notes, ...cautions,
  ].join("\n");
}
