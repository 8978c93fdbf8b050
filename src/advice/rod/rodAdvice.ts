import { joined } from "../../frets/lists.js";
import { isTwisted } from "../../frets/twisted.js";
import type { Neck, TrussRod } from "../../neck/neck.js";
import { rodPosition } from "../../readings/rodState.js";
import { stringsState, type StringsState } from "../../readings/stringsState.js";
import { isFreeBoard } from "../../readings/state.js";
import { edgeBowWords, toReadWords } from "../../shape/questionWords.js";
import { magnitude } from "../../shape/drawn.js";
import type { HeightTerm, Survey } from "../../survey/survey.js";
import { NORMAL_95, type Measured } from "../../units/measured.js";
import { bowWords, lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { advised, sureWords, type Advice } from "../advice.js";
import { NO_ROD_CAUTIONS, ROD_CAUTIONS } from "../cautions.js";
import { underStringsWords, wantedRelief } from "../../shape/wantedRelief.js";
import { middleRelief } from "./middleRelief.js";
import type { RodTest } from "./rodTest.js";
import type { RodQuestion } from "./rodQuestion.js";
import { probabilitiesOf, type ReliefProbabilities } from "./rodProbabilities.js";
import { rodProfiles, type RodProfiles } from "./rodProfiles.js";
import { turnsFor, type RodTurns } from "./rodTurns.js";
import { twistFirst } from "./twistFirst.js";
import { bowsOrFrets, reliefIfStill, rockFirstWords } from "./bowOrFret.js";
import { beyondAnyRodStop, contradictionStop, farTurnedStop, lineOutsideWords, lineReliefs, linesApartStop, linesOutside, linesWideApartWords, restsOnWords, setAsideWords, unlikelyGapStop, unclearNutWords } from "./rodStop.js";
import { afterFindingWords, findingWords, middleMustWords, needWords, nutWords, oddsWords, stillBareWords, turningWords } from "./rodWords.js";

/** What to do with the rod; `say first`: strung or bare, where that turns the answer round. */
export type RodDecision = "turn toward back bow" | "leave the rod" | "turn toward forward bow" | "not by this rod" | "read first" | "say first";

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
  /** Both answers, with `say first` alone; `numbers` and `profiles` are then the bare neck's. */
  readonly either?: { readonly bare: RodAdvice; readonly strung: RodAdvice };
};

/** Below this the readings decide before the rod does. */
const SURE_ENOUGH = 0.8;
/** Below this nothing is turned at all before more is known. */
const OPEN = 0.65;

/**
 * Which way to turn the rod, and how far.
 * @param survey in the state to be judged; its rod's position, strings and support are taken from its sheet. Strings that were on are not added again
 * @throws {RangeError} a wanted relief whose ends are not finite, or not the smaller first
 */
