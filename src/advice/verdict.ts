import type { NeckState } from "../readings/reading.js";
import { placeWords } from "../readings/entries.js";
import { faceBows } from "../shape/faceBow.js";
import { reliefs } from "../shape/relief.js";
import type { Relief } from "../shape/relief.js";
import type { Blunder, Survey, Uncontrolled } from "../survey/survey.js";
import { bowWays } from "./bowWays.js";
import { contradictionWords } from "./contradiction.js";
import { hangsOnSlip } from "./contradictionWays.js";
import { faceHeadline, reliefsToTell } from "./faceHeadline.js";
import { unlikelyGapWords } from "./unlikelyGaps.js";
import { allStandingWords, standingFrets } from "../frets/standingFrets.js";
import { joined } from "../frets/lists.js";
import { unsplitBows } from "../frets/unsplitBow.js";
import type { UnsplitBow } from "../frets/unsplitBow.js";
import { risingTongueWords } from "../frets/risingTongue.js";
import { capital } from "../units/text.js";
import { fretZones, isToldOpen } from "../frets/zones.js";
import { jointHumps } from "../shape/jointHump.js";
import { halfwayReadings } from "../shape/halfway.js";
import { toReadWords } from "../shape/questionWords.js";
import { readNextFor } from "../shape/readNext.js";
import { NORMAL_95 } from "../units/measured.js";
import { twistAdvice, twistHeadline } from "./twistAdvice.js";
import { twistOfNeck } from "../shape/twist.js";
import type { Twist } from "../shape/twist.js";
import { giveOrTakeMm, lengthWords, smallWords, writtenLengthWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";

/** A survey in words, in the order in which a builder asks. */
export type Verdict = {
  /** One sentence over all lines; that readings contradict each other before it where it hangs on them, else after it. */
  readonly headline: string;
  /** Where, how much, which way, give or take: one sentence a line of the neck. */
  readonly where: readonly string[];
  readonly howSure: readonly string[];
  readonly readNext: readonly string[];
  /** Readings that contradict the others, or are wider than a neck on its body goes; empty when there are none. */
  readonly lookAgain: readonly string[];
  readonly relief: readonly Relief[];
  readonly twist: Twist;
  /** The whole verdict as text, one sentence a line. */
  readonly describe: () => string;
};

/**
 * The verdict on a survey. What to do about the neck is not decided here: it says where, how much, which way,
 * how sure, and what to read next, every length in mm and thou.
 */
export function verdict(survey: Survey, order: UnitOrder = "mm first"): Verdict {
  const relief = reliefs(survey);
  const twist = twistOfNeck(survey);
  const unsplit = unsplitBows(survey);
  const standing = standingFrets(survey);
  const hangs = hangsOnSlip(survey);
  const contradiction = contradictionWords(survey, hangs);
  const shape = `${headline(survey, relief).replace(/\.$/, "")}${twistHeadline(twist)}.`;
  const parts = {
    headline: contradiction === undefined ? shape : hangs === "nothing" ? `${shape} ${capital(contradiction)}` : `${survey.neck.name}: ${contradiction}`,
    where: [
      ...reliefsToTell(survey, relief).map((one) => one.describe(order)),
      ...twistAdvice(twist, order),
      ...faceBows(survey).map((face) => face.describe(order)),
      ...unsplit.map((bow) => bow.describe(order)),
      ...(standing.some(({ atHump }) => atHump) ? jointHumps(survey).flatMap((joint) => (joint.status === "hump" ? [joint.describe(order)] : [])) : []),
      ...risingTongueWords(survey, order),
      ...allStandingWords(standing, survey, order),
      ...fretZones(survey).map((zone) => zone.describe(order)),
    ],
    howSure: howSure(survey, relief, order, contradiction !== undefined),
    readNext: inTurn([...slipsAgain(survey, order), ...twistNext(survey, twist), ...readNext(survey, relief, unsplit, order)]),
    lookAgain: [...survey.blunders.map((blunder) => blunder.sentence), ...unlikelyGapWords(survey, order)],
    relief, twist,
  };
  return { ...parts, describe: () => [parts.headline, ...parts.where, ...parts.lookAgain, ...parts.howSure, ...parts.readNext].join("\n") };
}

function headline(survey: Survey, relief: readonly Relief[]): string {
  const ways = bowWays(survey, relief);
  const [first] = ways;
  if (first === undefined) return faceHeadline(survey) ?? `${survey.neck.name}: these readings do not yet determine its shape.`;
  if (ways.every(({ way }) => way === first.way)) {
    const where = ways.length > 1 ? ` on ${ways.length === 2 ? "both" : `all ${ways.length}`} lines read` : "";
    return `${survey.neck.name}: ${first.way === "open" ? STRAIGHT : where === "" ? first.way.replace(/,$/, "") : first.way}${where}.`;
  }
  return `${survey.neck.name}: ${ways.map(({ line, way }) => `${line} ${way === "open" ? STRAIGHT : way.replace(/,$/, "")}`).join(", ")}.`;
}

const STRAIGHT = "straight within what was read";

function howSure(survey: Survey, relief: readonly Relief[], order: UnitOrder, isContradicted: boolean): readonly string[] {
  if (faceHeadline(survey) === undefined && !relief.some((one) => one.status === "determined")) return [];
  const uncontrolled = survey.uncontrolled.length === 0 ? [] : [uncontrolledWords(survey, order)];
  const sure = isContradicted ? "only if the reading left out is the slip does the truth lie within the give or take 19 times in 20" : "the truth lies within the give or take 19 times in 20";
  return [
    `How sure: ${sure}. ${stateWords(survey.sheet.state)}`,
    ...leafWords(survey, relief, order),
    ...fretZones(survey).filter(isToldOpen).map(({ fromFret, toFret }) => `Beside frets ${fromFret} to ${toFret}, which stand up together, take the relief for less sure than it says (about 9 times in 10 by our study).`),
    ...edgeWords(survey, order),
    ...uncontrolled,
  ];
}

/** Why the relief is told deeper than the one leaf that went, where one reading between the ends is all there is. */
function leafWords({ sheet }: Survey, relief: readonly Relief[], order: UnitOrder): readonly string[] {
  const known = relief.flatMap((one) => (one.status === "determined" ? [one] : []));
  const leaves = known.flatMap(({ line, from, to }) => {
    const read = sheet.settings.filter(({ path, surface }) => path.kind === "along" && path.line === line && surface === "fretTops").flatMap(({ readings }) => readings).filter(({ place }) => place.xMm > from.xMm && place.xMm < to.xMm);
    const [only] = read;
    return read.length === 1 && only?.gap.kind === "interval" && only.gap.lowMm > LIGHT_MM && Number.isFinite(only.gap.highMm) ? [{ written: only.written, ...only.gap }] : [];
  });
  const [leaf] = leaves;
  if (leaf === undefined || leaves.length < known.length) return [];
  return [`A leaf that goes is the least that the gap can be: "${leaf.written}" is a gap from ${lengthWords(leaf.lowMm, order)} to ${lengthWords(leaf.highMm, order)}. The relief is told at the deepest place of the line, which need not be where that leaf went.`];
}

/** What shows light is wider than nothing and no leaf went into it; no leaf is thinner than this. */
const LIGHT_MM = 0.0095;

/** The bow of the edge itself looks like relief; without a check of the edge it stays in the give or take, and of a checked one what the check left open. */
function edgeWords(survey: Survey, order: UnitOrder): readonly string[] {
  const [edge] = survey.sheet.settings.filter((setting) => setting.tool.kind === "straightedge").map((setting) => setting.tool);
  if (edge === undefined) return [];
  if (edge.bow !== undefined) return [`The edge's own bow, ${edge.bow.mm < 0 ? "crowned" : "hollow"} by ${smallWords(Math.abs(edge.bow.mm), order)} over its ${edge.lengthMm.toFixed(0)} mm, is taken out; the give or take includes what its check left open, up to ${smallWords(NORMAL_95 * edge.bow.uMm, order)}.`];
  return [`The give or take includes a bow of the edge itself of up to ${lengthWords(edge.straightnessToleranceMm, order)} over its ${edge.lengthMm.toFixed(0)} mm: only checking the edge would take that out.`];
}

function uncontrolledWords(survey: Survey, order: UnitOrder): string {
  const shown = survey.uncontrolled.slice(0, 3).map((reading) => `${uncontrolledPlace(survey, reading)} ("${reading.written}")`);
  const more = survey.uncontrolled.length > shown.length ? ` and ${survey.uncontrolled.length - shown.length} more` : "";
  return `No other reading checks ${shown.join(", ")}${more}: with so few readings a slip of ${lengthWords(0.1, order)} in one would go unseen. Reading once more guards against it.`;
}

/** A sighting is called as it is typed: over the bars. */
function uncontrolledPlace({ sheet }: Survey, { line, at, written }: Uncontrolled): string {
  const [sighted] = sheet.settings.filter(({ tool, readings }) => tool.kind === "sightingBars" && readings.some((reading) => reading.written === written && reading.place.label === at));
  if (sighted === undefined) return [placeWords(at), line].filter((part) => part !== "").join(" ");
  return sighted.path.kind === "diagonal" ? `the sighting over bars at ${placeWords(sighted.path.from.at.label)} and ${placeWords(at)}` : `the sighting over a bar at ${placeWords(at)}`;
}

function stateWords(state: NeckState): string {
  const given = [
    state.rod === undefined ? "" : `rod ${state.rod}`,
    state.strings === undefined ? "" : `strings ${state.strings}`,
    state.support === undefined ? "" : state.support,
  ].filter((part) => part !== "");
  return given.length === 0 ? "Rod, strings and support were not stated." : `As read: ${given.join(", ")}.`;
}

const NO_MORE = "Read next: no single further reading sharpens the relief by much. A second, fresh setting of the edge on the same line checks the first.";

/** A gain smaller than this rounds away in print. */
const TOLD_GAIN_MM = 0.01;

const READ_NEXT = "Read next: ";

/** One reading is next, the others come after it; that none sharpens the relief by much is said only where none is next. */
function inTurn(told: readonly string[]): readonly string[] {
  const [first, ...later] = told.filter((one) => one.startsWith(READ_NEXT));
  return told.filter((one) => one !== NO_MORE || one === first).map((one) => (later.includes(one) ? one.replace(READ_NEXT, "Then: ") : one));
}

/** What was set aside as a slip is read once more before anything else. */
function slipsAgain({ blunders }: Survey, order: UnitOrder): readonly string[] {
  return blunders.map(({ read, at, line, expectedMm }: Blunder) => (read === "rocker"
    ? `${READ_NEXT}rock a short edge over ${placeWords(at)}, ${line}, once more.`
    : `${READ_NEXT}the ${read} at ${placeWords(at)}, ${line}, once more.${expectedMm < 0 && read !== "sighting" && read !== "dial bar" ? "" : ` Expect about ${writtenLengthWords(expectedMm, order)}.`}`));
}

/** Twist that may be over the limit is sighted again with the bars exchanged, as the advice on it says. */
function twistNext({ sheet }: Survey, twist: Twist): readonly string[] {
  const isSighted = sheet.settings.some(({ tool }) => tool.kind === "sightingBars");
  return isSighted && twist.status === "determined" && twist.within !== "yes" ? [`${READ_NEXT}exchange the two bars and sight the twist again.`] : [];
}

/** What sharpens the relief that is known least: between three places read under one edge two gaps at once, else the one reading that a question about it names. */
function sharper(survey: Survey, relief: readonly Relief[], order: UnitOrder): readonly string[] {
  const [worst] = relief.flatMap((one) => (one.status === "determined" ? [one] : [])).sort((a, b) => giveOrTakeMm(b.relief) - giveOrTakeMm(a.relief));
  if (worst === undefined) return [];
  const told = (what: string, nowMm: number, thenMm: number): readonly string[] =>
    (nowMm - thenMm < TOLD_GAIN_MM ? [] : [`${READ_NEXT}${what}. The give or take of its relief would go from ${lengthWords(nowMm, order)} to about ${lengthWords(thenMm, order)}.`]);
  const halfway = halfwayReadings(survey, worst.line);
  if (halfway !== undefined) return told(`slide a leaf under the same edge at frets ${halfway.frets.join(" and ")}, ${worst.line} line`, halfway.nowMm, halfway.thenMm);
  const found = readNextFor(survey, { about: "relief", line: worst.line });
  return found.status === "read" ? told(toReadWords(found.reading), found.nowMm, found.thenMm) : [];
}

function readNext(survey: Survey, relief: readonly Relief[], unsplit: readonly UnsplitBow[], order: UnitOrder): readonly string[] {
  const [bow] = unsplit;
  if (bow !== undefined) return [`Read next: rock a short edge over fret ${bow.fret}, ${joined(bow.lines)} line${bow.lines.length === 1 ? "" : "s"}: it tells a bow from a high fret.`];
  const told = new Set(relief.flatMap((one) => (one.status === "undetermined" ? [one.need] : [])));
  const missing = survey.undetermined.filter((gap) => !told.has(gap.need)).map((gap) => `To determine ${gap.what} (${gap.line}): ${gap.need}.`);
  const next = [...missing, ...sharper(survey, relief, order)];
  if (next.length > missing.length) return next;
  if (missing.length > 0 || relief.every((one) => one.status === "undetermined")) return missing;
  return [NO_MORE];
}
