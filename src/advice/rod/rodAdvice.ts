import { joined } from "../../frets/lists.js";
import { isTwisted } from "../../frets/twisted.js";
import type { TrussRod } from "../../neck/neck.js";
import { rodPosition } from "../../readings/rodState.js";
import { stringsState } from "../../readings/stringsState.js";
import { isFreeBoard } from "../../readings/state.js";
import { edgeBowWords, toReadWords } from "../../shape/questionWords.js";
import { magnitude } from "../../shape/drawn.js";
import type { HeightTerm, Survey } from "../../survey/survey.js";
import { NORMAL_95, type Measured } from "../../units/measured.js";
import { lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { sureWords } from "../advice.js";
import { NO_ROD_CAUTIONS, ROD_CAUTIONS } from "../cautions.js";
import { openContradictions } from "../contradiction.js";
import { waysWithOneBow } from "../contradictionWays.js";
import { wantedRelief } from "../../shape/wantedRelief.js";
import { middleRelief } from "./middleRelief.js";
import type { RodTest } from "./rodTest.js";
import type { RodQuestion } from "./rodQuestion.js";
import { probabilitiesOf, type ReliefProbabilities } from "./rodProbabilities.js";
import { rodAdvised, type RodAdvice, type RodDecision } from "./rodAdvised.js";
import { lineReliefs, linesOutside, linesWideApart } from "./rodLines.js";
import { rodProfiles, type RodProfiles } from "./rodProfiles.js";
import type { RodMiss, RodReason, RodSaid, RodWanted } from "./rodReason.js";
import { aimWords, missWords } from "./rodReasonWords.js";
import { turnsFor, type RodTurns } from "./rodTurns.js";
import { twistFirst } from "./twistFirst.js";
import { bowsOrFrets, reliefIfStill, rockFirstWords } from "./bowOrFret.js";
import { beyondAnyRodStop, contradictionStop, farTurnedStop, linesApartStop, restsOnWords, setAside, turnNothing, twistNeed, unlikelyGapStop, type RodStop } from "./rodStop.js";
import { findingWords, middleMustWords, needWords, nutWords, oddsWords, turningWords } from "./rodWords.js";

/** Below this the readings decide before the rod does. */
const SURE_ENOUGH = 0.8;
/** Below this nothing is turned at all before more is known. */
const OPEN = 0.65;

/**
 * Which way to turn the rod, and how far. Readings that contradict each other decide nothing where the answer is the same whichever of them is left out; else nothing is turned.
 * @param survey in the state to be judged; its rod's position, strings and support are taken from its sheet. Strings that were on are not added again
 * @throws {RangeError} a wanted relief whose ends are not finite, or not the smaller first
 */
export function rodAdvice(survey: Survey, asked: RodQuestion = {}): RodAdvice {
  const own = adviceOn(survey, asked);
  if (own.numbers === undefined || openContradictions(survey).length === 0) return own;
  const others = waysWithOneBow(survey)?.map((way) => adviceOn(way, asked)) ?? [];
  return sameWhicheverIsLeftOut(survey, own, others, asked.order) ?? adviceOn(survey, asked, contradictionStop(survey));
}

/**
 * The advice where each way of resolving a contradiction gives the same one: sure enough, and by as much as the give or take leaves open. It is told as sure as the least sure of them.
 * @param others by the other ways; of none nothing is known to be the same
 */
function sameWhicheverIsLeftOut(survey: Survey, own: RodAdvice, others: readonly RodAdvice[], order: UnitOrder = "mm first"): RodAdvice | undefined {
  const change = own.numbers?.change;
  const changesMm = [own, ...others].flatMap(({ numbers }) => numbers?.change.value ?? []);
  const areSame = [own, ...others].every(({ decision, probability = 1 }) => decision === own.decision && probability >= SURE_ENOUGH);
  const areWithin = change !== undefined && changesMm.length > others.length && changesMm.every((mm) => mm >= change.low95 && mm <= change.high95);
  if (others.length === 0 || own.decision === "read first" || !areSame || !areWithin) return undefined;
  const [leastSure = own] = [own, ...others].sort((a, b) => (a.probability ?? 1) - (b.probability ?? 1));
  const { probability, howSure } = leastSure;
  return rodAdvised({
    ...own, ...(probability === undefined ? {} : { probability }), ...(howSure === undefined ? {} : { howSure }),
    because: [{ kind: "contradiction decides nothing", ways: changesMm.length, differsMm: Math.max(...changesMm) - Math.min(...changesMm) }, ...own.because, ...openContradictions(survey).map(({ sentence }) => ({ kind: "contradiction", sentence }) as const)],
  }, order);
}

/** The advice by a survey as it stands, unless something stops it beforehand. */
function adviceOn(survey: Survey, asked: RodQuestion, before?: RodStop): RodAdvice {
  const { wanted, assumed } = wantedOf(survey, questionOf(survey, asked));
  const order = asked.order ?? "mm first";
  const hasRod = survey.neck.rod?.works !== "none";
  const base: Base = { cautions: hasRod ? ROD_CAUTIONS : NO_ROD_CAUTIONS, assumed: [...new Set([...survey.assumed, ...assumed])], neck: survey.neck, isWayKnown: false };
  const middle = middleRelief(survey);
  if (isFreeBoard(survey.sheet.stage, survey.sheet.state)) return rodAdvised({ ...base, decision: "not by this rod", said: { inShort: "this is a free board; it has no rod yet." }, because: [], probability: 1, readIfUnsure: [] }, order);
  if (middle.status === "undetermined") {
    return rodAdvised({ ...base, decision: "read first", said: { inShort: `the readings do not yet determine the relief, so nothing is said of ${hasRod ? "the rod" : "whether it will do"}.` }, because: [], probability: 1, readIfUnsure: [`To fix it: ${middle.need}.`] }, order);
  }
  const known = knownOf(survey, asked, { base, order, hasRod, middle, wanted });
  const stopped = before ?? stopOf(known);
  if (stopped !== undefined) return stoppedAdvice(known, stopped);
  const bows = bowsOrFrets(survey, middle.lines);
  return bows.length > 0 ? rockFirstAdvice(known, bows) : decidedAdvice(known);
}

type Base = Pick<Parameters<typeof rodAdvised>[0], "cautions" | "assumed" | "neck" | "isWayKnown">;
type Middle = Extract<ReturnType<typeof middleRelief>, { status: "determined" }>;
type Settled = { readonly base: Base; readonly order: UnitOrder; readonly hasRod: boolean; readonly middle: Middle; readonly wanted: RodWanted };

/** What an answer is made of where the relief is determined. */
type Known = Settled & {
  readonly survey: Survey;
  readonly asked: RodQuestion;
  readonly question: RodQuestion;
  readonly numbers: NonNullable<RodAdvice["numbers"]>;
  readonly areStringsOn: boolean;
  readonly decided: Decided;
  readonly way: Turn | undefined;
  readonly reliefs: ReturnType<typeof lineReliefs>;
  readonly apart: ReturnType<typeof linesWideApart>;
};

/** Strings that are on are not added again. */
function questionOf(survey: Survey, asked: RodQuestion): RodQuestion {
  return stringsState(survey.sheet.state.strings) === "on" ? bare(asked) : asked;
}

function knownOf(survey: Survey, asked: RodQuestion, settled: Settled): Known {
  const { middle, wanted: { minMm: min, maxMm: max } } = settled;
  const question = questionOf(survey, asked);
  const underStrings = summed(middle.relief, question.strings);
  const probabilities = probabilitiesOf(middle.relief, question, min, max);
  const areStringsOn = stringsState(survey.sheet.state.strings) === "on" || question.strings !== undefined;
  const decided = decisionOf(survey, probabilities, question.test, { underStrings, minMm: min, maxMm: max, areStringsOn });
  const reliefs = lineReliefs(survey, middle, question.strings, min, max);
  return {
    ...settled, survey, asked, question, areStringsOn, decided, reliefs,
    numbers: { now: middle.relief, underStrings, targetMm: [min, max], change: shifted(underStrings, (min + max) / 2), probabilities, at: middle.at },
    way: decided.decision === "turn toward back bow" || decided.decision === "turn toward forward bow" ? decided.decision : undefined,
    apart: linesWideApart(survey, middle, reliefs, min, max),
  };
}

/** What stops any turn, the gravest first. */
function stopOf({ survey, asked, question, order, middle, numbers, decided, way, reliefs, apart }: Known): RodStop | undefined {
  const { rod } = survey.neck;
  return (decided.decision === "leave the rod" ? undefined : beyondAnyRodStop(numbers.change, asked.target !== undefined, rod, order)) ?? unlikelyGapStop(survey, order) ?? linesApartStop(survey, reliefs, apart !== undefined, order)
    ?? (way === undefined ? undefined : farTurnedStop(rodPosition(survey.sheet.state.rod), way, middle.relief, rod, question.test, order));
}

function stringsReason({ survey, asked, numbers, hasRod }: Known): RodReason {
  const { strings } = survey.sheet.state;
  return { kind: "strings", state: stringsState(strings), written: strings ?? "", ...(asked.strings === undefined ? {} : { added: asked.strings }), under: numbers.underStrings, hasRod };
}

function wantedReason({ wanted }: Known): RodReason {
  return { kind: "wanted", ...wanted };
}

function stoppedAdvice(known: Known, stopped: RodStop): RodAdvice {
  const { base, survey, question, middle, numbers, order } = known;
  return rodAdvised({
    ...base, decision: stopped.decision, numbers, said: { inShort: stopped.headline },
    because: [...twistFirst(survey), ...stopped.because, ...(stopped.decision === "read first" || question.strings === undefined ? [] : [stringsReason(known)]), wantedReason(known), ...setAside(survey)],
    readIfUnsure: stopped.readIfUnsure, ...profilesOf(rodProfiles(survey, middle, undefined, question)),
  }, order);
}

/** Where a single rocking would tell bow from a high fret: nothing is turned before it, and what follows from either is said. */
function rockFirstAdvice(known: Known, bows: ReturnType<typeof bowsOrFrets>): RodAdvice {
  const { base, survey, question, middle, wanted: { minMm, maxMm }, numbers, areStringsOn, order } = known;
  const still = reliefIfStill(bows);
  const ifStill = decisionOf(survey, probabilitiesOf(still, question, minMm, maxMm), question.test, { underStrings: summed(measuredOf(still), question.strings), minMm, maxMm, areStringsOn });
  const { rock, answers } = rockFirstWords(bows, ifStill.decision === "turn toward forward bow");
  return rodAdvised({
    ...base, decision: "read first", numbers, said: { inShort: `${turnNothing(survey.neck.rod)} ${rock}`, more: answers },
    because: [...bows.map((bow) => ({ kind: "bow or fret", bow }) as const), wantedReason(known), ...setAside(survey)], readIfUnsure: [], ...profilesOf(rodProfiles(survey, middle, undefined, question)),
  }, order);
}

/** What the probabilities decide, with how far to turn where a way is known. */
function decidedAdvice(known: Known): RodAdvice {
  const { base, survey, question, middle, wanted, numbers, decided, way, reliefs, order } = known;
  const { change } = numbers;
  const turns = way === undefined ? undefined : turnsFor(change, way, question, rodPosition(survey.sheet.state.rod), survey.neck.rod);
  const nut = nutKnown(survey, question.test);
  const isToFind = way !== undefined && nut.moreRelief === undefined;
  const rests = decided.probability < SURE_ENOUGH ? "" : restsOnWords(survey, middle);
  const outside = decided.decision === "leave the rod" || decided.decision === "read first" ? linesOutside(reliefs) : []; // else their mean is told as outside too
  const next = decided.probability >= SURE_ENOUGH ? [] : [nextSentence(survey, middle.terms, question.strings, order)];
  return rodAdvised({
    ...base, decision: decided.decision, numbers, isWayKnown: way !== undefined && !isToFind,
    said: said(survey, decided, question.test, { change, turns, next, nut, now: middle.relief, at: middle.at, wanted, rests, outside: outside.map(({ line, lies }) => `the ${line} line lies ${lies} what is wanted`) }, order),
    because: reasonsOf(known, { turns, isToFind, outside }),
    probability: decided.probability, readIfUnsure: next,
    howSure: howSureWords(decided, { way, isToFind, rests, isOutside: outside.length > 0 }),
    ...profilesOf(rodProfiles(survey, middle, way === undefined ? undefined : change.value, question)),
    ...(turns === undefined ? {} : { turns }),
  }, order);
}

type Found = { readonly turns: RodTurns | undefined; readonly isToFind: boolean; readonly outside: ReturnType<typeof linesOutside> };

function reasonsOf(known: Known, { turns, isToFind, outside }: Found): readonly RodReason[] {
  const { survey, question, middle, wanted: { minMm, maxMm }, numbers: { change, underStrings }, decided, way, apart, hasRod } = known;
  const position = rodPosition(survey.sheet.state.rod);
  const need = twistNeed(survey.twist);
  return [
    ...twistFirst(survey),
    ...(apart === undefined ? [] : [{ kind: "lines wide apart", ...apart, wantedWidthMm: maxMm - minMm, ...(need === undefined ? {} : { twistNeed: need }), hasRod } as const]),
    ...(isToFind ? [{ kind: "how far, once the way is known", ...(turns === undefined ? {} : { turns }) } as const] : []),
    { kind: "relief now", relief: middle.relief, at: middle.at, lines: middle.lines }, stringsReason(known), wantedReason(known),
    ...(way === undefined || question.strings === undefined ? [] : [{ kind: "after the turn, bare", bareMm: middle.relief.value + change.value, strungMm: underStrings.value + change.value } as const]),
    ...(way === undefined || position.kind !== "unclear" ? [] : [{ kind: "nut unclear", written: position.words } as const]),
    ...decided.because, ...outside.map(({ line, relief, lies }) => ({ kind: "line outside", line, relief, lies, hasRod }) as const), ...setAside(survey),
  ];
}

/** How sure what is: of a turn whose way is known that it is right, of all else what is sure of the neck and not of the step. */
function howSureWords({ decision, probability, likeliest, miss }: Decided, { way, isToFind, rests, isOutside }: { readonly way: Turn | undefined; readonly isToFind: boolean; readonly rests: string; readonly isOutside: boolean }): string {
  if (likeliest !== undefined) return `So far ${likeliest} is likeliest: ${oddsWords(probability)}.`;
  const odds = `${oddsWords(probability)}${rests}`;
  if (isToFind && way !== undefined) return `How sure that the middle has to ${middleMustWords(way)}: ${odds}. That is said of the neck, not of the nut.`;
  if (decision === "not by this rod") return `How sure that the neck ${miss?.lies === "short" ? "is short of what is wanted" : "is not as wanted"}: ${odds}. That is said of the neck, not of what mends it.`;
  if (isOutside) return `How sure that the mean of the lines is within what is wanted: ${odds}.`;
  return `How sure: ${sureWords(probability)}${rests}.`;
}

function bare(question: RodQuestion): RodQuestion {
  const { strings: _, stringsDrawsMm: __, stringsShape: ___, ...rest } = question;
  return rest;
}

function wantedOf(survey: Survey, { target, strings }: RodQuestion): { readonly wanted: RodWanted; readonly assumed: readonly string[] } {
  if (target === undefined) {
    const { judged, minMm, maxMm, assumed } = wantedRelief(survey, strings !== undefined);
    return { wanted: { judged, minMm, maxMm, ...(assumed.length === 0 ? {} : { isAssumed: true }) }, assumed };
  }
  const { minMm, maxMm } = target;
  if (!(Number.isFinite(minMm) && maxMm > minMm && Number.isFinite(maxMm))) throw new RangeError(`Cannot aim for a relief from ${minMm} to ${maxMm} mm: expected two finite lengths, the smaller first`);
  return { wanted: { judged: "asked", minMm, maxMm }, assumed: [] };
}

type Decided = { readonly decision: Exclude<RodDecision, "say first">; readonly probability: number; readonly because: readonly RodReason[]; /** In words, where nothing is likely enough to act on. */ readonly likeliest?: string; /** How far the neck is from what is wanted, where no rod mends it. */ readonly miss?: RodMiss };

type Turn = Extract<RodDecision, "turn toward back bow" | "turn toward forward bow">;

/** What a decision is taken against. */
type Aim = { readonly underStrings: Measured; readonly minMm: number; readonly maxMm: number; /** On, or reckoned with. */ readonly areStringsOn: boolean };

/** The most probable decision, unless the rod cannot do it or too little is known. */
function decisionOf(survey: Survey, p: ReliefProbabilities, test: RodTest | undefined, aim: Aim): Decided {
  const { rod } = survey.neck;
  const most = Math.max(p.within, p.tooMuchRelief, p.tooLittleRelief);
  if (p.within !== most && contradicted(survey, test)) return { decision: "read first", probability: most, because: [{ kind: "file against test", fileSays: rod?.moreRelief ?? "" }] };
  const noRod: readonly RodReason[] = rod?.works === "none" ? [{ kind: "no rod" }] : [];
  if (most < OPEN) return { decision: "read first", probability: most, because: noRod, likeliest: OPEN_WORDS[most === p.within ? "within" : most === p.tooMuchRelief ? "tooMuchRelief" : "tooLittleRelief"] };
  if (p.within === most) return { decision: "leave the rod", probability: p.within, because: noRod };
  if (rod?.works === "none") {
    const miss = missOf(aim, most === p.tooMuchRelief);
    return { decision: "not by this rod", probability: most, because: [...noRod, { kind: "without a rod", ...miss }], miss };
  }
  return most === p.tooMuchRelief ? lessRelief(most, test) : moreRelief(rod, survey, most, test, aim);
}

const OPEN_WORDS: Readonly<Record<keyof ReliefProbabilities, string>> = { within: "a relief within what is wanted", tooMuchRelief: "too much relief", tooLittleRelief: "too little relief" };

function contradicted({ neck }: Survey, test: RodTest | undefined): boolean {
  return neck.rod?.moreRelief !== undefined && test?.moreRelief !== undefined && test.moreRelief.way !== neck.rod.moreRelief;
}

/** That the rod cannot do it is as sure as its test and the need together. */
function lessRelief(probability: number, test: RodTest | undefined): Decided {
  return test?.towardBackBow.status === "does not work"
    ? { decision: "not by this rod", probability: probability * test.towardBackBow.probability, because: [{ kind: "does not work", way: "toward back bow" }] }
    : { decision: "turn toward back bow", probability, because: [] };
}

/** A rod that works one way lets go toward forward bow as far as it was tightened, and no farther. */
function moreRelief(rod: TrussRod | undefined, survey: Survey, probability: number, test: RodTest | undefined, aim: Aim): Decided {
  const failed = test?.towardForwardBow.status === "does not work" ? test.towardForwardBow : undefined;
  if (rod?.works !== "one way" && failed === undefined) return { decision: "turn toward forward bow", probability, because: [] };
  const position = rodPosition(survey.sheet.state.rod);
  const isTested = failed !== undefined;
  if (position.kind === "turned" || position.kind === "unclear") return { decision: "turn toward forward bow", probability, because: [{ kind: "only lets go", isTested }] };
  const miss = missOf(aim, false);
  const stands = survey.sheet.state.rod === undefined ? {} : { stands: position.kind };
  return { decision: "not by this rod", probability: probability * (failed?.probability ?? 1), because: [{ kind: "nothing to let go", isTested, ...stands, ...miss }], miss };
}

/** Less than this is not told from straight. */
const BACK_BOW_MM = 0.02;

/** How far a relief lies from what is wanted. */
function missOf({ underStrings: { value }, minMm, maxMm, areStringsOn }: Aim, isTooMuch: boolean): RodMiss {
  if (isTooMuch) return { lies: "too much", byMm: Math.max(0, value - maxMm), areStringsOn };
  return { lies: value < -BACK_BOW_MM ? "back bow" : "short", byMm: Math.max(0, minMm - value), areStringsOn };
}

type Told = {
  readonly change: Measured;
  readonly turns: RodTurns | undefined;
  readonly next: readonly string[];
  readonly nut: Pick<TrussRod, "moreRelief">;
  readonly now: Measured;
  readonly at: string;
  readonly wanted: RodWanted;
  readonly rests: string;
  /** Lines that lie outside what is wanted, in words. */
  readonly outside: readonly string[];
};

function said(survey: Survey, { decision, probability, miss }: Decided, test: RodTest | undefined, told: Told, order: UnitOrder): RodSaid {
  const { rod } = survey.neck;
  const outside = told.outside.length === 0 ? "" : `, though ${joined(told.outside)}`;
  if (rod?.works === "none") return saidWithoutRod(decision, miss, told, outside, order);
  if (decision === "leave the rod") return { inShort: `leave the rod as it is${outside}.` };
  if (miss?.lies === "short") return survey.sheet.state.rod === undefined ? { inShort: "the neck is a little short of the relief wanted, and this rod can only let go what it holds." } : { inShort: "leave the rod as it is: it cannot add relief.", more: "The neck is a little short of what is wanted." };
  if (decision === "not by this rod") return { inShort: "the relief is not what is wanted, and this rod cannot mend it." };
  if (decision === "read first") return { inShort: `turn nothing yet. ${contradicted(survey, test) ? "The neck file and the rod's own test contradict each other." : told.next[0] ?? ""}`.trim() };
  const much = measuredWords(magnitude(told.change), order);
  if (told.nut.moreRelief === undefined) return { inShort: `the middle would have to ${middleMustWords(decision)} ${much} ${aimWords(told.wanted, order)}: ${needWords(probability)}${told.rests}.`, more: `Which way to turn the nut for that: not known. ${findingWords(decision, told.at, told.now.value < 0, rodPosition(survey.sheet.state.rod).kind === "slack")}` };
  const way = decision === "turn toward back bow" ? "toward back bow (middle high)" : "toward forward bow (middle low)";
  return { inShort: `${probability < SURE_ENOUGH ? "probably " : ""}${nutWords(told.nut, decision)}, to move the middle ${much} ${way}.`, more: turningWords(told.turns) };
}

/** Of a neck that has no rod: whether its relief will do. */
function saidWithoutRod(decision: RodDecision, miss: RodMiss | undefined, told: Told, outside: string, order: UnitOrder): RodSaid {
  if (decision === "read first") return { inShort: `open whether its relief will do, and there is no rod to mend it. ${told.next[0] ?? ""}`.trim() };
  return { inShort: miss === undefined ? `the relief is within what is wanted${outside}; there is no rod to turn.` : `${missWords(miss, order)}, and there is no rod to mend it.` };
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