export function rodAdvice(survey: Survey, asked: RodQuestion = {}): RodAdvice {
  const order = asked.order ?? "mm first";
  const strings = stringsState(survey.sheet.state.strings);
  const strungAlready = strings === "on";
  const question = strungAlready ? bare(asked) : asked;
  const { neck } = survey;
  const middle = middleRelief(survey);
  const wanted = wantedOf(survey, question, order);
  const assumed = [...new Set([...survey.assumed, ...wanted.assumed])];
  const base = { cautions: neck.rod?.works === "none" ? NO_ROD_CAUTIONS : ROD_CAUTIONS, assumed, neck };
  if (isFreeBoard(survey.sheet.stage, survey.sheet.state)) return advised({ ...base, decision: "not by this rod", headline: `${neck.name}: this is a free board; it has no rod yet.`, reasons: [], probability: 1, readIfUnsure: [] });
  if (middle.status === "undetermined") {
    return advised({ ...base, decision: "read first", headline: "The readings do not yet determine the relief, so nothing is said of the rod.", reasons: [], probability: 1, readIfUnsure: [`To fix it: ${middle.need}.`] });
  }
  const { min, max } = wanted;
  const underStrings = summed(middle.relief, question.strings);
  const probabilities = probabilitiesOf(middle.relief, question, min, max);
  const change = shifted(underStrings, (min + max) / 2);
  const numbers = { now: middle.relief, underStrings, targetMm: [min, max] as const, change, probabilities, at: middle.at };
  const decided = decisionOf(survey, probabilities, question.test, { underStrings, minMm: min, areStringsOn: strungAlready || question.strings !== undefined, order });
  const way = decided.decision === "turn toward back bow" || decided.decision === "turn toward forward bow" ? decided.decision : undefined;
  const reliefs = lineReliefs(survey, middle, question.strings, min, max);
  const wideApart = linesWideApartWords(survey, middle, reliefs, min, max, order);
  const stopped = contradictionStop(survey) ?? (decided.decision === "leave the rod" ? undefined : beyondAnyRodStop(change, asked.target !== undefined, neck.rod, order)) ?? unlikelyGapStop(survey, order) ?? linesApartStop(survey, reliefs, wideApart.length > 0, order)
    ?? (way === undefined ? undefined : farTurnedStop(rodPosition(survey.sheet.state.rod), way, middle.relief, neck.rod, question.test, order));
  if (stopped !== undefined) {
    return advised({
      ...base, decision: stopped.decision, numbers, headline: `${neck.name}: ${stopped.headline}`, reasons: [...twistFirst(survey), ...stopped.reasons, ...(stopped.decision === "read first" || question.strings === undefined ? [] : [stringsSentence(survey, strings, asked.strings, underStrings, order)]), `Wanted: ${wanted.words}.`, ...setAsideWords(survey)],
      readIfUnsure: stopped.readIfUnsure, ...profilesOf(rodProfiles(survey, middle, undefined, question)),
    });
  }
  const bows = bowsOrFrets(survey, middle.lines);
  if (bows.length > 0) {
    const still = reliefIfStill(bows);
    const ifStill = decisionOf(survey, probabilitiesOf(still, question, min, max), question.test, { underStrings: summed(measuredOf(still), question.strings), minMm: min, areStringsOn: strungAlready || question.strings !== undefined, order });
    return advised({
      ...base, decision: "read first", numbers, headline: `${neck.name}: turn nothing yet. ${rockFirstWords(bows, ifStill.decision === "turn toward forward bow")}`,
      reasons: [...bows.map((bow) => bow.describe(order)), `Wanted: ${wanted.words}.`, ...setAsideWords(survey)], readIfUnsure: [], ...profilesOf(rodProfiles(survey, middle, undefined, question)),
    });
  }
  const turns = way === undefined ? undefined : turnsFor(change, way, question, rodPosition(survey.sheet.state.rod), neck.rod);
  const profiles = rodProfiles(survey, middle, way === undefined ? undefined : change.value, question);
  const nut = nutKnown(survey, question.test);
  const isToFind = way !== undefined && nut.moreRelief === undefined;
  const rests = decided.probability < SURE_ENOUGH ? "" : restsOnWords(survey, middle);
  const outside = way === undefined ? linesOutside(reliefs) : [];
  const next = decided.probability >= SURE_ENOUGH ? [] : [nextSentence(survey, middle.terms, question.strings, order)];
  return advised({
    ...base, decision: decided.decision, numbers,
    headline: headline(survey, decided, question.test, { change, turns, next, nut, now: middle.relief, at: middle.at, aim: wanted.aim, rests, outside: outside.map(({ line, lies }) => `the ${line} line lies ${lies} what is wanted`) }, order),
    reasons: [
      ...twistFirst(survey),
      ...wideApart,
      ...(isToFind ? [afterFindingWords(turns)] : []),
      `Now, at fret ${middle.at}: ${bowWords(middle.relief.value)}, ${measuredWords(magnitude(middle.relief), order)} on ${middle.lines.length === 1 ? `the ${middle.lines[0] ?? ""} line` : "the mean of the lines read"}.`,
      stringsSentence(survey, strings, asked.strings, underStrings, order),
      `Wanted: ${wanted.words}.`,
      ...(way === undefined || question.strings === undefined ? [] : [stillBareWords(middle.relief.value + change.value, underStrings.value + change.value, order)]),
      ...(way === undefined ? [] : unclearNutWords(rodPosition(survey.sheet.state.rod))), ...decided.reasons, ...lineOutsideWords(outside, order), ...setAsideWords(survey),
    ],
    probability: decided.probability, readIfUnsure: next,
    howSure: howSureWords(decided, { way, isToFind, rests, isOutside: outside.length > 0 }),
    ...profilesOf(profiles),
    ...(turns === undefined ? {} : { turns }),
  });
}

