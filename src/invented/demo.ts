import { fretTops } from "../neck/frets.js";
import { readNeck } from "../neck/neckFile.js";
import type { Neck } from "../neck/neck.js";
import { valueOrThrow } from "../units/problem.js";
import { inventedCsv, type CsvHead } from "./csv.js";
import { demoJson as json, type DemoFile } from "./demoFile.js";
import { inventedOperator, type InventedOperator } from "./operator.js";
import { FULL_PLAN, type ReadingPlan } from "./plan.js";
import { inventedReadings } from "./readings.js";
import { inventedStream } from "./stream.js";
import { trueHighMm, trueOverChordMm, trueReliefMm, type InventedSeating, type InventedTruth } from "./truth.js";

const NAME = "QUILLFEN-07";
const SEED = 7;

/** As the builder would write it. */
const NECK_FILE = {
  name: NAME,
  scaleLength: "25 in",
  frets: 22,
  zeroFret: false,
  bodyJoint: 16,
  fingerboardRadius: "12 in",
  widths: { nut: "43 mm", lastFret: "56 mm" },
};

type DemoSurvey = { readonly file: string; readonly bowMm: number; readonly plan: ReadingPlan; readonly head: CsvHead };

const SURVEYS: readonly DemoSurvey[] = [
  {
    file: "01-fretted-and-glued.csv",
    bowMm: 0.34,
    plan: { ...FULL_PLAN, settingsPerLine: 1 },
    head: {
      neck: NAME, stage: "fretted and glued", date: "2026-03-02",
      state: { rod: "neutral", strings: "off", support: "on its back on blocks", hoursSinceGlue: "20", humidity: "46", temperature: "20", fretState: "pressed" },
    },
  },
  {
    file: "02-a-week-later.csv",
    bowMm: 0.4,
    plan: { ...FULL_PLAN, frets: "every second" },
    head: {
      neck: NAME, stage: "a week later", date: "2026-03-09",
      state: { rod: "neutral", strings: "off", support: "on its back on blocks", hoursSinceGlue: "188", humidity: "44", temperature: "20", fretState: "pressed" },
    },
  },
  {
    file: "03-two-weeks-later.csv",
    bowMm: 0.4,
    plan: { ...FULL_PLAN, frets: "every second" },
    head: {
      neck: NAME, stage: "two weeks later", date: "2026-03-16",
      state: { rod: "neutral", strings: "off", support: "on its back on blocks", hoursSinceGlue: "356", humidity: "45", temperature: "20", fretState: "pressed" },
    },
  },
];

/**
 * All files of the invented demonstration neck: the neck file, one CSV a survey, and the truth behind them.
 * The scenario is made up: a neck of 22 frets, glued up with forward bow of about 0.2 mm from fret 1 to the body joint, a little more
 * a week later and no more after two; fret 7 stands up by 0.06 mm at its treble end, fret 14 by 0.07 mm all across. The other frets, the lines' small differences, the edge, the leaves and the hands are drawn.
 */
export function demoFiles(): readonly DemoFile[] {
  const operator = inventedOperator(inventedStream(SEED, "demo/operator", 0));
  const neck = valueOrThrow(readNeck(NECK_FILE, `${NAME}/neck.json`), "the demonstration neck");
  const surveys = SURVEYS.map((survey, index) => ({ ...survey, index, truth: demoTruth(neck, survey.bowMm) }));
  return [
    { path: `${NAME}/neck.json`, text: json(NECK_FILE) },
    ...surveys.map((survey) => ({ path: `${NAME}/${survey.file}`, text: csvOf(survey, operator) })),
    { path: `${NAME}/truth.json`, text: json({ invented: true, operator, surveys: surveys.map(({ file, truth }) => ({ file, ...trueNumbers(truth) })) }) },
  ];
}

function csvOf(survey: DemoSurvey & { readonly index: number; readonly truth: InventedTruth }, operator: InventedOperator): string {
  return inventedCsv(inventedReadings(survey.truth, operator, inventedStream(SEED, "demo/readings", survey.index), survey.plan), survey.head);
}

function demoTruth(neck: Neck, bowMm: number): InventedTruth {
  const stream = inventedStream(SEED, "demo/neck", 0);
  const lineBends = Object.fromEntries(neck.lines.map((line) => [line.name, { bowMm: stream.normal(0, 0.01), sShapeMm: stream.normal(0, 0.004), waveMm: 0 }]));
  const seating = fretTops(neck).map((fret) => demoSeating(fret, stream.normal(0, 0.006)));
  return { family: "smooth", neck, bend: { bowMm, sShapeMm: 0.02, waveMm: 0.005 }, lineBends, twistMm: 0.1, kinks: [], zones: [], fallAwayMm: 0, seating };
}

function demoSeating(fret: number, scatterMm: number): InventedSeating {
  const level: InventedSeating = { fret, wholeMm: scatterMm, bassEndMm: 0, trebleEndMm: 0, farOut: "no" };
  if (fret === 7) return { ...level, wholeMm: 0, trebleEndMm: 0.06, farOut: "high at an end" };
  return fret === 14 ? { ...level, wholeMm: 0.07, farOut: "high" } : level;
}

/** What the survey should find, and all that it follows from. */
function trueNumbers(truth: InventedTruth): object {
  const lines = truth.neck.lines.map(({ name }) => ({
    line: name,
    neckLineReliefFret1ToJoint: trueReliefMm(truth, name, 1, truth.neck.bodyJoint ?? truth.neck.frets),
    frets: fretTops(truth.neck).map((fret) => ({ fret, overChord1To22Mm: trueOverChordMm(truth, name, fret, 1, 22), highMm: trueHighMm(truth, name, fret) })),
  }));
  return { lines, truth };
}
