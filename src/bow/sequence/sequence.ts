import type { Profile } from "../../shape/profile.js";
import type { Measured } from "../../units/measured.js";
import { capital } from "../../units/text.js";
import type { UnitOrder } from "../../units/words.js";
import { believedDraws, middleUnknowns, type BowBelief } from "../calibration/belief.js";
import { effectOf, rangeWords, sumOfEffects, type Effect } from "../effect.js";
import type { BowSetup } from "../model/setup.js";
import { contributors, type Contributor } from "../uncertainty/contributors.js";
import { rangeOf } from "../uncertainty/range.js";
import { predictionWords } from "../uncertainty/reasons.js";
import { drawWork, prepareWork, reliefAfter, type PreparedWork } from "./draw.js";
import { STAGE_WORDS, type OrderOfWork, type StageName } from "./work.js";

/** A neck (or, first, its free board) after one stage of the work. */
export type BowStage = {
  readonly stage: StageName;
  readonly on: "board" | "neck";
  /** What this stage adds, cause by cause, at the middle of the belief; each with its range. */
  readonly added: readonly Effect[];
  /** All that came so far; its profile is the shape after the stage at the middle of the belief (`profileBand` gives it with uncertainties). */
  readonly sum: Effect;
  readonly profile: Profile;
  /** Relief at the span's middle fret: median and middle 95 % of the draws. */
  readonly relief: Measured;
  /** What makes it uncertain, the largest first. */
  readonly contributors: readonly Contributor[];
  readonly describe: (order?: UnitOrder) => string;
};

/** A whole order of work, stage by stage. */
export type BowSequence = {
  readonly work: OrderOfWork;
  readonly stages: readonly [BowStage, ...BowStage[]];
  readonly final: BowStage;
  readonly assumed: readonly string[];
  /** One line a stage: the sum with its range, its causes with their signs; last why it is wide and what narrows it. */
  readonly describe: (order?: UnitOrder) => string;
};

const DRAWS = 400;
const SEED = 20_26;

/**
 * Works a whole order of work through: a profile after each stage, each cause with its sign, then the sum, all with ranges from what is believed.
 * @param setup a prepared neck
 * @param belief what is believed of its unknowns: before any reading `priorBelief(bowPriors(neck))`, afterwards what calibration gave
 * @param work what is done, in which order
 * @throws {RangeError} an order that contradicts itself, a rod or strings that the neck does not have
 */
export function bowSequence(setup: BowSetup, belief: BowBelief, work: OrderOfWork): BowSequence {
  const prepared = prepareWork(setup, work);
  const draws = believedDraws(belief, DRAWS, SEED).map((unknowns) => drawWork(prepared, unknowns).slice());
  drawWork(prepared, middleUnknowns(belief));
  const effects = prepared.causes.map((cause, index) =>
    effectOf(cause.of, setup.grid, copied(prepared, index), cause.on === "board" ? setup.boardSpan : setup.span, rangeOf(draws.map((draw) => draw[index] ?? 0))));
  const names = [...new Set(prepared.causes.map(({ stage }) => stage))];
  const [first, ...others] = names.map((name) => stageOf(prepared, belief, effects, draws, name));
  if (first === undefined) throw new RangeError("Cannot work through an order of work without a stage");
  const final = others.at(-1) ?? first;
  return { work, stages: [first, ...others], final, assumed: setup.assumed, describe: (order: UnitOrder = "mm first") => [first, ...others].map((stage) => stage.describe(order)).join("\n") };
}

function stageOf(prepared: PreparedWork, belief: BowBelief, effects: readonly Effect[], draws: readonly Float64Array[], stage: StageName): BowStage {
  const { setup, causes } = prepared;
  const last = causes.map((cause) => cause.stage).lastIndexOf(stage);
  const on = causes[last]?.on ?? "neck";
  const counted = causes.map((cause, index) => index <= last && cause.on === on);
  const relief = rangeOf(draws.map((draw) => draw.reduce((sum, value, index) => sum + (counted[index] === true ? value : 0), 0)));
  const plain = sumOfEffects(STAGE_WORDS[stage], setup.grid, effects.filter((_, index) => counted[index]));
  const sum = effectOf(plain.cause, setup.grid, plain, plain.span, relief);
  const added = effects.filter((_, index) => causes[index]?.stage === stage);
  const found = contributors(belief, (unknowns) => reliefAfter(prepared, unknowns, stage));
  return {
    stage, on, added, sum, relief, contributors: found, profile: sum.profile,
    describe: (order: UnitOrder = "mm first") => {
      const head = `${capital(STAGE_WORDS[stage])} (${sum.span.words}, at fret ${sum.span.middleFret}): ${predictionWords(relief, found[0], belief, order)}.`;
      return [head, ...added.map((effect) => `  ${effect.cause}: ${rangeWords(effect.range ?? relief, order)}`)].join("\n");
    },
  };
}

/** Draws write over their strainings, results keep theirs. */
function copied({ strainings }: PreparedWork, index: number): Parameters<typeof effectOf>[2] {
  const { curvaturePerMm, kinkRad, axialStrain } = strainings[index] ?? { curvaturePerMm: new Float64Array(0), kinkRad: new Float64Array(0), axialStrain: new Float64Array(0) };
  return { curvaturePerMm: curvaturePerMm.slice(), kinkRad: kinkRad.slice(), axialStrain: axialStrain.slice() };
}
