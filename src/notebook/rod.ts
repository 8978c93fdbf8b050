import { glueUpAdvice, type GlueUpAdvice, type GlueUpQuestion } from "../advice/glueUp/glueUpAdvice.js";
import { fitCheck, type FitAdvice, type FitReadings } from "../advice/fit/fitCheck.js";
import { rodQuestionOf } from "../advice/rod/fromBowModel.js";
import { rodAdvice } from "../advice/rod/rodAdvice.js";
import type { RodAdvice } from "../advice/rod/rodAdvised.js";
import { rodAdviceStringsUnknown, rodAdviceUnsaid } from "../advice/rod/strungOrBare.js";
import type { RodQuestion } from "../advice/rod/rodQuestion.js";
import { rodTestOf, type SurveyedRodTest } from "../advice/rod/rodTestOf.js";
import { bowModel, type BowModel } from "../bow/model/bowModel.js";
import type { Neck } from "../neck/neck.js";
import type { SurveySheet } from "../readings/reading.js";
import { adjustTogether } from "../survey/together.js";
import type { Survey } from "../survey/survey.js";
import { hasUnit, lengthMm } from "../units/length.js";
import { valueOrThrow } from "../units/problem.js";
import type { UnitOrder } from "../units/words.js";
import { whileSaying } from "./outlet.js";
import { plainly } from "./plainly.js";

/** What you may say beside the survey when you ask about the rod; all of it may be left out. */
export type RodWish = {
  /**
   * `"to come"`: add what strings will do, worked out from the neck file. `"none"`: it goes out bare. `"on"`: judge the neck as it was read. Left out, and not on while it was read:
   * both are worked out; where they differ, you are asked.
   */
  readonly strings?: "on" | "to come" | "none";
  /** The relief you want, as `["0.1 mm", "0.25 mm"]`; the shop's limits otherwise. */
  readonly relief?: readonly [least: string | number, most: string | number];
  /** What `testRod` gave. */
  readonly test?: SurveyedRodTest;
  /** A bow model that learnt from this neck's readings. */
  readonly model?: BowModel;
  readonly order?: UnitOrder;
};

/**
 * Which way to turn the rod, and how far.
 *
 *     const advice = adviseRod(survey, { strings: "to come" });
 *     tell(advice); show(advice);
 *
 * @throws {Error} in one sentence where the relief you want is no length
 */
export function adviseRod(survey: Survey, wish: RodWish = {}): RodAdvice {
  return plainly(() => {
    const model = wish.model ?? bowModel(survey.neck);
    const test = wish.test?.status === "tested" ? { test: wish.test } : {};
    const target: Pick<RodQuestion, "target"> = wish.relief === undefined ? {} : { target: wanted(wish.relief) };
    const asked: RodQuestion = { ...rodQuestionOf(model, false), ...test, ...target, ...(wish.order === undefined ? {} : { order: wish.order }) };
    if (wish.strings === "on" || wish.strings === "none") return rodAdvice(survey, asked);
    if (model.setup.pull === undefined) return rodAdviceStringsUnknown(survey, asked, wish.strings === "to come");
    const strings = rodQuestionOf(model, true);
    const advice = wish.strings === "to come" ? rodAdvice(survey, { ...asked, ...strings }) : rodAdviceUnsaid(survey, asked, strings);
    return wish.strings === "to come" || advice.either !== undefined ? { ...advice, assumed: [...new Set([...advice.assumed, ...model.assumed])] } : advice;
  });
}

/** No neck is wanted with more relief than this; a larger number without a unit is thou (own judgement). */
const PLAIN_RELIEF_MM = 1;

function wanted([least, most]: readonly [string | number, string | number]): { readonly minMm: number; readonly maxMm: number } {
  const [minMm, maxMm] = [lengthMm(least), lengthMm(most)];
  if (minMm === undefined || maxMm === undefined || !(maxMm > minMm)) throw new RangeError(`Cannot aim for a relief from ${JSON.stringify(least)} to ${JSON.stringify(most)}: expected two lengths, the smaller first, as ["0.1 mm", "0.25 mm"]`);
  if (Math.max(Math.abs(minMm), Math.abs(maxMm)) > PLAIN_RELIEF_MM && !(hasUnit(least) && hasUnit(most))) {
    throw new RangeError(`Cannot aim for a relief from ${JSON.stringify(least)} to ${JSON.stringify(most)}: a number alone is mm, and that would be much; write ["${least} thou", "${most} thou"] if thou were meant, each with mm if mm were`);
  }
  return { minMm, maxMm };
}

/**
 * Judge a rod by surveys of the neck at several positions of its nut, in the order in which they were read.
 *
 *     const test = testRod(neck, openReadings(neck, "rod-test.csv"));
 *     tell(test);
 *
 * @param sheets each must say where the rod stood, as `rod: neutral` or `rod: 1/4 turn clockwise`
 * @throws {Error} in one sentence where there are fewer than two
 */
export function testRod(neck: Neck, sheets: readonly SurveySheet[]): SurveyedRodTest {
  return plainly(() => whileSaying(`Working out ${sheets.length} surveys together`, () => rodTestOf(adjustTogether(neck, sheets))));
}

/**
 * May this fretted board be glued on like this? From a survey of the free board, and of the neck's gluing face if you read it.
 *
 *     tell(adviseGlueUp(board, { neckFace: face }));
 */
export function adviseGlueUp(board: Survey, question: GlueUpQuestion = {}): GlueUpAdvice {
  return plainly(() => {
    const model = bowModel(board.neck);
    return glueUpAdvice(board, { ...(model.setup.pull === undefined ? {} : { model }), ...question }); // what remains is told bare and strung
  });
}

/**
 * Check a dry fit of the rod.
 *
 *     tell(checkFit({ rod: { "nut end": "flush", middle: "0.2 mm below", "heel end": "8 thou above" }, nutTurns: true, liesStraight: true, facesFlat: true }));
 *
 * @throws {Error} listing everything in it that cannot be read
 */
export function checkFit(readings: FitReadings, order: UnitOrder = "mm first"): FitAdvice {
  return plainly(() => valueOrThrow(fitCheck(readings, order), "the dry fit"));
}
