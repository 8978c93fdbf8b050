import { limitsOf } from "../neck/limits.js";
import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { actionOf, isOver, NEARLY_NOT } from "./action.js";
import { contradictedAt, humpedLines, isAtJoint, rocksWithoutLeaf } from "./doubts.js";
import { whereWords } from "./finding.js";
import type { FretFinding, FretState } from "./finding.js";
import { judgedStance } from "./fretClass.js";
import type { JudgedStance } from "./fretClass.js";
import { fretDraws, fretHeights } from "./fretHeights.js";
import type { FretHeight } from "./fretHeights.js";
import { endLines, isRead, isRockable, unreadFrets } from "./places.js";
import type { FretReportParts } from "./reportParts.js";
import { reportWords } from "./reportWords.js";
import type { ReportWords } from "./reportWords.js";
import { seatingRecords } from "./seating.js";
import type { SeatingRecord } from "./seating.js";
import { isHardlyRead, settlingReading } from "./settling.js";
import { standOuts } from "./standOut.js";
import { looksUnderCrowns } from "./underCrown.js";
import { linesOfThree, unsplitBows } from "./unsplitBow.js";
import { workOrder } from "./workOrder.js";
import { besideZone, fretZones, zoneOf } from "./zones.js";
import type { FretZone } from "./zones.js";

/** The fret report: every fret read, how it stands, what to do with it, and in what order. */
export type FretReport = FretReportParts & {
  readonly words: (order?: UnitOrder) => ReportWords;
  /** The whole report as text, one sentence a line. */
  readonly describe: (order?: UnitOrder) => string;
};

const known = new WeakMap<Survey, FretReport>();

/**
 * Which frets are high, low or lifted at an end, how sure that is, and what to do with each.
 * Heights are over the smooth neck line of each line read. A fret is judged as a whole by joint draws of its heights; one of a zone that stands up together
 * is judged with its zone.
 * @param survey what `adjust` gave; rod and strings in the state it was read in
 */
export function fretReport(survey: Survey): FretReport {
  const report = known.get(survey) ?? madeReport(survey);
  known.set(survey, report);
  return report;
}

function madeReport(survey: Survey): FretReport {
  const limitMm = limitsOf(survey.neck).highMm;
  const heights = fretHeights(survey);
  const zones = fretZones(survey);
  const seating = seatingRecords(survey.sheet);
  const states = statesOf(survey, heights, zones, seating, limitMm).filter((state) => !state.isUnread || isOver(state));
  const frets = states.map((state): FretFinding => ({ ...state, action: actionOf(state, limitMm), high: state.told.high }));
  const work = workOrder(frets.map(({ fret, action, high }) => ({ fret, action, heightMm: high.value })), (fret) => isRockable(survey.neck, fret));
  const parts = { survey, limitMm, frets, zones, work, seating, unsplit: unsplitBows(survey), standOuts: standOuts(heights), unread: unreadFrets(survey, heights.filter(({ fret }) => isRead(survey, fret))) };
  const words = (order: UnitOrder = "mm first"): ReportWords => reportWords(parts, order);
  return { ...parts, words, describe: (order: UnitOrder = "mm first") => words(order).all.join("\n") };
}

function statesOf(survey: Survey, heights: readonly FretHeight[], zones: readonly FretZone[], seating: readonly SeatingRecord[], limitMm: number): readonly FretState[] {
  const looks = looksUnderCrowns(survey.sheet);
  const [humped, three, unsplit] = [humpedLines(survey), linesOfThree(survey), unsplitBows(survey)];
  const ends = endLines(survey.neck);
  const byFret = [...new Set(heights.map(({ fret }) => fret))].map((fret) => heights.filter((height) => height.fret === fret));
  const stances = jointStances(survey, byFret, ends, limitMm);
  return byFret.flatMap((lines): FretState[] => {
    const [first] = lines;
    const stance = first === undefined ? undefined : stances.get(first.fret);
    if (first === undefined || stance === undefined) return [];
    const { fret } = first;
    const [zone, beside] = [zoneOf(zones, fret), besideZone(zones, fret)];
    const told = toldLine(lines, stance);
    const open = zone === undefined && stance.over > NEARLY_NOT && stance.over < 1 - NEARLY_NOT;
    const settling = open ? settlingReading(survey, told, limitMm) : undefined;
    return [{
      fret, class: stance.class, off: stance.off, lines, told, probabilityOver: stance.over, shares: stance.shares,
      where: whereWords(survey.neck, ends, stance.off, lines.map(({ line }) => line)),
      endOfCurve: told.endOfCurve,
      looks: looks.filter((look) => look.fret === fret), seating: seating.filter((record) => record.fret === fret),
      ...(zone === undefined ? {} : { zone }), ...(beside === undefined ? {} : { beside }), ...(settling === undefined ? {} : { settling }), hardlyRead: isHardlyRead(told, limitMm),
      contradicted: contradictedAt(survey, fret), rocksUnread: rocksWithoutLeaf(survey, fret).map(({ line }) => line),
      isUnread: !isRead(survey, first.fret), atHump: isAtJoint(survey.neck, fret) && humped.includes(told.line), unsplit: unsplit.some((bow) => bow.fret === fret) && lines.every(({ line }) => three.includes(line)),
    }];
  });
}

/** Every fret as a whole, by joint draws of its heights on all lines read. */
function jointStances(survey: Survey, byFret: readonly (readonly FretHeight[])[], ends: readonly string[], limitMm: number): ReadonlyMap<number, JudgedStance> {
  const { places, draws } = fretDraws(survey);
  const starts = byFret.map(([first]) => places.findIndex(({ fret }) => fret === first?.fret));
  return new Map(byFret.flatMap((lines, index): (readonly [number, JudgedStance])[] => {
    const [first, start = 0] = [lines[0], starts[index]];
    const own = draws.map((draw) => draw.subarray(start, start + lines.length));
    return first === undefined ? [] : [[first.fret, judgedStance(own, lines.map(({ line }) => ({ line, isEnd: ends.includes(line) })), limitMm)]];
  }));
}

/** The line that is told: where a low fret is lowest, else where it stands highest. */
function toldLine(lines: readonly FretHeight[], stance: JudgedStance): FretHeight {
  const off = lines.filter(({ line }) => stance.off.includes(line));
  const among = off.length > 0 ? off : lines;
  const sign = stance.class === "low" ? -1 : 1;
  const [first] = among;
  if (first === undefined) throw new RangeError("Cannot judge a fret: expected a line on which it was read");
  return among.reduce((best, one) => (sign * one.high.value > sign * best.high.value ? one : best), first);
}
