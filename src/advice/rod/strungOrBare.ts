import { isTwisted } from "../../frets/twisted.js";
import { stringsState } from "../../readings/stringsState.js";
import type { Survey } from "../../survey/survey.js";
import type { UnitOrder } from "../../units/words.js";
import { rodAdvice } from "./rodAdvice.js";
import { rodAdvised, type RodAdvice } from "./rodAdvised.js";
import type { RodQuestion } from "./rodQuestion.js";
import type { RodMiss, RodReason } from "./rodReason.js";
import { twistFirst } from "./twistFirst.js";

/**
 * Rod advice where nobody has said whether the neck will be strung: one answer where it is the same either way, else the question and both answers.
 * @param asked without strings
 * @param ifStrung what strings would add
 * @throws {RangeError} a wanted relief whose ends are not finite, or not the smaller first
 */
export function rodAdviceUnsaid(survey: Survey, asked: RodQuestion, ifStrung: Pick<RodQuestion, "strings" | "stringsDrawsMm" | "stringsShape">): RodAdvice {
  const bare = rodAdvice(survey, asked);
  if (ifStrung.strings === undefined || stringsState(survey.sheet.state.strings) === "on") return bare;
  const strung = rodAdvice(survey, { ...asked, ...ifStrung });
  return isSame(bare, strung) ? sameEitherWay(bare, strung, asked.order) : question(bare, strung, twistFirst(survey), asked.order);
}

/**
 * Rod advice for a neck whose strings nobody gave and for which no usual set may be taken: that is what is missing, unless the strings were on when it was read or the neck goes out bare.
 * @param asked without strings
 * @param areToCome whether it was said that the neck will be strung
 * @throws {RangeError} a wanted relief whose ends are not finite, or not the smaller first
 */
export function rodAdviceStringsUnknown(survey: Survey, asked: RodQuestion, areToCome: boolean): RodAdvice {
  const bare = rodAdvice(survey, asked);
  const { neck, numbers, profiles, cautions, assumed } = bare;
  const order = asked.order ?? "mm first";
  if (numbers === undefined || stringsState(survey.sheet.state.strings) === "on") return bare;
  if (isBeforeAll(bare)) return rodAdvised({ ...bare, because: [...bare.because, { kind: "first either way" }] }, order);
  const isRodless = neck.rod?.works === "none";
  return rodAdvised({
    decision: "say first", neck, numbers, cautions, assumed, isWayKnown: false, ...(profiles === undefined ? {} : { profiles: nowAlone(profiles) }),
    said: { inShort: isRodless ? "what the strings will pull is not known, and whether its relief will do hangs on it." : "turn nothing yet. What the strings will pull is not known, and what to do with the rod hangs on it." },
    because: [...twistFirst(survey), { kind: "strings to be given" }, ...(areToCome ? [] : [{ kind: "if bare", said: bare.said } as const])],
    readIfUnsure: isTwisted(survey) ? [] : ["Or string it up to pitch, let it settle, and survey it with strings: on. Then nothing about the strings has to be believed."],
  }, order);
}

/** Where the rod cannot mend it, what does is another thing strung than bare; of a neck that has none, the same as long as it misses what is wanted to the same side. */
function isSame(bare: RodAdvice, strung: RodAdvice): boolean {
  if (bare.decision !== strung.decision) return false;
  if (bare.neck.rod?.works === "none") return missWithoutRod(bare)?.lies === missWithoutRod(strung)?.lies;
  return !(bare.decision === "not by this rod" && bare.probability !== undefined);
}

/** By what a neck without a rod misses what is wanted. */
function missWithoutRod({ because }: RodAdvice): RodMiss | undefined {
  return because.find((reason) => reason.kind === "without a rod");
}

/** Readings that are to be taken again, or a fret that is to be rocked, whether it will be strung or not. */
function isBeforeAll({ decision, probability }: RodAdvice): boolean {
  return decision === "read first" && probability === undefined;
}

function sameEitherWay(bare: RodAdvice, strung: RodAdvice, order: UnitOrder = "mm first"): RodAdvice {
  const isTurn = bare.decision === "turn toward back bow" || bare.decision === "turn toward forward bow";
  const miss = missWithoutRod(strung);
  const much = isTurn && strung.numbers !== undefined ? { change: strung.numbers.change } : miss === undefined ? {} : { miss };
  const same: RodReason = bare.decision === "read first" ? { kind: "first either way" } : { kind: "same if strung", ...much };
  return bare.numbers === undefined ? bare : rodAdvised({ ...bare, because: [...bare.because, same] }, order);
}

function question(bare: RodAdvice, strung: RodAdvice, before: readonly RodReason[], order: UnitOrder = "mm first"): RodAdvice {
  const { neck, numbers, profiles } = bare;
  return rodAdvised({
    decision: "say first", neck, either: { bare, strung }, isWayKnown: false,
    said: { inShort: `will this neck be strung? ${neck.rod?.works === "none" ? "Whether its relief will do" : "What to do with the rod"} hangs on it.` },
    because: [...before, { kind: "if strung", said: strung.said }, { kind: "if bare", said: bare.said }, { kind: "ask again" }],
    readIfUnsure: [], cautions: bare.cautions, assumed: [...new Set([...bare.assumed, ...strung.assumed])],
    ...(numbers === undefined ? {} : { numbers }), ...(profiles === undefined ? {} : { profiles: nowAlone(profiles) }),
  }, order);
}

function nowAlone({ now, fromMm, toMm, lines, middleMm }: NonNullable<RodAdvice["profiles"]>): NonNullable<RodAdvice["profiles"]> {
  return { now, fromMm, toMm, lines, middleMm };
}
