import { isTwisted } from "../../frets/twisted.js";
import { limitsOf } from "../../neck/limits.js";
import { stringsState } from "../../readings/stringsState.js";
import { answered, magnitude } from "../../shape/drawn.js";
import type { Survey } from "../../survey/survey.js";
import type { Measured } from "../../units/measured.js";
import { bowWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { wantedRelief } from "../../shape/wantedRelief.js";
import type { RodTest } from "../rod/rodTest.js";
import { crownsCheck } from "./crownsCheck.js";
import { fallAwayLimit, fretsLimit, reliefLimit, twistLimit, type Limit } from "./drawnLimits.js";
import { between, judged, judgedByDraws, unknown, type ShipCheck, type ShipState } from "./judged.js";

/** What is known beside the survey. */
export type KnownBeside = {
  /** Relief under strings as predicted (by the bow model, say), positive forward bow, where the neck was not read strung. */
  readonly underStrings?: Measured;
  /** A rod test, or what one said. */
  readonly rod?: { readonly state: ShipState; readonly why: string } | (Pick<RodTest, "verdict" | "describe"> & Partial<Pick<RodTest, "towardBackBow" | "towardForwardBow">>);
};

/** All limits judged, and how probable it is that all are kept. */
export type ShipChecks = {
  readonly checks: readonly ShipCheck[];
  /** At least this probable, given the readings, is that all limits are kept together; absent where one of them is not known. */
  readonly atLeast?: number;
};

/**
 * All limits of the shop against one neck, in the order in which a builder asks. Limits that the survey judges are judged by the same joint draws, so that
 * what they share is counted once; with the others their chances of being broken add up at most (Bonferroni's inequality).
 * @throws {RangeError} a prediction that holds no number, or limits by which nothing can be judged
 */
export function shipChecks(survey: Survey, beside: KnownBeside, order: UnitOrder): ShipChecks {
  const limits = limitsOf(survey.neck);
  const asked: readonly Limit[] = [underStrings(survey, beside, order), asItLies(survey, beside, order), fretsLimit(survey, limits, order), fallAwayLimit(survey, limits, order), crownsCheck(survey, limits, order), twistLimit(survey, limits, order), rod(survey, beside)].filter((limit) => limit !== undefined);
  const judgements = answered(survey, asked.map((limit) => ({
    combinations: "forms" in limit ? limit.forms : [],
    answer: (draws: readonly Float64Array[]) => ("forms" in limit ? { check: judgedByDraws(limit, draws), kept: draws.map(limit.kept) } : { check: limit, kept: [] }),
  })));
  const checks = judgements.map(({ check }) => check);
  const isDrawn = (index: number): boolean => (judgements[index]?.kept.length ?? 0) > 0;
  const drawn = judgements.filter(({ kept }) => kept.length > 0).map(({ kept }) => kept);
  const together = drawn[0] === undefined ? 1 : drawn[0].filter((_, draw) => drawn.every((kept) => kept[draw] === true)).length / drawn[0].length;
  const beyond = checks.reduce((sum, { probability }, index) => (isDrawn(index) ? sum : sum + 1 - (probability ?? 1)), 0);
  const isAllKnown = checks.every(({ state, probability }) => probability !== undefined || state === "pass");
  return { checks, ...(isAllKnown ? { atLeast: Math.max(0, together - beyond) } : {}) };
}

const TWIST_FIRST = "settle the twist first; string it after that";

function underStrings(survey: Survey, { underStrings: predicted }: KnownBeside, order: UnitOrder): Limit {
  const what = "relief under strings";
  const { minMm: lowMm, maxMm: highMm, words } = wantedRelief(survey, true);
  const wanted = words(order);
  const isFirst = isTwisted(survey);
  const next = isFirst ? TWIST_FIRST : "string it up to pitch, let it settle, and read the relief; or adjust the rod";
  const { strings } = survey.sheet.state;
  const state = stringsState(strings);
  if (state === "on") return reliefLimit(survey, { what, wanted, lowMm, highMm, next }, order);
  if (predicted === undefined) return unknown(what, wanted, state === "off" ? "it was read with the strings off" : `whether the strings were on when it was read is not clear ("${strings ?? ""}")`, isFirst ? TWIST_FIRST : "string it up to pitch and read it, or let the bow model predict it");
  if (!Number.isFinite(predicted.value) || !(predicted.u >= 0 && Number.isFinite(predicted.u))) throw new RangeError(`Cannot judge a predicted relief of ${predicted.value} mm, standard uncertainty ${predicted.u} mm: expected two numbers, the second 0 or more; leave underStrings out where nothing predicts it`);
  return judged(what, wanted, `predicted, not read: ${bowWords(predicted.value)}, ${measuredWords(magnitude(predicted), order)}`, between(predicted, lowMm, highMm), next);
}

/** A neck without strings, and none reckoned with, is judged by the rule that sends its rod to be turned. */
function asItLies(survey: Survey, { underStrings: predicted }: KnownBeside, order: UnitOrder): Limit | undefined {
  const wanted = wantedRelief(survey, predicted !== undefined);
  if (wanted.judged !== "bare" || stringsState(survey.sheet.state.strings) !== "off") return undefined;
  return reliefLimit(survey, { what: "straightness as it lies, strings off", wanted: wanted.words(order), lowMm: wanted.minMm, highMm: wanted.maxMm, next: "adjust the rod, a quarter turn at most at a time, and read again" }, order);
}

function rod({ neck }: Survey, { rod: tested }: KnownBeside): ShipCheck {
  const what = "rod";
  const isOneWay = neck.rod?.works === "one way";
  const wanted = isOneWay ? "pulls toward back bow (middle high) and lets go again" : "moves the neck both ways and comes back";
  if (neck.rod?.works === "none") return { what, state: "pass", wanted: "no rod in this neck", found: "no rod", reason: "nothing to adjust: its relief is what it is" };
  if (tested === undefined) return unknown(what, wanted, "no rod test was made", "test the rod: a quarter turn each way at most, wait, read, and back");
  const { state, why } = "verdict" in tested ? { state: tested.verdict, why: tested.describe().split("\n")[0] ?? "" } : tested;
  const ways = "verdict" in tested ? [tested.towardBackBow, isOneWay ? undefined : tested.towardForwardBow].flatMap((way) => (way?.status === "works" ? [way.probability] : [])) : [];
  const probability = state !== "pass" || ways.length === 0 ? {} : { probability: Math.max(0, 1 - ways.reduce((sum, one) => sum + 1 - one, 0)) };
  return { what, state, wanted, found: state === "not sure" ? "tested, not clear" : "tested", reason: why.replace(/\.$/, ""), ...probability, ...(state === "pass" ? {} : { next: "test the rod again, or have it looked at before the neck goes out" }) };
}
