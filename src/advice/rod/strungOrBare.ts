import { STRINGS_EXAMPLE } from "../../bow/cases/stringPull.js";
import { isTwisted } from "../../frets/twisted.js";
import { stringsState } from "../../readings/stringsState.js";
import { magnitude } from "../../shape/drawn.js";
import type { Survey } from "../../survey/survey.js";
import { measuredWords, type UnitOrder } from "../../units/words.js";
import { advised } from "../advice.js";
import { rodAdvice, type RodAdvice } from "./rodAdvice.js";
import type { RodQuestion } from "./rodQuestion.js";
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
  return isSame(bare, strung) ? sameEitherWay(bare, strung, asked.order) : question(bare, strung, twistFirst(survey));
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
  if (numbers === undefined || stringsState(survey.sheet.state.strings) === "on") return bare;
  if (isBeforeAll(bare)) return advised({ ...bare, reasons: [...bare.reasons, BEFORE_ALL] });
  const isRodless = neck.rod?.works === "none";
  return advised({
    decision: "say first", neck, numbers, cautions, assumed, ...(profiles === undefined ? {} : { profiles: nowAlone(profiles) }),
    headline: isRodless ? `${neck.name}: what the strings will pull is not known, and whether its relief will do hangs on it.` : `${neck.name}: turn nothing yet. What the strings will pull is not known, and what to do with the rod hangs on it.`,
    reasons: [
      ...twistFirst(survey),
      `Give the strings in the neck file, as ${STRINGS_EXAMPLE}: no usual set is taken on so long a scale.`,
      ...(areToCome ? [] : [`If it goes out bare: ${headlineAlone(bare)}`]),
    ],
    readIfUnsure: isTwisted(survey) ? [] : ["Or string it up to pitch, let it settle, and survey it with strings: on. Then nothing about the strings has to be believed."],
  });
}

/** Where the rod cannot mend it, what does is another thing strung than bare. */
function isSame(bare: RodAdvice, strung: RodAdvice): boolean {
  const isCureOwn = bare.decision === "not by this rod" && bare.neck.rod?.works !== "none" && bare.probability !== undefined;
  return bare.decision === strung.decision && !isCureOwn;
}

/** Readings that are to be taken again, or a fret that is to be rocked, whether it will be strung or not. */
function isBeforeAll({ decision, probability }: RodAdvice): boolean {
  return decision === "read first" && probability === undefined;
}

const BEFORE_ALL = "Strung or bare, that comes first.";

function headlineAlone({ headline, neck }: RodAdvice): string {
  return headline.replace(`${neck.name}: `, "");
}

function sameEitherWay(bare: RodAdvice, strung: RodAdvice, order: UnitOrder = "mm first"): RodAdvice {
  const isTurn = bare.decision === "turn toward back bow" || bare.decision === "turn toward forward bow";
  const much = isTurn && strung.numbers !== undefined ? `; the middle is then to move ${measuredWords(magnitude(strung.numbers.change), order)}` : "";
  const same = bare.decision === "read first" ? BEFORE_ALL : `If it will be strung, the answer is the same${much}.`;
  return bare.numbers === undefined ? bare : advised({ ...bare, reasons: [...bare.reasons, same] });
}

function question(bare: RodAdvice, strung: RodAdvice, before: readonly string[]): RodAdvice {
  const { neck, numbers, profiles } = bare;
  return advised({
    decision: "say first", neck, either: { bare, strung },
    headline: `${neck.name}: will this neck be strung? ${neck.rod?.works === "none" ? "Whether its relief will do" : "What to do with the rod"} hangs on it.`,
    reasons: [...before, `If it will be strung: ${headlineAlone(strung)}`, `If it goes out bare: ${headlineAlone(bare)}`, 'Ask again with strings: "to come", or "none".'],
    readIfUnsure: [], cautions: bare.cautions, assumed: [...new Set([...bare.assumed, ...strung.assumed])],
    ...(numbers === undefined ? {} : { numbers }), ...(profiles === undefined ? {} : { profiles: nowAlone(profiles) }),
  });
}

function nowAlone({ now, fromMm, toMm, lines, middleMm }: NonNullable<RodAdvice["profiles"]>): NonNullable<RodAdvice["profiles"]> {
  return { now, fromMm, toMm, lines, middleMm };
}
