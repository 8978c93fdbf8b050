import type { Neck } from "../neck/neck.js";
import type { Measured } from "../units/measured.js";
import { giveOrTakeMm, lengthWords, measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { turned } from "../shape/drawn.js";
import type { FretFinding } from "./finding.js";
import { joined } from "./lists.js";
import { curveEndWords } from "./places.js";
import { didNotHold } from "./seating.js";

/**
 * One fret in words: where, how sure, how much, what to do.
 * `Fret 7, treble end: almost surely high by 0.06 mm, give or take 0.02 (…). Slide a thin leaf under the crown, treble end, then decide: tap or level.`
 */
export function fretWords(finding: FretFinding, neck: Pick<Neck, "tangs" | "slots" | "frets" | "zeroFret">, order: UnitOrder): string {
  return [`Fret ${finding.fret}${finding.where === "" ? "" : `, ${finding.where}`}: ${standsWords(finding, order)}.`, actionWords(finding, order), ...endWords(finding, neck), ...curveEnd(finding, neck)].join(" ");
}

/** How sure, as a builder says it. */
export function sureWords(probability: number): string {
  if (probability >= 0.99) return "almost surely";
  if (probability >= 0.95) return "very likely";
  return probability >= 0.75 ? "probably" : "more likely than not";
}

const DOUBTS: Readonly<Record<"contradictory" | "the log says otherwise" | "rocks, no leaf" | "bow or high" | "not read", (finding: FretFinding) => string>> = {
  contradictory: ({ contradicted, seating }) => `contradictory, ${joined(contradicted.map(({ line, written }) => `"${written}" on the ${line} line was set aside as a slip`))}${seating.some(didNotHold) ? ", yet the seating log has it up too" : ""}`,
  "the log says otherwise": () => "contradictory, the seating log has it up and what was read does not",
  "rocks, no leaf": ({ rocksUnread }) => `rocks on the ${joined(rocksUnread)} line${rocksUnread.length === 1 ? "" : "s"}, so it is high there by an unknown amount: no leaf was read`,
  "not read": ({ probabilityOver }) => `not read itself; what was read beside it has it ${sureWords(probabilityOver)} over the limit`,
  "bow or high": () => "a bow or a high fret, which three places cannot split",
};

function standsWords(finding: FretFinding, order: UnitOrder): string {
  const { class: stands, high, told, probabilityOver, shares, off, action } = finding;
  if (stands === "low") return `${sureWords(shares.low + shares["crown not following the radius"])} low by ${measuredWords(turned(high), order)}`;
  if (action.do === "read" && (action.why === "rocks, no leaf" || action.why === "not read")) return DOUBTS[action.why](finding);
  if (action.do === "read" && action.why !== "over the limit or not" && action.why !== "tapped since") return `${DOUBTS[action.why](finding)}: ${overLineWords(high, order)}${action.why === "contradictory" ? " without it" : ""}`;
  if (action.do === "look at the joint") return `rises with the body joint: ${overLineWords(high, order)}, which has a hump there`;
  if (action.do === "read" && action.why === "over the limit or not") return `open whether it is high on the ${told.line} line (${percent(probabilityOver)}): ${overLineWords(high, order)}`;
  if (stands === "as intended") return `${overLineWords(high, order)}, under the limit more likely than not (${percent(1 - probabilityOver)})`;
  const radius = stands === "crown not following the radius" ? `; its crown does not follow the radius, ${off.length === 1 ? "the middle stands up" : "the ends stand up"}` : "";
  return `${sureWords(Math.max(probabilityOver, 1 - shares["as intended"]))} ${high.value < 0 ? `low by ${measuredWords(turned(high), order)}` : `high by ${measuredWords(high, order)}`}${radius}`;
}

/** Over, under or level with the neck line: the sign in words. */
export function overLineWords(high: Measured, order: UnitOrder): string {
  if (Math.abs(high.value) < LEVEL_MM) return `level with the neck line, give or take ${lengthWords(giveOrTakeMm(high), order)}`;
  return high.value < 0 ? `${measuredWords(turned(high), order)} under the neck line` : `${measuredWords(high, order)} over the neck line`;
}

/** Rounds to nothing in print. */
const LEVEL_MM = 0.005;

/** A zero fret carries the open strings: what is taken off it lowers them all (common practice, no source). */
const ZERO_FRET: Readonly<Record<"zero fret" | "low", string>> = {
  "zero fret": "It is the zero fret, which carries the open strings and is often meant to stand a little over the others: keep it out of the levelling and take it down last, strings at pitch, a little at a time, while the open strings still clear fret 1. If it was not meant to stand up, slide a thin leaf under its crown first.",
  low: "It is the zero fret, and tapping cannot raise it: open strings may buzz on fret 1. See that they clear it, strings at pitch; if they do not, pull it and refit a higher one.",
};

/** What to do, ending in what comes after it. */
function actionWords(finding: FretFinding, order: UnitOrder): string {
  const { action, class: stands } = finding;
  if (action.do === "leave" && finding.fret === 0 && (action.why === "zero fret" || action.why === "low")) return ZERO_FRET[action.why];
  if (action.do === "leave") return action.why === "low" ? "Tapping cannot raise it: leave it out of the levelling, or, if a note stopped at it buzzes, pull it and refit it." : "Leave it.";
  if (action.do === "look at the joint") return "Do not file it alone: lay a notched edge on the bare wood across the joint, or look for light under its crown; a hump of the neck is dealt with as a whole.";
  if (action.do === "read" && action.why === "rocks, no leaf") return `Rock it again and slide a leaf under the raised end, ${action.reading.line} line.`;
  if (action.do === "read" && action.why === "bow or high") return `Rock fret ${action.reading.at.label} first, on every line read.`;
  if (action.do === "read" && action.why === "contradictory" && action.reading.tool === "straightedge") return `Read it again first: ${contradictedWords(finding)}, once more, before anything else.`;
  if (action.do === "read" && (action.why === "contradictory" || action.why === "the log says otherwise")) return `${readWords(action.reading)}, once more, before anything else.`;
  if (action.do === "read") return action.why === "tapped since" ? `The seating log has it down at the ${action.reading.line} line: rock it again, and leave it if it is still.` : `${readWords(action.reading)}: that would settle it${action.reading.chance === undefined ? "" : `, ${tenths(action.reading.chance)}`}.`;
  if (action.do === "look under the crown") return `Slide a thin leaf under the crown, ${placesWords(action.lines, stands === "lifted at one end")}, then decide: tap or level.`;
  if (action.do === "look into the zone") return `It stands up with frets ${action.zone.fromFret} to ${action.zone.toFret}: find out first why they do.`;
  if (action.do === "seat") return `Seat it: a gap was seen under the crown, ${placesWords(action.lines, true)}. Tap or press it home, rock it again${action.leavesHigh ? `; the gap is at most ${lengthWords(action.gapMm, order)}, so level what is left` : ""}.`;
  if (action.do === "level" && action.why === "no leaf goes") return `No leaf goes under the crown, which leaves room for up to ${lengthWords(action.gapAtMostMm, order)} of air: look for light under it or try something thinner before you file. If there is none, level it.`;
  if (action.do === "level") return action.why === "raised board" ? "Leave it seated: the board is raised here. Level it with the others, or dress the board when it is next refretted." : "Level it: no gap was seen under the crown, so it is home and tapping cannot lower it.";
  return `Pull it and refit it: it ${action.outcome === "did not go down" ? "did not go down" : "came up again"}, so tapping does not hold it.`;
}

/** The first reading that was set aside. */
function contradictedWords({ fret, contradicted }: FretFinding): string {
  return contradicted.slice(0, 1).map(({ read, line }) => `the ${read} at fret ${fret}, ${line}`).join("");
}

/** The reading in words, as an order. */
function readWords({ tool, line, at }: { readonly tool: "straightedge" | "rocker"; readonly line: string; readonly at: { readonly label: string } }): string {
  return tool === "rocker" ? `Rock a short edge over fret ${at.label}, ${line} line` : `Slide leaves under the same edge at fret ${at.label}, ${line} line`;
}

/** A tang that stops short of the end holds nothing there. */
function endWords({ class: stands, action }: FretFinding, { tangs, slots }: Pick<Neck, "tangs" | "slots">): readonly string[] {
  const isCut = (tangs?.cutBackMm ?? 0) > 0 || slots?.ends === "blind";
  const concerns = action.do === "seat" || action.do === "look under the crown" || action.do === "pull and refit";
  return isCut && concerns && stands === "lifted at one end" ? ["The tang is cut back from the end, so the slot does not hold it there: over-bend or glue must."] : [];
}

function curveEnd({ endOfCurve, action, fret }: FretFinding, neck: Pick<Neck, "frets" | "zeroFret">): readonly string[] {
  return endOfCurve && action.do !== "leave" && action.do !== "read" ? [curveEndWords(neck, fret)] : [];
}

function placesWords(lines: readonly string[], isEnd: boolean): string {
  return lines.length === 1 && isEnd && lines[0] !== "centre" ? `${lines[0] ?? ""} end` : `${joined(lines)} line${lines.length === 1 ? "" : "s"}`;
}

/** `8 times in 10`. */
function tenths(chance: number): string {
  const times = Math.round(10 * chance);
  return times >= 10 ? "nearly always" : `about ${times} times in 10`;
}

/** Whole per cent; never a bare 0 or 100, which nothing here is. */
export function percent(probability: number): string {
  const whole = Math.round(100 * probability);
  return whole <= 0 ? "under 1 %" : whole >= 100 ? "over 99 %" : `${whole} %`;
}
