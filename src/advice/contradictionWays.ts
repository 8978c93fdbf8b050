import { fretReport } from "../frets/report.js";
import type { GapReading, RockerReading, SurveySheet } from "../readings/reading.js";
import { twistOfNeck } from "../shape/twist.js";
import { adjust } from "../survey/adjust.js";
import type { RivalReading, Survey } from "../survey/survey.js";
import { bowWays } from "./bowWays.js";
import { openContradictions, saysBothWays, type HangsOnIt } from "./contradiction.js";

/** Each way is an adjustment of its own; of more than so many it is not asked what they come to, and it counts as hanging on them. */
const MOST_WAYS = 8;

type Ways = { readonly others: readonly Survey[]; readonly hangs: HangsOnIt };

const known = new WeakMap<Survey, Ways>();

/** What hangs on which of the contradicting readings is the slip: every way of leaving one of them out is adjusted and compared. */
export function hangsOnSlip(survey: Survey): HangsOnIt {
  return waysOf(survey).hangs;
}

/** The survey by every other way of leaving one of the contradicting readings out, where all of them bow alike; undefined where they do not, or where that is not known. */
export function waysWithOneBow(survey: Survey): readonly Survey[] | undefined {
  const { others, hangs } = waysOf(survey);
  return hangs === "bow" ? undefined : others;
}

function waysOf(survey: Survey): Ways {
  const ways = known.get(survey) ?? foundWays(survey);
  known.set(survey, ways);
  return ways;
}

function foundWays(survey: Survey): Ways {
  const leftOut = combinations(openContradictions(survey).map((blunder) => [blunder, ...blunder.rivals])).slice(1);
  if (leftOut.length === 0) return { others: [], hangs: "nothing" };
  if (leftOut.length >= MOST_WAYS || saysBothWays(survey)) return { others: [], hangs: "bow" };
  const sheets = leftOut.map((readings) => sheetWithout(survey.sheet, readings));
  const others = sheets.flatMap((sheet) => (sheet === undefined ? [] : [adjust(survey.neck, sheet)])).filter((other) => openContradictions(other).length === 0);
  if (others.length < leftOut.length) return { others: [], hangs: "bow" };
  const areAlike = (of: (one: Survey) => unknown): boolean => others.every((other) => JSON.stringify(of(other)) === JSON.stringify(of(survey)));
  return { others, hangs: !areAlike(bowOf) ? "bow" : areAlike(fretsOf) ? "nothing" : "frets" };
}

/** One of each; the first of all of them is the survey's own choice. */
function combinations<T>(choices: readonly (readonly T[])[]): readonly (readonly T[])[] {
  return choices.reduce<readonly (readonly T[])[]>((done, each) => done.flatMap((before) => each.map((one) => [...before, one])), [[]]);
}

/** The sheet without readings that are named by where they were typed; undefined where one of them is not on it. */
function sheetWithout(sheet: SurveySheet, readings: readonly RivalReading[]): SurveySheet | undefined {
  const isNamed = (reading: GapReading | RockerReading): boolean => readings.some((named) => isSame(named, reading));
  const settings = sheet.settings.map((setting) => ({ ...setting, readings: setting.readings.filter((reading) => !isNamed(reading)) }));
  const rockers = sheet.rockers.filter((reading) => !isNamed(reading));
  const count = (all: Pick<SurveySheet, "settings" | "rockers">): number => all.rockers.length + all.settings.reduce((sum, setting) => sum + setting.readings.length, 0);
  return count(sheet) - count({ settings, rockers }) === readings.length ? { ...sheet, settings, rockers } : undefined;
}

/** A pass of the rocker is typed in one place for many frets. */
function isSame({ at, line, source, row, column }: RivalReading, reading: GapReading | RockerReading): boolean {
  const { origin } = reading;
  const label = "frets" in reading ? String(reading.frets[1]) : reading.place.label;
  return origin.source === source && origin.row === row && origin.column === column && label === at && (reading.line === "" || reading.line === line);
}

function bowOf(survey: Survey): unknown {
  const twist = twistOfNeck(survey);
  return [bowWays(survey), twist.status === "determined" ? twist.within : ""];
}

/** Which frets are off, on which lines, and which stand up together. */
function fretsOf(survey: Survey): unknown {
  const { frets, zones } = fretReport(survey);
  return [frets.flatMap(({ fret, class: stands, off }) => (stands === "as intended" ? [] : [[fret, stands, off]])), zones.map(({ fromFret, toFret, reason }) => [fromFret, toFret, reason])];
}
