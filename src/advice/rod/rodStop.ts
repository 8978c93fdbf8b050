import type { TrussRod } from "../../neck/neck.js";
import { turnsTowardBackBow, type RodPosition } from "../../readings/rodState.js";
import { placeWords } from "../../readings/entries.js";
import { joined } from "../../frets/lists.js";
import { magnitude } from "../../shape/drawn.js";
import { lineOverChord, scaled } from "../../shape/span.js";
import { TWIST_NEED } from "../../survey/datumFreedom.js";
import { normalCdf } from "../../survey/likelihood/normal.js";
import type { Survey } from "../../survey/survey.js";
import { NORMAL_95, type Measured } from "../../units/measured.js";
import { bowWords, lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";
import type { MiddleRelief } from "./middleRelief.js";
import type { RodTest } from "./rodTest.js";
import { unlikelyGapWords } from "../unlikelyGaps.js";
import { turnWords } from "./rodTest.js";

/** Why no rod is turned, whatever the mean relief of the lines is. */
export type RodStop = {
  readonly decision: "read first" | "not by this rod";
  /** A sentence or two, without the neck's name. */
  readonly headline: string;
  readonly reasons: readonly string[];
  readonly readIfUnsure: readonly string[];
};

type Rod = Pick<TrussRod, "works" | "moreRelief"> | undefined;

/** What a builder is not to do before the readings are right. */
function turnNothing(rod: Rod): string {
  return rod?.works === "none" ? "judge nothing by this yet." : "turn nothing yet.";
}

type Middle = Extract<MiddleRelief, { status: "determined" }>;

/** A line counts as outside what is wanted when it is so probable (own judgement). */
const SURE = 0.95;
/** More than this no rod moves the middle of a neck (own judgement). */
export const MOST_MOVED_MM = 1.5;
/** A nut that stands so far from neutral may be at its end (own judgement; the rod maker's word comes first). */
const FAR_TURNS = 2;

/** Readings that contradict each other, of which any may be the slip: whichever was set aside, the rod is not turned on the others. */
export function contradictionStop({ blunders, neck }: Pick<Survey, "blunders" | "neck">): RodStop | undefined {
  const open = blunders.filter(({ rivals }) => rivals.length > 0);
  return open.length === 0 ? undefined : {
    decision: "read first", headline: `${turnNothing(neck.rod)} Readings contradict each other, and nothing tells which of them is wrong.`,
    reasons: open.map(({ sentence }) => sentence), readIfUnsure: ["Set the edge down afresh, read all of them again, and ask again."],
  };
}

/** A gap wider than a neck on its body shows: what else was read does not say so, but a rod is not turned on it. */
export function unlikelyGapStop(survey: Survey, order: UnitOrder): RodStop | undefined {
  const questions = unlikelyGapWords(survey, order);
  return questions.length === 0 ? undefined : {
    decision: "read first", headline: `${turnNothing(survey.neck.rod)} A gap was read that is more than a neck on its body shows.`,
    reasons: questions, readIfUnsure: ["Look at it again, correct the sheet if it was mistyped, and ask again."],
  };
}

/** A reading that was set aside alone; said beside the advice that rests on the others. */
export function setAsideWords({ blunders }: Pick<Survey, "blunders">): readonly string[] {
  return blunders.filter(({ rivals }) => rivals.length === 0).map(({ sentence }) => sentence);
}

/** A line's relief at the middle, what strings will add included. */
export type LineRelief = { readonly line: string; readonly relief: Measured; readonly lies: "over" | "within" | "under" | "open" };

/**
 * Relief of each line over the chord that all share, and where it surely lies against what is wanted.
 * @param added what strings will add
 */
export function lineReliefs(survey: Pick<Survey, "linearAll">, { lines, fromMm, toMm, atMm }: Middle, added: Measured | undefined, min: number, max: number): readonly LineRelief[] {
  const reliefs = survey.linearAll(lines.map((line) => scaled(-1, lineOverChord(line, fromMm, toMm, atMm))));
  return lines.flatMap((line, index) => {
    const relief = reliefs[index];
    if (relief === undefined) return [];
    const [value, u] = [relief.value + (added?.value ?? 0), Math.hypot(relief.u, added?.u ?? 0)];
    const [over, under] = [normalCdf((value - max) / u), normalCdf((min - value) / u)];
    return [{ line, relief, lies: over > SURE ? "over" : under > SURE ? "under" : 1 - over - under > SURE ? "within" : "open" } as const];
  });
}

/**
 * Lines on both sides of what is wanted, or farther apart than it is wide and not all on one side of it: the rod bends all alike.
 * @param areWideApart whether they surely lie farther apart than what is wanted is wide
 */
export function linesApartStop({ neck: { rod }, twist }: Pick<Survey, "neck" | "twist">, reliefs: readonly LineRelief[], areWideApart: boolean, order: UnitOrder): RodStop | undefined {
  const outside = linesOutside(reliefs);
  const sides = new Set(outside.map(({ lies }) => lies));
  const areOnOneSide = sides.size === 1 && outside.length === reliefs.length;
  if (sides.size < 2 && (!areWideApart || areOnOneSide)) return undefined;
  const apart = sides.size < 2 ? [...reliefs].sort((a, b) => b.relief.value - a.relief.value).filter((_, at, all) => at === 0 || at === all.length - 1) : outside;
  const lines = joined(apart.map((one) => lineWords(one, order)));
  return {
    decision: "not by this rod", headline: rod?.works === "none" ? `the lines lie on both sides of what is wanted: ${lines}.` : `no position of the rod suits all lines: ${lines}.`,
    reasons: [`${rod?.works === "none" ? "" : "The rod bends all lines alike and cannot bring them together. "}A neck that is twisted, or has wound, reads so.`], readIfUnsure: twistWords(twist),
  };
}

/** Where twist was sighted, the verdict says what it is. */
function twistWords({ status }: Survey["twist"]): readonly string[] {
  return status === "determined" ? [] : [`Look for twist first: ${TWIST_NEED}.`];
}

/** Of several lines those that surely lie outside what is wanted, while others may not. */
export function linesOutside(reliefs: readonly LineRelief[]): readonly LineRelief[] {
  return reliefs.length < 2 ? [] : reliefs.filter(({ lies }) => lies === "over" || lies === "under");
}

/** Lines that lie outside what is wanted though their mean does not; said beside the advice. */
export function lineOutsideWords(outside: readonly LineRelief[], order: UnitOrder): readonly string[] {
  return outside.map((one) => `By itself ${lineWords(one, order)}, which lies ${one.lies} what is wanted; the rod bends all lines alike.`);
}

/** Lines that surely lie farther apart than what is wanted is wide: wherever the rod brings their mean, it does not suit all. */
export function linesWideApartWords(survey: Pick<Survey, "linear" | "twist">, { fromMm, toMm, atMm }: Middle, reliefs: readonly LineRelief[], min: number, max: number, order: UnitOrder): readonly string[] {
  const sorted = [...reliefs].sort((a, b) => a.relief.value - b.relief.value);
  const [least, most] = [sorted[0], sorted.at(-1)];
  if (least === undefined || most === undefined || least === most) return [];
  const apart = survey.linear([...scaled(-1, lineOverChord(most.line, fromMm, toMm, atMm)), ...scaled(1, lineOverChord(least.line, fromMm, toMm, atMm))]);
  if (normalCdf((apart.value - (max - min)) / apart.u) <= SURE) return [];
  return [[`The ${least.line} and the ${most.line} line lie ${measuredWords(apart, order)} apart, farther than what is wanted is wide (${lengthWords(max - min, order)}): no position of the rod suits both.`, ...twistWords(survey.twist)].join(" ")];
}

function lineWords({ line, relief }: LineRelief, order: UnitOrder): string {
  return `the ${line} line has ${lengthWords(Math.abs(relief.value), order)} ${bowWords(relief.value)}`;
}

/** A move that no rod makes is rather a slip of the pen, in a reading or in what was asked for. */
export function beyondAnyRodStop(change: Measured, isAsked: boolean, rod: Rod, order: UnitOrder): RodStop | undefined {
  if (Math.abs(change.value) - NORMAL_95 * change.u < MOST_MOVED_MM) return undefined;
  return {
    decision: "read first",
    headline: `${turnNothing(rod)} The middle would have to move ${measuredWords(magnitude(change), order)}, and no rod gives that much: is a reading mistyped, or a unit${isAsked ? ", or the relief that was asked for" : ""}?`,
    reasons: [], readIfUnsure: ["Read the middle again, and write the unit beside it."],
  };
}

/** What the advice hangs on: readings of the middle that no other checks, as words to go behind how sure it is. */
export function restsOnWords({ uncontrolled, heights }: Pick<Survey, "uncontrolled" | "heights">, { lines, fromMm, toMm }: Middle): string {
  const between = uncontrolled.filter(({ line, at }) => lines.includes(line) && heights.some((height) => height.line === line && height.at === at && height.place.xMm > fromMm + 1 && height.place.xMm < toMm - 1));
  if (between.length === 0 || between.length > FEW) return "";
  return `, if what was read at ${joined([...new Set(between.map(({ at }) => placeWords(at)))])} is right: no other reading checks it`;
}

/** More readings between the ends than these bear each other out. */
const FEW = 2;

/** A nut of which it is not clear where it stands may be near its end; said beside a turn. */
export function unclearNutWords(position: RodPosition): readonly string[] {
  return position.kind === "unclear" ? [`Where the nut stands is not clear ("${position.words}"), and it may be near its end: if it goes hard, do not turn it. Write it as "rod: 1/4 turn clockwise", counted from neutral.`] : [];
}

/** A nut far from neutral that has not done its work: more of the same may break the rod. */
export function farTurnedStop(position: RodPosition, way: "turn toward back bow" | "turn toward forward bow", now: Measured, rod: Pick<TrussRod, "moreRelief"> | undefined, test: RodTest | undefined, order: UnitOrder): RodStop | undefined {
  if (position.kind !== "turned" || position.turns < FAR_TURNS) return undefined;
  const toward = turnsTowardBackBow(position, rod);
  const tested = way === "turn toward back bow" ? test?.towardBackBow : test?.towardForwardBow;
  if (tested?.status === "works" || (toward !== undefined && toward > 0 !== (way === "turn toward back bow"))) return undefined;
  const stands = `it stands ${turnWords(position.turns)} ${position.way} already, and the neck still has ${measuredWords(magnitude(now), order)} ${bowWords(now.value)}`;
  return {
    decision: "read first", headline: `do not turn the nut any further ${position.way}: ${stands}.`,
    reasons: ["The rod may be at its end, or bear on nothing: what is forced there breaks, and splits the neck."],
    readIfUnsure: ["Let the nut back until it is slack, read the neck, and do the rod test from there."],
  };
}
