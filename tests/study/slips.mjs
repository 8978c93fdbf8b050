/** One slip planted in a sound survey, and what the tool says of it. */
import { readGap } from "../../dist/invented/leaf.js";
import { inventedStream } from "../../dist/invented/stream.js";
import { fretDistanceMm } from "../../dist/neck/frets.js";
import { adjusted, LIMIT_MM, madeNeck } from "./one-neck.mjs";

/** Slips smaller than this are not planted: they are what a leaf more or less says. */
const LEAST_MM = 0.1;
const MOST_MM = 0.5;
const KINDS = ["gap", "row", "leaf"];

/**
 * Surveys a neck soundly, then with one gap falsified, and adjusts both.
 * `gap`: the gap is 0.10 to 0.50 mm wider, or narrower where it can be; `row`: it holds what was read two or three rows on; `leaf`: another leaf of the set, taken at random.
 * What is falsified differs from the true gap by 0.10 to 0.50 mm in all three; `undefined` where no such slip fits the survey.
 */
export function judgedSlip(seed, family, number) {
  const made = madeNeck(seed, family, number);
  const stream = inventedStream(seed, `${family}/slip`, number);
  const planted = plantedSlip(made, stream);
  if (planted === undefined) return undefined;
  const sound = adjusted(made.truth.neck, made.sheet);
  const survey = adjusted(made.truth.neck, planted.sheet);
  if (sound === undefined || survey === undefined) return undefined;
  const isIt = ({ line, at, written }) => line === planted.line && at === planted.at && written === planted.before;
  const isPlanted = ({ row, column }) => row === planted.origin.row && column === planted.origin.column;
  const named = survey.blunders.filter(isPlanted);
  return {
    number, kind: planted.kind, sizeMm: planted.sizeMm,
    controlled: !sound.uncontrolled.some(isIt),
    named: named.length > 0,
    namedAsRival: survey.blunders.some(({ rivals }) => rivals.some(isPlanted)),
    soundRivals: survey.blunders.reduce((count, { rivals }) => count + rivals.filter((reading) => !isPlanted(reading)).length, 0),
    othersNamed: survey.blunders.length - named.length,
    namedWhenSound: sound.blunders.length,
    ...highInstead(made.truth, survey, planted),
  };
}

/** A gap too narrow at a fret that nothing else was set on looks just as a high fret does; then that is what must be told. */
function highInstead({ neck }, survey, { sizeMm, line, at, sheet }) {
  const fret = Number(at);
  const again = sheet.settings.flatMap(({ readings }) => readings).filter((reading) => reading.line === line && reading.place.fret === fret).length > 1;
  const rocked = sheet.rockers.some((rocker) => rocker.line === line && rocker.frets[1] === fret);
  if (sizeMm > 0 || again || rocked) return { likeAHighFret: false, toldHigh: false };
  const high = survey.linear([{ of: "fretTop", line, fret, weight: 1 }, { of: "neckLine", line, xMm: fretDistanceMm(neck.scaleLengthMm, fret), weight: -1 }]);
  return { likeAHighFret: true, toldHigh: high.value > LIMIT_MM };
}

/** The sheet with one gap falsified, and which; undefined where none fits. */
export function plantedSlip({ sheet, readings, operator }, stream) {
  const kind = stream.pick(KINDS);
  const spots = readings.settings.flatMap((setting, s) => setting.gaps.map((gap, g) => ({ setting, s, gap, g })));
  const able = spots.flatMap((spot) => {
    const falsified = falsifiedGap(kind, spot, operator, stream);
    return falsified === undefined ? [] : [{ ...spot, falsified }];
  });
  if (able.length === 0) return undefined;
  const { s, g, gap, falsified } = able[stream.whole(0, able.length - 1)];
  const settings = sheet.settings.map((setting, k) => (k === s ? { ...setting, readings: setting.readings.map((reading, j) => (j === g ? { ...reading, gap: falsified.gap, written: falsified.written } : reading)) } : setting));
  const before = sheet.settings[s].readings[g];
  return { kind, sheet: { ...sheet, settings }, line: before.line, at: before.place.label, before: before.written, origin: before.origin, sizeMm: falsified.atMm - gap.trueGapMm };
}

/** What stands there instead: its gap as read, and where its middle lies. */
function falsifiedGap(kind, { setting, gap, g }, operator, stream) {
  if (setting.pressedAtFret === gap.fret) return undefined;
  const other = kind === "gap" ? shifted(gap, operator, stream) : kind === "row" ? rowBeside(setting, g, stream) : anotherLeaf(operator, stream);
  if (other === undefined || other.gap.kind !== "interval" || !(other.gap.highMm < Infinity)) return undefined;
  const atMm = (other.gap.lowMm + other.gap.highMm) / 2;
  const size = Math.abs(atMm - gap.trueGapMm);
  return size >= LEAST_MM && size <= MOST_MM ? { ...other, atMm } : undefined;
}

function shifted(gap, operator, stream) {
  const byMm = stream.uniform(LEAST_MM, MOST_MM);
  const narrower = stream.chance(0.5) && gap.trueGapMm - byMm > 0;
  return readGap(gap.trueGapMm + (narrower ? -byMm : byMm), operator, stream);
}

function rowBeside(setting, g, stream) {
  return setting.gaps[g + stream.pick([-3, -2, 2, 3])]?.read;
}

function anotherLeaf(operator, stream) {
  const leaf = operator.leaves[stream.whole(0, operator.leaves.length - 2)];
  return readGap(leaf.nominalMm + 0.001, { ...operator, feelMm: 0, leaves: operator.leaves.map((one) => ({ ...one, actualMm: one.nominalMm })) }, stream);
}