/** How sure what is: of a turn whose way is known that it is right, of all else what is sure of the neck and not of the step. */
function howSureWords({ decision, probability, likeliest, isShort }: Decided, { way, isToFind, rests, isOutside }: { readonly way: Turn | undefined; readonly isToFind: boolean; readonly rests: string; readonly isOutside: boolean }): string {
  if (likeliest !== undefined) return `So far ${likeliest} is likeliest: ${oddsWords(probability)}.`;
  const odds = `${oddsWords(probability)}${rests}`;
  if (isToFind && way !== undefined) return `How sure that the middle has to ${middleMustWords(way)}: ${odds}. That is said of the neck, not of the nut.`;
  if (decision === "not by this rod") return `How sure that the neck ${isShort === true ? "is short of what is wanted" : "is not as wanted"}: ${odds}. That is said of the neck, not of what mends it.`;
  if (isOutside) return `How sure that the mean of the lines is within what is wanted: ${odds}.`;
  return `How sure: ${sureWords(probability)}${rests}.`;
}

function bare(question: RodQuestion): RodQuestion {
  const { strings: _, stringsDrawsMm: __, stringsShape: ___, ...rest } = question;
  return rest;
}

type Wanted = { readonly min: number; readonly max: number; readonly words: string; /** What that asks of the middle: `to be straight within 0.10 mm`. */ readonly aim: string; readonly assumed: readonly string[] };

function wantedOf(survey: Survey, question: RodQuestion, order: UnitOrder): Wanted {
  const { target } = question;
  if (target !== undefined) {
    if (!(Number.isFinite(target.minMm) && target.maxMm > target.minMm && Number.isFinite(target.maxMm))) throw new RangeError(`Cannot aim for a relief from ${target.minMm} to ${target.maxMm} mm: expected two finite lengths, the smaller first`);
    const words = target.minMm < 0 ? underStringsWords(target.minMm, target.maxMm, order) : `relief from ${lengthWords(target.minMm, order)} to ${lengthWords(target.maxMm, order)}`;
    return { min: target.minMm, max: target.maxMm, words, aim: `to have ${words}`, assumed: [] };
  }
  const { judged, minMm, maxMm, words, assumed } = wantedRelief(survey, question.strings !== undefined);
  return judged === "bare"
    ? { min: minMm, max: maxMm, words: `${words(order)}: a neck that goes out bare is to be straight`, aim: `to be ${words(order)}, as a neck that goes out bare is to be`, assumed }
    : { min: minMm, max: maxMm, words: `${words(order)}, the shop's limits under strings`, aim: `to have ${words(order)}, under strings`, assumed };
}

type Decided = { readonly decision: Exclude<RodDecision, "say first">; readonly probability: number; readonly reasons: readonly string[]; /** In words, where nothing is likely enough to act on. */ readonly likeliest?: string; /** Short of the relief wanted, though in no back bow. */ readonly isShort?: true };

type Turn = Extract<RodDecision, "turn toward back bow" | "turn toward forward bow">;

/** What a decision is taken against. */
type Aim = { readonly underStrings: Measured; readonly minMm: number; /** On, or reckoned with. */ readonly areStringsOn: boolean; readonly order: UnitOrder };

/** The most probable decision, unless the rod cannot do it or too little is known. */
function decisionOf(survey: Survey, p: ReliefProbabilities, test: RodTest | undefined, aim: Aim): Decided {
  const { rod } = survey.neck;
  const most = Math.max(p.within, p.tooMuchRelief, p.tooLittleRelief);
  if (p.within !== most && contradicted(survey, test)) return { decision: "read first", probability: most, reasons: [`The neck file says that turning ${rod?.moreRelief ?? ""} gives more relief; the rod's own test says the opposite. Look at the nut and the sheets, and correct the one that is wrong.`] };
  const noRod = rod?.works === "none" ? ["This neck has no rod that can be turned."] : [];
  if (most < OPEN) return { decision: "read first", probability: most, reasons: noRod, likeliest: OPEN_WORDS[most === p.within ? "within" : most === p.tooMuchRelief ? "tooMuchRelief" : "tooLittleRelief"] };
  if (p.within === most) return { decision: "leave the rod", probability: p.within, reasons: noRod };
  if (rod?.works === "none") return { decision: "not by this rod", probability: most, reasons: noRod };
  return most === p.tooMuchRelief ? lessRelief(most, test) : moreRelief(rod, survey, most, test, aim);
}

