import { limitsOf } from "../neck/limits.js";
import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { actionOf, NEARLY_NOT } from "./action.js";
import { whereWords } from "./finding.js";
import type { FretFinding, FretState } from "./finding.js";
import { judgedStance } from "./fretClass.js";
import type { FretClass, JudgedStance } from "./fretClass.js";
import { fretHeights } from "./fretHeights.js";
import type { FretHeight } from "./fretHeights.js";
import { endLines, overNeckLine, unreadFrets } from "./places.js";
import type { FretReportParts } from "./reportParts.js";
import { reportWords } from "./reportWords.js";
import type { ReportWords } from "./reportWords.js";
import { seatingRecords } from "./seating.js";
import type { SeatingRecord } from "./seating.js";
import { isHardlyRead, settlingReading } from "./settling.js";
import { standOuts } from "./standOut.js";
import { looksUnderCrowns } from "./underCrown.js";
import { workOrder } from "./workOrder.js";
import { fretZones, zoneOf } from "./zones.js";
import type { FretZone } from "./zones.js";

/** The fret report: every fret read, how it stands, what to do with it, and in what order. */
export type FretReport = FretReportParts & {
  readonly words: (order?: UnitOrder) => ReportWords;
  /** The whole report as text, one sentence a line. */
  readonly describe: (order?: UnitOrder) => string;
};

const DRAWS = 2000;
const SEED = 41;

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
  const states = statesOf(survey, heights, zones, seating, limitMm);
  const frets = states.map((state): FretFinding => ({ ...state, action: actionOf(state, limitMm), high: state.told.high }));
  const work = workOrder(frets.map(({ fret, action, high }) => ({ fret, action, heightMm: high.value })));
  const parts = { survey, limitMm, frets, zones, work, seating, standOuts: standOuts(heights), unread: unreadFrets(survey, heights) };
  const words = (order: UnitOrder = "mm first"): ReportWords => reportWords(parts, order);
  return { ...parts, words, describe: (order: UnitOrder = "mm first") => words(order).all.join("\n") };
}

function statesOf(survey: Survey, heights: readonly FretHeight[], zones: readonly FretZone[], seating: readonly SeatingRecord[], limitMm: number): readonly FretState[] {
  const looks = looksUnderCrowns(survey.sheet);
  const ends = endLines(survey.neck);
  const byFret = [...new Set(heights.map(({ fret }) => fret))].map((fret) => heights.filter((height) => height.fret === fret));
  const stances = jointStances(survey, byFret, ends, limitMm);
  return byFret.flatMap((lines): FretState[] => {
    const [first] = lines;
    if (first === undefined) return [];
    const { fret } = first;
    const stance = stances.get(fret) ?? surelyIntended(lines);
    const zone = zoneOf(zones, fret);
    const told = toldLine(lines, stance);
    const open = zone === undefined && stance.over > NEARLY_NOT && stance.over < 1 - NEARLY_NOT;
    const settling = open ? settlingReading(survey, told, limitMm) : undefined;
    return [{
      fret, class: stance.class, off: stance.off, lines, told, probabilityOver: stance.over, shares: stance.shares,
      where: whereWords(survey.neck, ends, stance.off, lines.map(({ line }) => line)),
      endOfCurve: told.endOfCurve,
      looks: looks.filter((look) => look.fret === fret), seating: seating.filter((record) => record.fret === fret),
      ...(zone === undefined ? {} : { zone }), ...(settling === undefined ? {} : { settling }), hardlyRead: isHardlyRead(told, limitMm),
    }];
  });
}

/** Frets that may be off on some line are judged by joint draws of their heights on all lines read; for the others there is nothing to judge. */
function jointStances(survey: Survey, byFret: readonly (readonly FretHeight[])[], ends: readonly string[], limitMm: number): ReadonlyMap<number, JudgedStance> {
  const doubtful = byFret.filter((lines) => lines.some(({ probabilityHigh, probabilityLow }) => Math.max(probabilityHigh, probabilityLow) > NEARLY_NOT / lines.length));
  const combinations = doubtful.flat().map((height) => overNeckLine(survey.neck, height));
  const draws = combinations.length === 0 ? [] : survey.draws(combinations, DRAWS, SEED);
  const starts = doubtful.map((_, index) => doubtful.slice(0, index).reduce((sum, lines) => sum + lines.length, 0));
  return new Map(doubtful.flatMap((lines, index): (readonly [number, JudgedStance])[] => {
    const [first, start = 0] = [lines[0], starts[index]];
    const own = draws.map((draw) => draw.subarray(start, start + lines.length));
    return first === undefined ? [] : [[first.fret, judgedStance(own, lines.map(({ line }) => ({ line, isEnd: ends.includes(line) })), limitMm)]];
  }));
}

function surelyIntended(lines: readonly FretHeight[]): JudgedStance {
  const over = Math.max(...lines.map(({ probabilityHigh }) => probabilityHigh));
  const none: Readonly<Record<FretClass, number>> = { "as intended": 1, high: 0, low: 0, "lifted at one end": 0, "crown not following the radius": 0 };
  return { class: "as intended", off: [], shares: none, over };
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
