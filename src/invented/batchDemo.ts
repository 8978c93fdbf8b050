import { fretTops } from "../neck/frets.js";
import { readNeck } from "../neck/neckFile.js";
import type { Neck } from "../neck/neck.js";
import type { EdgeSetting } from "../readings/reading.js";
import { valueOrThrow } from "../units/problem.js";
import { sightingSetting } from "./across.js";
import { BATCH, type BatchNeck, type BatchSurvey } from "./batchNecks.js";
import { inventedCsv } from "./csv.js";
import { demoJson, type DemoFile } from "./demoFile.js";
import { underCrownSetting } from "./looks.js";
import { inventedOperator, type InventedOperator } from "./operator.js";
import { FULL_PLAN, type ReadingPlan } from "./plan.js";
import { inventedReadings, type InventedReadings } from "./readings.js";
import { inventedStream, type InventedStream } from "./stream.js";
import { trueHighMm, trueReliefMm, type InventedTruth } from "./truth.js";

const SEED = 13;
const HIGH_MM = 0.03;

const PLANS: Readonly<Record<BatchSurvey["plan"], ReadingPlan>> = {
  full: FULL_PLAN,
  "every second": { ...FULL_PLAN, frets: "every second", settingsPerLine: 1 },
  "centre only": { ...FULL_PLAN, lines: ["centre"], frets: "every second", settingsPerLine: 1, rocker: false },
};

/**
 * All files of the invented batch: for each of its six necks the neck file, one CSV with all its surveys, and the truth behind them. Each neck has one planted fault
 * (`BATCH`), told in words and recorded in its truth; the frets' scatter (sd 0.006 mm), the lines' small differences, the edge, the leaves and the hands are drawn.
 * One pair of hands with one edge reads the whole batch.
 */
export function batchFiles(): readonly DemoFile[] {
  const operator = inventedOperator(inventedStream(SEED, "batch/operator", 0));
  return BATCH.flatMap((one, index) => filesOf(one, index, operator));
}

function filesOf(one: BatchNeck, index: number, operator: InventedOperator): DemoFile[] {
  const file = { name: one.name, ...one.file };
  const neck = valueOrThrow(readNeck(file, `${one.name}/neck.json`), "a neck of the batch");
  const stream = inventedStream(SEED, "batch/neck", index);
  const truth = one.withFault(soundTruth(neck, one, stream), stream);
  const hand = inventedStream(SEED, "batch/readings", index);
  const surveys = one.surveys.map((survey, number) => ({ survey, at: survey.at(truth), csv: csvOf(one, survey, number, survey.at(truth), operator, hand) }));
  const [first = "", ...more] = surveys.map(({ csv }) => csv);
  const truths = surveys.map(({ survey, at }) => ({ stage: survey.stage, date: survey.date, ...trueNumbers(at) }));
  return [
    { path: `${one.name}/neck.json`, text: demoJson(file) },
    { path: `${one.name}/readings.csv`, text: [first, ...more.map(withoutHeading)].join("") },
    { path: `${one.name}/truth.json`, text: demoJson({ invented: true, planted: one.planted, ...(one.slip === undefined ? {} : { slip: one.slip }), surveys: truths, truth, operator }) },
  ];
}

/** A neck as it should be: a little forward bow, frets pressed in evenly. */
function soundTruth(neck: Neck, { bowMm, twistMm }: BatchNeck, stream: InventedStream): InventedTruth {
  const lineBends = Object.fromEntries(neck.lines.map((line) => [line.name, { bowMm: stream.normal(0, 0.01), sShapeMm: stream.normal(0, 0.004), waveMm: 0 }]));
  const seating = fretTops(neck).map((fret) => ({ fret, wholeMm: stream.normal(0, 0.006), bassEndMm: 0, trebleEndMm: 0, farOut: "no" as const }));
  return { family: "smooth", neck, bend: { bowMm, sShapeMm: stream.normal(0, 0.02), waveMm: stream.normal(0, 0.005) }, lineBends, twistMm, kinks: [], zones: [], fallAwayMm: 0, seating };
}

function csvOf(one: BatchNeck, survey: BatchSurvey, number: number, truth: InventedTruth, operator: InventedOperator, hand: InventedStream): string {
  const { stage, date, rod, support, fretState, hoursSinceGlue } = survey;
  const readings = inventedReadings(truth, operator, hand, PLANS[survey.plan]);
  const state = { rod, strings: "off", support, humidity: "45", temperature: "20", fretState, ...(hoursSinceGlue === undefined ? {} : { hoursSinceGlue }) };
  return inventedCsv(one.slip?.survey === number ? slipped(readings, one.slip) : readings, { neck: one.name, stage, date, state }, alsoRead(survey, truth, operator, hand));
}

function alsoRead({ also }: BatchSurvey, truth: InventedTruth, operator: InventedOperator, hand: InventedStream): EdgeSetting[] {
  if (also === "under the crown of fret 5") return [underCrownSetting(truth, operator, hand, "bass", [5]), underCrownSetting(truth, operator, hand, "treble", [5])];
  if (also === "nothing") return [];
  const { frets } = truth.neck;
  return [1, 2, 3].map((time) => ({ ...sightingSetting(truth, hand, 1, frets), label: `the bars for the ${["first", "second", "third"][time - 1] ?? ""} time` }));
}

/** The readings with one of them written wrong. */
function slipped(readings: InventedReadings, { line, fret, read, written }: NonNullable<BatchNeck["slip"]>): InventedReadings {
  const at = readings.settings.findIndex((setting) => setting.line === line && setting.gaps.some((gap) => gap.fret === fret && gap.read.written === read));
  if (at < 0) throw new RangeError(`Cannot write ${written} at fret ${fret}, ${line}: expected a gap read as ${read} there (the scenario no longer fits its readings)`);
  const falsified = (setting: InventedReadings["settings"][number]): typeof setting => ({ ...setting, gaps: setting.gaps.map((gap) => (gap.fret === fret ? { ...gap, read: { ...gap.read, written } } : gap)) });
  return { ...readings, settings: readings.settings.map((setting, k) => (k === at ? falsified(setting) : setting)) };
}

function withoutHeading(csv: string): string {
  return csv.slice(csv.indexOf("\n") + 1);
}

/** What a survey should find: the relief of each line from fret 1 to the body joint, and every place at which a fret stands up by 0.03 mm or more. */
function trueNumbers(truth: InventedTruth): object {
  const { neck } = truth;
  const places = neck.lines.flatMap(({ name }) => fretTops(neck).map((fret) => ({ fret, line: name, highMm: trueHighMm(truth, name, fret) })));
  return {
    reliefFret1ToJointMm: Object.fromEntries(neck.lines.map(({ name }) => [name, trueReliefMm(truth, name, 1, neck.bodyJoint ?? neck.frets).reliefMm])),
    high: places.filter(({ highMm }) => highMm >= HIGH_MM), twistMm: truth.twistMm,
  };
}
