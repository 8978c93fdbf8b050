import type { TrussRod } from "../../neck/neck.js";
import { turnsTowardBackBow, type RodPosition } from "../../readings/rodState.js";
import { placeWords } from "../../readings/entries.js";
import { joined } from "../../frets/lists.js";
import { magnitude } from "../../shape/drawn.js";
import { TWIST_NEED } from "../../survey/datumFreedom.js";
import type { Survey } from "../../survey/survey.js";
import { NORMAL_95, type Measured } from "../../units/measured.js";
import { bowWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { openContradictions, settledSlips } from "../contradiction.js";
import { unlikelyGapWords } from "../unlikelyGaps.js";
import type { MiddleRelief } from "./middleRelief.js";
import { linesOutside, linesWords, type LineRelief } from "./rodLines.js";
import type { RodReason } from "./rodReason.js";
import { lookForTwistWords } from "./rodReasonWords.js";
import { turnWords, type RodTest } from "./rodTest.js";

/** Why no rod is turned, whatever the mean relief of the lines is. */
export type RodStop = {
  readonly decision: "read first" | "not by this rod";
  /** A sentence or two, without the neck's name. */
  readonly headline: string;
  readonly because: readonly RodReason[];
  readonly readIfUnsure: readonly string[];
};

type Rod = Pick<TrussRod, "works" | "moreRelief"> | undefined;

/** What a builder is not to do before the readings are right. */
export function turnNothing(rod: Rod): string {
  return rod?.works === "none" ? "judge nothing by this yet." : "turn nothing yet.";
}

type Middle = Extract<MiddleRelief, { status: "determined" }>;

/** More than this no rod moves the middle of a neck (own judgement). */
export const MOST_MOVED_MM = 1.5;
/** A nut that stands so far from neutral may be at its end (own judgement; the rod maker's word comes first). */
const FAR_TURNS = 2;

/** Readings that contradict each other, where it hangs on which of them is the slip. */
export function contradictionStop(survey: Pick<Survey, "blunders" | "neck">): RodStop {
  return {
    decision: "read first", headline: `${turnNothing(survey.neck.rod)} Readings contradict each other, and nothing tells which of them is wrong.`,
    because: openContradictions(survey).map(({ sentence }) => ({ kind: "contradiction", sentence })), readIfUnsure: ["Set the edge down afresh, read all of them again, and ask again."],
  };
}

/** A gap wider than a neck on its body shows: what else was read does not say so, but a rod is not turned on it. */
export function unlikelyGapStop(survey: Survey, order: UnitOrder): RodStop | undefined {
  const questions = unlikelyGapWords(survey, order);
  return questions.length === 0 ? undefined : {
    decision: "read first", headline: `${turnNothing(survey.neck.rod)} A gap was read that is more than a neck on its body shows.`,
    because: questions.map((sentence) => ({ kind: "unlikely gap", sentence })), readIfUnsure: ["Look at it again, correct the sheet if it was mistyped, and ask again."],
  };
}

/** Readings that were set aside alone; said beside the advice that rests on the others. */
export function setAside(survey: Pick<Survey, "blunders">): readonly RodReason[] {
  return settledSlips(survey).map(({ sentence }) => ({ kind: "set aside", sentence }));
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
  const lines = linesWords(apart, order);
  const hasRod = rod?.works !== "none";
  const need = twistNeed(twist);
  return {
    decision: "not by this rod", headline: hasRod ? `no position of the rod suits all lines: ${lines}.` : `the lines lie on both sides of what is wanted: ${lines}.`,
    because: [{ kind: "lines on both sides", hasRod }], readIfUnsure: need === undefined ? [] : [lookForTwistWords(need)],
  };
}

/** The reading that would show a twist; where it was sighted, the verdict says what it is. */
export function twistNeed({ status }: Survey["twist"]): string | undefined {
  return status === "determined" ? undefined : TWIST_NEED;
}

/** A move that no rod makes is rather a slip of the pen, in a reading or in what was asked for. */
export function beyondAnyRodStop(change: Measured, isAsked: boolean, rod: Rod, order: UnitOrder): RodStop | undefined {
  if (Math.abs(change.value) - NORMAL_95 * change.u < MOST_MOVED_MM) return undefined;
  return {
    decision: "read first",
    headline: `${turnNothing(rod)} The middle would have to move ${measuredWords(magnitude(change), order)}, and no rod gives that much: is a reading mistyped, or a unit${isAsked ? ", or the relief that was asked for" : ""}?`,
    because: [], readIfUnsure: ["Read the middle again, and write the unit beside it."],
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

/** A nut far from neutral that has not done its work: more of the same may break the rod. */
export function farTurnedStop(position: RodPosition, way: "turn toward back bow" | "turn toward forward bow", now: Measured, rod: Pick<TrussRod, "moreRelief"> | undefined, test: RodTest | undefined, order: UnitOrder): RodStop | undefined {
  if (position.kind !== "turned" || position.turns < FAR_TURNS) return undefined;
  const toward = turnsTowardBackBow(position, rod);
  const tested = way === "turn toward back bow" ? test?.towardBackBow : test?.towardForwardBow;
  if (tested?.status === "works" || (toward !== undefined && toward > 0 !== (way === "turn toward back bow"))) return undefined;
  const stands = `it stands ${turnWords(position.turns)} ${position.way} already, and the neck still has ${measuredWords(magnitude(now), order)} ${bowWords(now.value)}`;
  return {
    decision: "read first", headline: `do not turn the nut any further ${position.way}: ${stands}.`,
    because: [{ kind: "nut at its end" }],
    readIfUnsure: ["Let the nut back until it is slack, read the neck, and do the rod test from there."],
  };
}
