import { rangeWords } from "../../bow/effect.js";
import type { BowModel } from "../../bow/model/bowModel.js";
import { believedDraws } from "../../bow/calibration/belief.js";
import { rangeOf } from "../../bow/uncertainty/range.js";
import { drawWork, prepareWork } from "../../bow/sequence/draw.js";
import { limitsOf } from "../../neck/limits.js";
import type { Kink } from "../../shape/kink.js";
import { kinks } from "../../shape/kink.js";
import { normalCdf } from "../../survey/likelihood/normal.js";
import type { Survey } from "../../survey/survey.js";
import type { Measured } from "../../units/measured.js";
import { bowWords, lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { advised, type Advice } from "../advice.js";
import { GLUE_CAUTIONS } from "../cautions.js";
import { middleRelief } from "../rod/middleRelief.js";
import { boardTwist, type BoardTwist } from "./boardTwist.js";

/** What to do with a fretted board before it is glued on. */
export type GlueUpDecision = "glue it" | "flatten first" | "wait" | "do not glue" | "read first";

/** What the advice works from, beside the survey of the free board. */
export type GlueUpQuestion = {
  /** Survey of the neck's own gluing face, where it was read. */
  readonly neckFace?: Survey;
  /** The bow model of this neck: what stays after glue-up, and under strings. */
  readonly model?: BowModel;
  /** A later survey of the same board agrees with an earlier one: it has settled; absent where it was read once. */
  readonly settled?: boolean;
  readonly order?: UnitOrder;
};

/** Glue-up advice with its numbers: mm, positive forward bow. */
export type GlueUpAdvice = Advice<GlueUpDecision> & {
  readonly numbers?: {
    readonly boardBow: Measured;
    readonly faceBow?: Measured;
    readonly remains?: { readonly afterGlueUp: Measured; readonly underStrings: Measured };
    readonly twist: BoardTwist;
    readonly limitMm: number;
  };
  readonly kinks: readonly Kink[];
};

/** A board read off its bench humidity moves while it is glued; common practice, no source. */
const AIR_PERCENT = [35, 60] as const;
/** Beyond so many times the limit a board is not pulled flat without harm (own estimate). */
const HOPELESS = 3;
const DRAWS = 400;
const SEED = 7;

/**
 * May this fretted board be glued like this? From its survey (on a bench plate or on its side) and, where read, the neck's gluing face.
 * @param board survey of the free board
 * @throws {RangeError} a neck face survey that determines nothing
 */
export function glueUpAdvice(board: Survey, question: GlueUpQuestion = {}): GlueUpAdvice {
  const order = question.order ?? "mm first";
  const { name } = board.neck;
  const middle = middleRelief(board);
  const limits = limitsOf(board.neck);
  const assumed = [...new Set([...board.assumed, ...limits.assumed.filter((text) => /glued|twist/.test(text)), ...(question.model?.assumed ?? [])])];
  const cautions = GLUE_CAUTIONS;
  if (middle.status === "undetermined") {
    return advised({ decision: "read first", headline: `${name}: these readings do not yet say how the board lies, so it should not be glued on them.`, reasons: [], probability: 1, readIfUnsure: [`To fix it: ${middle.need}.`], cautions, assumed, kinks: [] });
  }
  const twist = boardTwist(board);
  const faceRelief = question.neckFace === undefined ? undefined : middleRelief(question.neckFace);
  const faceBow = faceRelief?.status === "determined" ? faceRelief.relief : undefined;
  const remains = question.model === undefined ? undefined : remainsOf(question.model, middle.relief, faceBow);
  const found = kinks(board);
  const limitMm = limits.glueUpBowMaxMm;
  const p = { bent: beyond(middle.relief, limitMm), hopeless: beyond(middle.relief, HOPELESS * limitMm), twisted: twist.status === "determined" ? beyond(twist.twist, limits.twistMaxMm) : 0 };
  const airIsOff = board.sheet.state.humidityPercent !== undefined && (board.sheet.state.humidityPercent < AIR_PERCENT[0] || board.sheet.state.humidityPercent > AIR_PERCENT[1]);
  const waiting = question.settled === false || airIsOff;
  const { decision, probability } = decided(p, waiting);
  return advised({
    decision, probability, cautions, assumed, kinks: found,
    numbers: { boardBow: middle.relief, ...(faceBow === undefined ? {} : { faceBow }), ...(remains === undefined ? {} : { remains }), twist, limitMm },
    headline: `${name}: ${HEADLINES[decision]}`,
    reasons: [
      `The free board: ${bowWords(middle.relief.value)}, ${measuredWords(absolute(middle.relief), order)} at fret ${middle.at}; boards up to ${lengthWords(limitMm, order)} are glued as they are.`,
      twist.describe(order),
      ...found.filter((kink) => kink.status === "corner up" || kink.status === "corner down").map((kink) => kink.describe(order)),
      ...(faceBow === undefined ? [] : [`The neck's gluing face: ${bowWords(faceBow.value)}, ${measuredWords(absolute(faceBow), order)}.`]),
      ...(remains === undefined ? [] : [
        `Glued flat, this should remain in the neck: ${rangeWords(remains.afterGlueUp)}.`,
        `Under strings, with the rod slack: ${rangeWords(remains.underStrings)}.`,
      ]),
      ...(airIsOff ? [`The air was at ${board.sheet.state.humidityPercent ?? ""} per cent: a board that is still drying or swelling goes on moving after it is glued.`] : []),
      ...(question.settled === false ? ["It moved since the survey before: let it settle until two surveys agree."] : []),
    ],
    readIfUnsure: [
      ...(question.settled === undefined ? ["Read it again tomorrow: a board that still moves should wait, and one survey cannot show it."] : []),
      ...(twist.status === "undetermined" ? [`Twist was not read: ${twist.need}.`] : []),
      ...(question.neckFace === undefined ? ["The neck's own gluing face was not read: lay the edge along it and look for light before you glue."] : []),
    ],
  });
}

const HEADLINES: Readonly<Record<GlueUpDecision, string>> = {
  "glue it": "the board may be glued as it is, clamped flat through a shaped caul.",
  "flatten first": "flatten the board first, then read it again.",
  wait: "wait; read it again when it has settled.",
  "do not glue": "do not glue this board as it is: it would hold the neck bent or come loose.",
  "read first": "read first.",
};

function decided(p: { readonly bent: number; readonly hopeless: number; readonly twisted: number }, waiting: boolean): { readonly decision: GlueUpDecision; readonly probability: number } {
  if (p.hopeless >= 0.5) return { decision: "do not glue", probability: p.hopeless };
  const faulty = 1 - (1 - p.bent) * (1 - p.twisted);
  if (waiting) return { decision: "wait", probability: Math.max(faulty, 1 - faulty) };
  return faulty >= 0.5 ? { decision: "flatten first", probability: faulty } : { decision: "glue it", probability: 1 - faulty };
}

/** Probability that an amount, either way, is over a limit. */
function beyond({ value, u }: Measured, limit: number): number {
  return normalCdf((value - limit) / u) + normalCdf((-limit - value) / u);
}

/** The measured bow, not the book's, is carried through glue-up: what share of its bow a board keeps hangs on stiffnesses alone. */
function remainsOf(model: BowModel, board: Measured, face: Measured | undefined): { readonly afterGlueUp: Measured; readonly underStrings: Measured } {
  const prepared = prepareWork(model.setup, { frets: "before glue-up", strings: true });
  const at = (stage: string, of: string): number => prepared.causes.findIndex((cause) => cause.stage === stage && cause.of.includes(of));
  const [free, glued, strings] = [at("fretted board", ""), at("glue-up", "fretted board"), at("strings", "")];
  const draws = believedDraws(model.belief, DRAWS, SEED).map((unknowns, index) => {
    const mm = drawWork(prepared, unknowns);
    const kept = mm[free] === undefined || mm[free] === 0 ? 0 : (mm[glued] ?? 0) / mm[free];
    const read = board.value + board.u * (SPREAD[index % SPREAD.length] ?? 0);
    return { after: kept * read + (face?.value ?? 0), strings: mm[strings] ?? 0 };
  });
  return { afterGlueUp: rangeOf(draws.map(({ after }) => after)), underStrings: rangeOf(draws.map(({ after, strings: pull }) => after + pull)) };
}

/** Quartiles of the normal stand for the reading's own spread. */
const SPREAD = [-1.15, -0.32, 0.32, 1.15];

function absolute(measured: Measured): Measured {
  return measured.value < 0 ? { ...measured, value: -measured.value, low95: -measured.high95, high95: -measured.low95 } : measured;
}