const OPEN_WORDS: Readonly<Record<keyof ReliefProbabilities, string>> = { within: "a relief within what is wanted", tooMuchRelief: "too much relief", tooLittleRelief: "too little relief" };

function contradicted({ neck }: Survey, test: RodTest | undefined): boolean {
  return neck.rod?.moreRelief !== undefined && test?.moreRelief !== undefined && test.moreRelief.way !== neck.rod.moreRelief;
}

/** That the rod cannot do it is as sure as its test and the need together. */
function lessRelief(probability: number, test: RodTest | undefined): Decided {
  return test?.towardBackBow.status === "does not work"
    ? { decision: "not by this rod", probability: probability * test.towardBackBow.probability, reasons: ["Its own test says that this rod does not work toward back bow."] }
    : { decision: "turn toward back bow", probability, reasons: [] };
}

/** A rod that works one way lets go toward forward bow as far as it was tightened, and no farther. */
function moreRelief(rod: TrussRod | undefined, survey: Survey, probability: number, test: RodTest | undefined, aim: Aim): Decided {
  const failed = test?.towardForwardBow.status === "does not work" ? test.towardForwardBow : undefined;
  if (rod?.works !== "one way" && failed === undefined) return { decision: "turn toward forward bow", probability, reasons: [] };
  const position = rodPosition(survey.sheet.state.rod);
  const who = failed === undefined ? "This rod" : "Its own test says that this rod";
  const sure = probability * (failed?.probability ?? 1);
  if (position.kind === "turned" || position.kind === "unclear") return { decision: "turn toward forward bow", probability, reasons: [`${who} works one way: turning it back only lets go what it holds. Once it is slack, what back bow is left is not curable by it.`] };
  const stands = survey.sheet.state.rod === undefined
    ? "where its nut stands was not said: if it is tightened, let it back until it is slack, and read again. Else it"
    : `it is ${position.kind}: it`;
  return { decision: "not by this rod", probability: sure, reasons: [`${who} works one way, toward back bow, and ${stands} has nothing left to let go. ${cureWords(aim)}`], ...(isBackBow(aim) ? {} : { isShort: true }) };
}

/** Less than this is not told from straight. */
const BACK_BOW_MM = 0.02;

function isBackBow({ underStrings }: Aim): boolean {
  return underStrings.value < -BACK_BOW_MM;
}

/** What cures a back bow that the rod cannot; a neck that is only short of the relief wanted needs none. */
function cureWords(aim: Aim): string {
  if (!isBackBow(aim)) return `It is no back bow: the middle is ${lengthWords(aim.minMm - aim.underStrings.value, aim.order)} short of the least relief that is wanted, which is a matter of taste and of how hard it is played. Play it before you do anything about it.`;
  const strings = aim.areStringsOn ? "heavier strings pull it out, or " : "";
  return `Back bow with the rod slack is not curable by it: ${strings}the board is planed and fretted anew.`;
}

