import type { Neck, TrussRod } from "../../neck/neck.js";
import { limitsOf } from "../../neck/limits.js";
import { rodPosition } from "../../readings/rodState.js";
import { stringsState } from "../../readings/stringsState.js";
import type { NextReading, Survey } from "../../survey/survey.js";
import { NORMAL_95, type Measured } from "../../units/measured.js";
import { bowWords, lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { advised, type Advice } from "../advice.js";
import { ROD_CAUTIONS } from "../cautions.js";
import { middleRelief } from "./middleRelief.js";
import type { RodTest } from "./rodTest.js";
import type { RodQuestion } from "./rodQuestion.js";
import { probabilitiesOf, type ReliefProbabilities } from "./rodProbabilities.js";
import { rodProfiles, type RodProfiles } from "./rodProfiles.js";
import { turnsFor, type RodTurns } from "./rodTurns.js";
import { nutWords, turningWords } from "./rodWords.js";

/** What to do with the rod. */
export type RodDecision = "turn toward back bow" | "leave the rod" | "turn toward forward bow" | "not by this rod" | "read first";

/** Rod advice with its numbers: relief in mm at the middle, positive forward bow. */
export type RodAdvice = Advice<RodDecision> & {
  readonly neck: Neck;
  readonly numbers?: {
    readonly now: Measured;
    /** With strings at pitch and the rod as it is. */
    readonly underStrings: Measured;
    readonly targetMm: readonly [min: number, max: number];
    /** Change of relief at the middle that brings it to the middle of the target; below 0 toward back bow. */
    readonly change: Measured;
    readonly probabilities: ReliefProbabilities;
    /** Fret at which the middle was read. */
    readonly at: string;
  };
  /** How far to turn, where the rod's response is known. */
  readonly turns?: RodTurns;
  /** The neck now, with the rod turned, and with strings; absent where the readings determine no relief. */
  readonly profiles?: RodProfiles;
};

/** Below this the readings decide before the rod does. */
const SURE_ENOUGH = 0.8;

/**
 * Which way to turn the rod, and how far.
 * @param survey in the state to be judged; its rod's position, strings and support are taken from its sheet
 */
export function rodAdvice(survey: Survey, question: RodQuestion = {}): RodAdvice {
  const order = question.order ?? "mm first";
  const middle = middleRelief(survey);
  const assumed = [...new Set([...survey.assumed, ...limitsOf(survey.neck).assumed.filter((text) => question.target === undefined && text.includes("relief under strings"))])];
  if (middle.status === "undetermined") {
    return advised({ decision: "read first", headline: "The readings do not yet determine the relief, so nothing is said of the rod.", reasons: [], probability: 1, readIfUnsure: [`To fix it: ${middle.need}.`], cautions: ROD_CAUTIONS, assumed, neck: survey.neck });
  }
  const { reliefMinMm, reliefMaxMm } = limitsOf(survey.neck);
  const [min, max] = [question.target?.minMm ?? reliefMinMm, question.target?.maxMm ?? reliefMaxMm];
  const underStrings = summed(middle.relief, question.strings);
  const probabilities = probabilitiesOf(middle.relief, question, min, max);
  const change = shifted(underStrings, (min + max) / 2);
  const numbers = { now: middle.relief, underStrings, targetMm: [min, max] as const, change, probabilities, at: middle.at };
  const decided = decisionOf(survey, probabilities, question.test);
  const way = decided.decision === "turn toward back bow" || decided.decision === "turn toward forward bow" ? decided.decision : undefined;
  const turns = way === undefined ? undefined : turnsFor(change, way, question);
  const profiles = rodProfiles(survey, middle.relief, middle.atMm, way === undefined ? undefined : change.value, question);
  return advised({
    decision: decided.decision,
    headline: headline(survey, decided.decision, change, turns, order),
    reasons: [
      `Now, at fret ${middle.at}: ${bowWords(middle.relief.value)}, ${measuredWords(absolute(middle.relief), order)} on the mean of the lines read.`,
      stringsSentence(survey, question.strings, underStrings, order),
      `Wanted: relief from ${lengthWords(min, order)} to ${lengthWords(max, order)}${question.target === undefined ? ", the shop's limits" : ""}.`,
      ...decided.reasons,
    ],
    probability: decided.probability,
    readIfUnsure: decided.probability >= SURE_ENOUGH ? [] : [nextSentence(survey.nextReading(middle.terms), question.strings, order)],
    cautions: ROD_CAUTIONS, assumed, numbers, neck: survey.neck,
    ...(profiles === undefined ? {} : { profiles }),
    ...(turns === undefined ? {} : { turns }),
  });
}

/** The most probable decision, unless the rod cannot do it. */
function decisionOf(survey: Survey, p: ReliefProbabilities, test: RodTest | undefined): { readonly decision: RodDecision; readonly probability: number; readonly reasons: readonly string[] } {
  if (p.within >= p.tooMuchRelief && p.within >= p.tooLittleRelief) return { decision: "leave the rod", probability: p.within, reasons: [] };
  if (p.tooMuchRelief >= p.tooLittleRelief) {
    if (test?.towardBackBow.status === "does not work") return { decision: "not by this rod", probability: p.tooMuchRelief, reasons: ["Its own test says that this rod does not work toward back bow."] };
    return survey.neck.rod?.works === "none"
      ? { decision: "not by this rod", probability: p.tooMuchRelief, reasons: ["This neck has no rod that can be turned."] }
      : { decision: "turn toward back bow", probability: p.tooMuchRelief, reasons: [] };
  }
  return moreRelief(survey.neck.rod, survey, p.tooLittleRelief, test);
}

/** A rod that works one way lets go toward forward bow as far as it was tightened, and no farther. */
function moreRelief(rod: TrussRod | undefined, survey: Survey, probability: number, test: RodTest | undefined): ReturnType<typeof decisionOf> {
  if (rod?.works === "none") return { decision: "not by this rod", probability, reasons: ["This neck has no rod that can be turned."] };
  const failed = test?.towardForwardBow.status === "does not work";
  if (rod?.works !== "one way" && !failed) return { decision: "turn toward forward bow", probability, reasons: [] };
  const position = rodPosition(survey.sheet.state.rod);
  if (position.kind === "turned" || position.kind === "unclear") return { decision: "turn toward forward bow", probability, reasons: [`${failed ? "Its own test says that this rod" : "This rod"} works one way: turning it back only lets go what it holds. Once it is slack, what back bow is left is not curable by it.`] };
  return { decision: "not by this rod", probability, reasons: [`${failed ? "Its own test says that this rod" : "This rod"} works one way, toward back bow, and it is ${position.kind}: back bow with the rod ${position.kind} is not curable by it. Heavier strings, a taller relief cut into the fret tops, or work on the neck itself are what is left.`] };
}

function headline(survey: Survey, decision: RodDecision, change: Measured, turns: RodTurns | undefined, order: UnitOrder): string {
  const { name } = survey.neck;
  if (decision === "leave the rod") return `${name}: leave the rod as it is.`;
  if (decision === "not by this rod") return `${name}: the relief is not what is wanted, and this rod cannot mend it.`;
  const way = decision === "turn toward back bow" ? "toward back bow (middle high)" : "toward forward bow (middle low)";
  const much = `move the middle ${measuredWords(absolute(change), order)} ${way}`;
  return `${name}: ${nutWords(survey.neck.rod, decision)}, to ${much}. ${turningWords(turns, survey.neck.rod)}`;
}

function stringsSentence(survey: Survey, strings: Measured | undefined, under: Measured, order: UnitOrder): string {
  if (strings === undefined) return { on: "The strings were on when it was read.", off: "Strings were off and no pull of strings was added: this judges the bare neck.", unclear: `Whether the strings were on when it was read is not clear ("${survey.sheet.state.strings ?? ""}"), and no pull of strings was added: this judges the neck as it was read.` }[stringsState(survey.sheet.state.strings)];
  return `Strings at pitch are expected to add ${measuredWords(strings, order)} of forward bow (middle low): then ${bowWords(under.value)}, ${measuredWords(absolute(under), order)}, with the rod as it is.`;
}

function nextSentence(next: NextReading, strings: Measured | undefined, order: UnitOrder): string {
  const ofStrings = strings !== undefined && (next.status === "little to gain" || strings.u > next.uNowMm);
  if (ofStrings) return "Most of the doubt is in what the strings will do: string it up to pitch, let it settle, and read the middle again before you turn anything.";
  if (next.status === "little to gain") return "No single further reading narrows this by much: set the edge down afresh on the same line and read it again.";
  const tool = next.tool === "rocker" ? "rock a short edge over" : "slide a leaf under the edge at";
  return `Read first: ${tool} fret ${next.at.label}, ${next.line} line; the give or take would go from ${lengthWords(NORMAL_95 * next.uNowMm, order)} to about ${lengthWords(NORMAL_95 * next.uThenMm, order)}.`;
}

/** Independent amounts added. */
function summed(a: Measured, b: Measured | undefined): Measured {
  if (b === undefined) return a;
  const [value, u] = [a.value + b.value, Math.hypot(a.u, b.u)];
  return { value, u, unit: "mm", low95: value - NORMAL_95 * u, high95: value + NORMAL_95 * u };
}

/** What brings a relief to where it is wanted. */
function shifted(relief: Measured, toMm: number): Measured {
  return { value: toMm - relief.value, u: relief.u, unit: "mm", low95: toMm - relief.high95, high95: toMm - relief.low95 };
}

function absolute(measured: Measured): Measured {
  return measured.value < 0 ? { ...measured, value: -measured.value, low95: -measured.high95, high95: -measured.low95 } : measured;
}
