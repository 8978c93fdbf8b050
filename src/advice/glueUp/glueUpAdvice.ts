import { rangeWords } from "../../bow/effect.js";
import type { BowModel } from "../../bow/model/bowModel.js";
import { believedDraws } from "../../bow/calibration/belief.js";
import { rangeOf } from "../../bow/uncertainty/range.js";
import { drawWork, prepareWork } from "../../bow/sequence/draw.js";
import { limitsOf } from "../../neck/limits.js";
import type { Kink } from "../../shape/kink.js";
import { magnitude } from "../../shape/drawn.js";
import { kinks } from "../../shape/kink.js";
import { twistOfNeck, type Twist } from "../../shape/twist.js";
import { normalCdf } from "../../survey/likelihood/normal.js";
import type { Survey } from "../../survey/survey.js";
import type { Measured } from "../../units/measured.js";
import { bowWords, lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { advised, type Advice } from "../advice.js";
import { GLUE_CAUTIONS } from "../cautions.js";
import { boardBow, faceBowOf } from "./boardBow.js";

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
    readonly twist: Twist;
    readonly limitMm: number;
  };
  readonly kinks: readonly Kink[];
};

/** A board read off its bench humidity moves while it is glued; common practice, no source. */
const AIR_PERCENT = [35, 60] as const;
/** Beyond so many times the limit a board is not pulled flat without harm (own estimate). */
const HOPELESS = 3;
/** A gluing face that is bowed by more than this is planed first; common practice, no source. */
const FACE_MM = 0.15;
const DRAWS = 400;
const SEED = 7;

/**
 * May this fretted board be glued like this? From its survey (on a bench plate or on its side) and, where read, the neck's gluing face.
 * Nothing is called fit to be glued before bow, twist, the neck's face and rest were all looked at.
 * @param board survey of the free board
 */
export function glueUpAdvice(board: Survey, question: GlueUpQuestion = {}): GlueUpAdvice {
  const order = question.order ?? "mm first";
  const { name } = board.neck;
  const limits = limitsOf(board.neck);
  const assumed = [...new Set([...board.assumed, ...limits.assumed.filter((text) => /glued|twist/.test(text)), `a gluing face counts as flat within ${lengthWords(FACE_MM, order)} (common practice, no source)`, ...(question.model?.assumed ?? [])])];
  const base = { cautions: GLUE_CAUTIONS, assumed };
  const nothing = (headline: string, readIfUnsure: readonly string[]): GlueUpAdvice => advised({ ...base, decision: "read first", headline, reasons: [], readIfUnsure, kinks: [] });
  if (isGlued(board)) return nothing(`${name}: this survey is of a neck that is glued already; ask with a survey of the free board.`, []);
  const bow = boardBow(board);
  if (bow.status === "undetermined") return nothing(`${name}: these readings do not yet say how the board lies, so it should not be glued on them.`, [`To fix it: ${bow.need}.`]);
  const twist = twistOfNeck(board);
  const faceBow = question.neckFace === undefined ? undefined : faceBowOf(question.neckFace);
  const remains = question.model === undefined ? undefined : remainsOf(question.model, bow.relief, faceBow);
  const found = kinks(board);
  const corners = found.filter((kink) => kink.status === "corner up" || kink.status === "corner down");
  const limitMm = limits.glueUpBowMaxMm;
  const p = {
    bent: beyond(bow.relief, limitMm), hopeless: beyond(bow.relief, HOPELESS * limitMm), cornered: corners.length > 0 ? CORNER_SURE : 0,
    twisted: twist.status === "determined" ? beyond(twist.twist, limits.twistMaxMm) : 0, face: faceBow === undefined ? 0 : beyond(faceBow, FACE_MM),
  };
  const unread = unreadOf(twist, faceBow, question);
  const waiting = waitingFor(board, question);
  const { decision, probability, why } = decided(p, waiting, unread);
  return advised({
    ...base, decision, kinks: found, ...(probability === undefined ? {} : { probability }),
    numbers: { boardBow: bow.relief, ...(faceBow === undefined ? {} : { faceBow }), ...(remains === undefined ? {} : { remains }), twist, limitMm },
    headline: `${name}: ${why === "face" ? "plane the neck's gluing face flat first, then read both again." : HEADLINES[decision]}`,
    reasons: [
      `The free board: ${bowWords(bow.relief.value)}, ${measuredWords(magnitude(bow.relief), order)} ${bow.where}; boards up to ${lengthWords(limitMm, order)} are glued as they are.`,
      ...(twist.status === "determined" ? [twist.describe(order)] : []),
      ...corners.map((kink) => kink.describe(order)),
      ...(faceBow === undefined ? [] : [`The neck's gluing face: ${bowWords(faceBow.value)}, ${measuredWords(magnitude(faceBow), order)}.`]),
      ...(remains === undefined ? [] : [`Glued flat, this should remain in the neck: ${rangeWords(remains.afterGlueUp)}.`, `Under strings, with the rod slack: ${rangeWords(remains.underStrings)}.`]),
      ...waiting,
    ],
    readIfUnsure: unread,
  });
}