function headline(survey: Survey, { decision, probability, isShort }: Decided, test: RodTest | undefined, told: { readonly change: Measured; readonly turns: RodTurns | undefined; readonly next: readonly string[]; readonly nut: Pick<TrussRod, "moreRelief">; readonly now: Measured; readonly at: string; /** What is wanted, in words. */ readonly aim: string; readonly rests: string; /** Lines that lie outside it, in words. */ readonly outside: readonly string[] }, order: UnitOrder): string {
  const { name, rod } = survey.neck;
  const outside = told.outside.length === 0 ? "" : `, though ${joined(told.outside)}`;
  if (decision === "leave the rod") return rod?.works === "none" ? `${name}: the relief is within what is wanted${outside}; there is no rod to turn.` : `${name}: leave the rod as it is${outside}.`;
  if (isShort === true) return survey.sheet.state.rod === undefined ? `${name}: the neck is a little short of the relief wanted, and this rod can only let go what it holds.` : `${name}: leave the rod as it is: it cannot add relief. The neck is a little short of what is wanted.`;
  if (decision === "not by this rod") return rod?.works === "none" ? `${name}: the relief is not what is wanted, and there is no rod to mend it.` : `${name}: the relief is not what is wanted, and this rod cannot mend it.`;
  if (decision === "read first" && rod?.works === "none") return `${name}: open whether its relief will do, and there is no rod to mend it. ${told.next[0] ?? ""}`.trim();
  if (decision === "read first") return `${name}: turn nothing yet. ${contradicted(survey, test) ? "The neck file and the rod's own test contradict each other." : told.next[0] ?? ""}`.trim();
  const much = measuredWords(magnitude(told.change), order);
  if (told.nut.moreRelief === undefined) return `${name}: the middle would have to ${middleMustWords(decision)} ${much} ${told.aim}: ${needWords(probability)}${told.rests}. Which way to turn the nut for that: not known. ${findingWords(decision, told.at, told.now.value < 0)}`;
  const way = decision === "turn toward back bow" ? "toward back bow (middle high)" : "toward forward bow (middle low)";
  return `${name}: ${probability < SURE_ENOUGH ? "probably " : ""}${nutWords(told.nut, decision)}, to move the middle ${much} ${way}. ${turningWords(told.turns)}`;
}

/** Which way the nut works: by the neck file, else by the rod's own test. */
function nutKnown({ neck }: Survey, test: RodTest | undefined): Pick<TrussRod, "moreRelief"> {
  const shown = neck.rod?.moreRelief ?? (test?.moreRelief !== undefined && test.moreRelief.probability > NUT_KNOWN ? test.moreRelief.way : undefined);
  return shown === undefined ? {} : { moreRelief: shown };
}

function profilesOf(profiles: RodProfiles | undefined): Pick<RodAdvice, "profiles"> {
  return profiles === undefined ? {} : { profiles };
}

/** From here a test's word on which way the nut works is taken. */
const NUT_KNOWN = 0.95;

function stringsSentence({ sheet, neck }: Survey, state: StringsState, strings: Measured | undefined, under: Measured, order: UnitOrder): string {
  if (state === "on") return `The strings were on when it was read${strings === undefined ? "" : ", so nothing is added for them"}.`;
  const unclear = state === "unclear" ? `Whether the strings were on when it was read is not clear ("${sheet.state.strings ?? ""}"). ` : "";
  if (strings === undefined) return state === "off" ? "Strings were off and no pull of strings was added: this judges the bare neck." : `${unclear}No pull of strings was added: this judges the neck as it was read.`;
  return `${unclear}Strings at pitch are expected to add ${measuredWords(strings, order)} of forward bow (middle low): then ${bowWords(under.value)}, ${measuredWords(magnitude(under), order)}${neck.rod?.works === "none" ? "" : ", with the rod as it is"}.`;
}

function nextSentence(survey: Survey, terms: readonly HeightTerm[], strings: Measured | undefined, order: UnitOrder): string {
  const next = survey.nextReading(terms, "tried");
  const ofStrings = strings !== undefined && (next.status === "little to gain" || strings.u > next.uNowMm);
  if (ofStrings && isTwisted(survey)) return "Settle the twist first, as the verdict says; what the strings will do is asked once that is done.";
  if (ofStrings) return "Most of the doubt is in what the strings will do: string it up to pitch, let it settle, and read the middle again" + (survey.neck.rod?.works === "none" ? "." : " before you turn anything.");
  if (next.status === "little to gain" && next.edgeMm !== undefined) return `No single further reading narrows this by much: the give or take is ${lengthWords(NORMAL_95 * next.uNowMm, order)}. ${edgeBowWords(NORMAL_95 * next.edgeMm, order)}`;
  if (next.status === "little to gain") return "No single further reading narrows this by much: set the edge down afresh on the same line and read it again.";
  return `Read first: ${toReadWords(next)}; the give or take would go from ${lengthWords(NORMAL_95 * next.uNowMm, order)} to about ${lengthWords(NORMAL_95 * next.uThenMm, order)}.`;
}

function measuredOf({ value, u }: Pick<Measured, "value" | "u">): Measured {
  return { value, u, unit: "mm", low95: value - NORMAL_95 * u, high95: value + NORMAL_95 * u };
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
