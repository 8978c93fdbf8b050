import { STRINGS_EXAMPLE } from "../../bow/cases/stringPull.js";
import { magnitude } from "../../shape/drawn.js";
import { straightWithinWords, underStringsWords } from "../../shape/wantedRelief.js";
import { bowWords, lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { lineWords } from "./rodLines.js";
import type { RodMiss, RodReason, RodSaid, RodWanted } from "./rodReason.js";
import { afterFindingWords, stillBareWords } from "./rodWords.js";

type Of<Kind extends RodReason["kind"]> = Extract<RodReason, { readonly kind: Kind }>;

/**
 * A reason of rod advice in a builder's words: one sentence, or a few that belong together.
 * @throws {TypeError} a kind that is none
 */
export function rodReasonWords(reason: RodReason, order: UnitOrder = "mm first"): string {
  switch (reason.kind) {
    case "relief now": return `Now, at fret ${reason.at}: ${bowWords(reason.relief.value)}, ${measuredWords(magnitude(reason.relief), order)} on ${reason.lines.length === 1 ? `the ${reason.lines[0] ?? ""} line` : "the mean of the lines read"}.`;
    case "strings": return stringsWords(reason, order);
    case "wanted": return `Wanted: ${wantedWords(reason, order)}${wantedByWords(reason)}.`;
    case "after the turn, bare": return stillBareWords(reason.bareMm, reason.strungMm, order);
    case "how far, once the way is known": return afterFindingWords(reason.turns);
    case "nut unclear": return `Where the nut stands is not clear ("${reason.written}"), and it may be near its end: if it goes hard, do not turn it. Write it as "rod: 1/4 turn clockwise", counted from neutral.`;
    case "nut at its end": return "The rod may be at its end, or bear on nothing: what is forced there breaks, and splits the neck.";
    case "file against test": return `The neck file says that turning ${reason.fileSays} gives more relief; the rod's own test says the opposite. Look at the nut and the sheets, and correct the one that is wrong.`;
    case "twist first": return `The neck is twisted beyond the limit${reason.hasRod ? ", and the rod cannot cure twist" : ""}: settle that first, as the verdict says, and do not string it before.`;
    case "lines wide apart": return wideApartWords(reason, order);
    case "lines on both sides": return `${reason.hasRod ? "The rod bends all lines alike and cannot bring them together. " : ""}A neck that is twisted, or has wound, reads so.`;
    case "line outside": return `By itself ${lineWords(reason, order)}, which lies ${reason.lies} what is wanted${reason.hasRod ? "; the rod bends all lines alike" : ""}.`;
    case "no rod": return "This neck has no rod that can be turned.";
    case "without a rod": return withoutRodWords(reason, order);
    case "does not work": return `Its own test says that this rod does not work ${reason.way}.`;
    case "only lets go": return `${oneWayWords(reason)} works one way: turning it back only lets go what it holds. Once it is slack, what back bow is left is not curable by it.`;
    case "nothing to let go": return nothingLeftWords(reason, order);
    case "bow or fret": return reason.bow.describe(order);
    case "set aside": case "contradiction": case "unlikely gap": return reason.sentence;
    case "contradiction decides nothing": return decidesNothingWords(reason, order);
    case "first either way": return "Strung or bare, that comes first.";
    case "same if strung": return `If it will be strung, the answer is the same${sameWords(reason, order)}.`;
    case "strings to be given": return `Give the strings in the neck file, as ${STRINGS_EXAMPLE}: no usual set is taken on so long a scale.`;
    case "if strung": return `If it will be strung: ${saidWords(reason.said)}`;
    case "if bare": return `If it goes out bare: ${saidWords(reason.said)}`;
    case "ask again": return 'Ask again with strings: "to come", or "none".';
    default: throw new TypeError(`Cannot word a reason of rod advice: expected one of its kinds, got ${JSON.stringify(reason satisfies never)}`);
  }
}

/** A headline without the neck's name, whole. */
export function saidWords({ inShort, more = "" }: RodSaid): string {
  return `${inShort} ${more}`.trim();
}

/** The relief wanted: `0.10 mm (3.9 thou) to 0.30 mm (11.8 thou) forward bow (middle low)`. */
export function wantedWords({ judged, minMm, maxMm }: RodWanted, order: UnitOrder): string {
  if (judged === "bare") return straightWithinWords(maxMm, order);
  return judged === "asked" && minMm >= 0 ? `relief from ${lengthWords(minMm, order)} to ${lengthWords(maxMm, order)}` : underStringsWords(minMm, maxMm, order);
}

/** What that asks of the middle: `to have 0.10 mm … forward bow (middle low), under strings`. */
export function aimWords(wanted: RodWanted, order: UnitOrder): string {
  const words = wantedWords(wanted, order);
  if (wanted.judged === "bare") return `to be ${words}, as a neck that goes out bare is to be`;
  return wanted.judged === "asked" ? `to have ${words}` : `to have ${words}, under strings${wanted.isAssumed === true ? " (common practice)" : ""}`;
}

/** Whose wish it is: nobody takes common practice for a limit of the own shop. */
function wantedByWords({ judged, isAssumed = false }: RodWanted): string {
  if (judged === "asked") return "";
  if (judged === "bare") return ": a neck that goes out bare is to be straight";
  return isAssumed ? ", common practice under strings (no source; a bass is often given more), as the neck file states no limits of yours" : ", the shop's limits under strings";
}

/** How far a relief is from what is wanted, for a neck that has no rod: `too much relief, 0.12 mm (4.7 thou) more than is wanted`. */
export function missWords({ lies, byMm }: RodMiss, order: UnitOrder): string {
  if (lies === "too much") return `too much relief, ${lengthWords(byMm, order)} more than is wanted`;
  return lies === "short" ? `a little short of relief, by ${lengthWords(byMm, order)}` : `${bowWords(-byMm)}, ${lengthWords(byMm, order)} off what is wanted`;
}

function stringsWords({ state, written, added, under, hasRod }: Of<"strings">, order: UnitOrder): string {
  if (state === "on") return `The strings were on when it was read${added === undefined ? "" : ", so nothing is added for them"}.`;
  const unclear = state === "unclear" ? `Whether the strings were on when it was read is not clear ("${written}"). ` : "";
  if (added === undefined) return state === "off" ? "Strings were off and no pull of strings was added: this judges the bare neck." : `${unclear}No pull of strings was added: this judges the neck as it was read.`;
  return `${unclear}Strings at pitch are expected to add ${measuredWords(added, order)} of forward bow (middle low): then ${bowWords(under.value)}, ${measuredWords(magnitude(under), order)}${hasRod ? ", with the rod as it is" : ""}.`;
}

function wideApartWords({ least, most, apart, wantedWidthMm, twistNeed, hasRod }: Of<"lines wide apart">, order: UnitOrder): string {
  const twist = twistNeed === undefined ? "" : ` ${lookForTwistWords(twistNeed)}`;
  return `The ${least} and the ${most} line lie ${measuredWords(apart, order)} apart, farther than what is wanted is wide (${lengthWords(wantedWidthMm, order)}): ${hasRod ? "no position of the rod suits both" : "not both can be as is wanted"}.${twist}`;
}

/** What to look for where lines do not agree. */
export function lookForTwistWords(need: string): string {
  return `Look for twist first: ${need}.`;
}

function oneWayWords({ isTested }: { readonly isTested: boolean }): string {
  return isTested ? "Its own test says that this rod" : "This rod";
}

function nothingLeftWords(reason: Of<"nothing to let go">, order: UnitOrder): string {
  const stands = reason.stands === undefined
    ? "where its nut stands was not said: if it is tightened, let it back until it is slack, and read again. Else it"
    : `it is ${reason.stands}: it`;
  const cure = reason.lies === "back bow" ? `Back bow with the rod slack is not curable by it: ${reason.areStringsOn ? "heavier strings pull it out, or " : ""}the board is planed and fretted anew.` : shortWords(reason, order);
  return `${oneWayWords(reason)} works one way, toward back bow, and ${stands} has nothing left to let go. ${cure}`;
}

/** Of a neck that is short of relief though in no back bow; it needs no cure. */
function shortWords({ byMm }: RodMiss, order: UnitOrder): string {
  return `It is no back bow: the middle is ${lengthWords(byMm, order)} short of the least relief that is wanted, which is a matter of taste and of how hard it is played. Play it before you do anything about it.`;
}

/** What brings a neck without a rod nearer to what is wanted; common practice, no source. */
function withoutRodWords(miss: RodMiss, order: UnitOrder): string {
  if (miss.lies === "short") return `${shortWords(miss, order)}${miss.areStringsOn ? " Heavier strings pull a little more relief into it." : ""}`;
  const [strings, where] = miss.lies === "too much" ? ["Lighter strings leave less relief. ", "toward both ends"] : ["Heavier strings pull some of it out. ", "in the middle"];
  return `${miss.areStringsOn ? strings : ""}Levelling takes the bow out of the fret tops, most ${where}, as far as their crowns allow: the level plan (notebook 05) says how far. What is more than that is planed out of the board, which is fretted anew. Bending a neck by heat is nothing that these readings can judge.`;
}

function sameWords({ change, miss }: Of<"same if strung">, order: UnitOrder): string {
  if (change !== undefined) return `; the middle is then to move ${measuredWords(magnitude(change), order)}`;
  return miss === undefined ? "" : `: then it has ${missWords(miss, order)}`;
}

function decidesNothingWords({ ways, differsMm }: Of<"contradiction decides nothing">, order: UnitOrder): string {
  return `Readings contradict each other, but this advice is the same in all ${ways} ways of leaving out what may be the slip${differsMm < SEEN_MM ? "" : `; what the middle is to move differs by ${lengthWords(differsMm, order)} at most`}. Read them again all the same.`;
}

/** Less rounds to nothing in print. */
const SEEN_MM = 0.005;