const HEADLINES: Readonly<Record<GlueUpDecision, string>> = {
  "glue it": "the board may be glued as it is, clamped flat through a shaped caul.",
  "flatten first": "flatten the board first, then read it again.",
  wait: "wait; read it again when it has settled.",
  "do not glue": "do not glue this board as it is: it would hold the neck bent or come loose.",
  "read first": "not yet. Nothing that was read speaks against gluing it, but not everything was read.",
};

/** A corner is told where its interval leaves no doubt. */
const CORNER_SURE = 0.975;

function isGlued({ sheet }: Survey): boolean {
  return /\b(after glue-?up|glued( up| on)?)\b/i.test(sheet.stage) && !/\b(not|un-?|before|to be)\b/i.test(sheet.stage);
}

/** What speaks for waiting; a rule of the bench, not a number. */
function waitingFor({ sheet }: Survey, question: GlueUpQuestion): readonly string[] {
  const { humidityPercent } = sheet.state;
  const off = humidityPercent !== undefined && (humidityPercent < AIR_PERCENT[0] || humidityPercent > AIR_PERCENT[1]);
  return [
    ...(off ? [`The air was at ${humidityPercent} per cent: a board that is still drying or swelling goes on moving after it is glued.`] : []),
    ...(question.settled === false ? ["It moved since the survey before: let it settle until two surveys agree."] : []),
  ];
}

function unreadOf(twist: Twist, faceBow: Measured | undefined, { settled, neckFace }: GlueUpQuestion): readonly string[] {
  return [
    ...(settled === undefined ? ["Read it again tomorrow: a board that still moves should wait, and one survey cannot show it."] : []),
    ...(twist.status === "undetermined" ? [`Twist was not read: ${twist.need}.`] : []),
    ...(faceBow === undefined ? [neckFace === undefined ? "The neck's own gluing face was not read: lay the edge along it and read, or look for light, before you glue." : "The readings of the neck's gluing face do not determine it: read a gap in its middle under an edge that rests near both ends."] : []),
  ];
}

type Faults = { readonly bent: number; readonly hopeless: number; readonly cornered: number; readonly twisted: number; readonly face: number };

/** The worst fault decides; faults that were read with one edge are not added up. Waiting and looking are rules of the bench and carry no number. */
function decided(p: Faults, waiting: readonly string[], unread: readonly string[]): { readonly decision: GlueUpDecision; readonly probability?: number; readonly why?: "face" } {
  if (p.hopeless >= 0.5) return { decision: "do not glue", probability: p.hopeless };
  const board = Math.max(p.bent, p.twisted, p.cornered);
  if (board >= 0.5) return { decision: "flatten first", probability: board };
  if (p.face >= 0.5) return { decision: "flatten first", probability: p.face, why: "face" };
  if (waiting.length > 0) return { decision: "wait" };
  return unread.length > 0 ? { decision: "read first" } : { decision: "glue it", probability: Math.max(0, 1 - board - p.face) };
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
