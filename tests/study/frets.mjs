/**
 * What the fret report advises on invented necks, beside the truth: node tests/study/frets.mjs [--necks N] [--seed S] [--family NAME] [--json]    (N necks a family; runs on dist)
 * A fret's true height is the largest over the lines it was read on. Clearly high from 0.05 mm, clearly as intended up to 0.015 mm on every line; what lies between is the band around the limit
 * of 0.03 mm. A wrong action is a clearly high fret that is left, or work on one that is clearly as intended; what the report calls hardly read, or wants read once more, is neither and is counted by itself.
 * Where it wants a rocker's reading, that reading is taken and the survey adjusted anew: settled is a report that then neither asks again nor advises wrongly. Where it
 * wants a leaf under the crown, that look is taken; seat is right where there is air under the crown, level where there is less than the thinnest leaf finds.
 */
import { parseArgs } from "node:util";
import { withBuild, underCrownGapMm } from "../../dist/invented/build.js";
import { underCrownSetting } from "../../dist/invented/looks.js";
import { rockAt } from "../../dist/invented/rocker.js";
import { inventedSheet } from "../../dist/invented/sheet.js";
import { inventedStream } from "../../dist/invented/stream.js";
import { trueHighMm } from "../../dist/invented/truth.js";
import { fretReport } from "../../dist/frets/report.js";
import { adjust } from "../../dist/survey/adjust.js";
import { madeNeck } from "./one-neck.mjs";
import { shareOf, sum } from "./statistics.mjs";

const HIGH_MM = 0.05;
const INTENDED_MM = 0.015;
const LIMIT_MM = 0.03;
/** Readings that were asked for are taken at so many frets of a neck: each costs an adjustment. */
const MOST_TAKEN = 2;

/** One neck: every fret's advice beside its true height, and the readings asked for, taken. */
export function advisedNeck(seed, family, number) {
  const made = madeNeck(seed, family, number);
  const stream = inventedStream(seed, `${family}/frets`, number);
  const truth = withBuild(made.truth, stream);
  const survey = adjust(truth.neck, made.sheet);
  const report = fretReport(survey);
  const frets = report.frets.map((finding) => advised(truth, finding));
  const asked = report.frets.filter(({ action }) => action.do === "read" && action.reading.tool === "rocker").slice(0, MOST_TAKEN);
  return { frets, settled: asked.map((finding) => settles(made, truth, stream, finding)), looked: afterLooks(made, truth, stream, report), otherReadings: report.frets.filter(({ action }) => action.do === "read" && action.reading.tool !== "rocker").length };
}

function advised(truth, { fret, lines, action, class: stands, zone }) {
  const heights = lines.map(({ line }) => trueHighMm(truth, line, fret));
  const inZone = truth.zones.some((one) => fret >= one.fromFret - 1 && fret <= one.toFret + 1);
  return { trueMm: Math.max(...heights), clearlyIntended: heights.every((mm) => Math.abs(mm) <= INTENDED_MM), lines: lines.length, inZone, does: doing(action), stands, farOut: truth.seating.find((seat) => seat.fret === fret).farOut, zoned: zone !== undefined };
}

/** `work`: it is looked under, tapped, levelled or refitted. */
function doing(action) {
  if (action.do === "leave") return action.why === "hardly read" ? "hardly read" : "leave";
  return action.do === "read" ? "read" : action.do === "look into the zone" ? "zone" : "work";
}

function settles(made, truth, stream, { fret, action }) {
  const finding = { line: action.reading.line, ...rockAt(truth, action.reading.line, action.reading.at.fret, made.operator, stream, made.plan) };
  const [rocker] = inventedSheet(truth.neck, made.operator, { settings: [], rockers: [finding] }).rockers;
  const again = fretReport(adjust(truth.neck, { ...made.sheet, rockers: [...made.sheet.rockers, rocker] })).frets.find((one) => one.fret === fret);
  if (again === undefined) return "lost";
  const judged = advised(truth, again);
  return judged.does === "read" || judged.does === "hardly read" ? "asks again" : isWrong(judged) ? "wrong" : "settled";
}

function afterLooks(made, truth, stream, report) {
  const asked = report.frets.filter(({ action }) => action.do === "look under the crown");
  const settings = asked.flatMap(({ fret, action }) => action.lines.map((line) => underCrownSetting(truth, made.operator, stream, line, [fret])));
  const { survey } = report;
  const again = asked.length === 0 ? [] : fretReport({ ...survey, sheet: { ...survey.sheet, settings: [...survey.sheet.settings, ...settings] } }).frets;
  return asked.map(({ fret, action: { lines } }) => {
    const then = again.find((one) => one.fret === fret).action;
    const airMm = Math.max(...lines.map((line) => underCrownGapMm(truth, line, fret)));
    const seen = airMm > made.operator.leaves[0].nominalMm;
    return { does: then.do, right: then.do === "seat" ? airMm > 0 : then.do === "level" && !seen };
  });
}

function isWrong({ trueMm, clearlyIntended, does }) {
  return (trueMm >= HIGH_MM && does === "leave") || (clearlyIntended && does === "work");
}

/** Shares over necks, with limits that allow for what hangs together within one. */
export function talliedAdvice(necks) {
  const share = (among, hit) => shareOf(necks.map(({ frets }) => ({ hits: frets.filter((one) => among(one) && hit(one)).length, of: frets.filter(among).length })));
  const single = (one) => !one.inZone;
  const high = (one) => single(one) && one.trueMm >= HIGH_MM;
  const intended = (one) => single(one) && one.clearlyIntended;
  const band = (low, top) => (one) => single(one) && !one.clearlyIntended && one.trueMm >= low && one.trueMm < top;
  const doings = (among) => Object.fromEntries(["work", "read", "hardly read", "leave", "zone"].map((what) => [what, share(among, (one) => one.does === what)]));
  const counted = (list, hit) => shareOf(necks.map((neck) => ({ hits: list(neck).filter(hit).length, of: list(neck).length })));
  return {
    wrongAction: share((one) => high(one) || intended(one), isWrong),
    wrongOnClearlyHigh: share(high, isWrong), wrongOnClearlyAsIntended: share(intended, isWrong),
    clearlyHigh: doings(high), clearlyAsIntended: doings(intended),
    bandUnderLimit: doings(band(INTENDED_MM, LIMIT_MM)), bandOverLimit: doings(band(LIMIT_MM, HIGH_MM)),
    classRight: { wholeHigh: share((one) => high(one) && one.farOut === "high" && one.does === "work" && one.lines > 1, (one) => one.stands === "high"), oneEnd: share((one) => high(one) && (one.farOut === "high at an end" || one.farOut === "lifted end") && one.does === "work" && one.lines > 1, (one) => one.stands === "lifted at one end") },
    inOrBesideZones: doings((one) => one.inZone),
    rockerAsked: { settled: counted((neck) => neck.settled, (one) => one === "settled"), wrong: counted((neck) => neck.settled, (one) => one === "wrong") },
    afterTheLook: { right: counted((neck) => neck.looked, ({ right }) => right), seat: counted((neck) => neck.looked, ({ does }) => does === "seat") },
    otherReadingsAsked: sum(necks.map(({ otherReadings }) => otherReadings)),
  };
}

function printed(label, value) {
  if (value !== null && typeof value === "object" && "share" in value) return [`  ${label.padEnd(34)} ${value.share === null ? "none" : `${(100 * value.share).toFixed(2)} % (${(100 * value.low).toFixed(2)} to ${(100 * value.high).toFixed(2)}), ${value.hits} of ${value.of}`}`];
  if (value !== null && typeof value === "object") return Object.entries(value).flatMap(([key, inner]) => printed(label === "" ? key : `${label}.${key}`, inner));
  return [`  ${label.padEnd(34)} ${value}`];
}

/** The advice on `necks` necks of each family. */
export function studiedFrets({ necks, seed, families = ["smooth", "kinksAndZones", "atTheBench"] }) {
  return Object.fromEntries(families.map((family) => [family, talliedAdvice(Array.from({ length: necks }, (_, number) => advisedNeck(seed, family, number)))]));
}

export function printedFrets(report) {
  return Object.entries(report).map(([family, tally]) => [`What the fret report advises, ${family}`, ...printed("", tally)].join("\n")).join("\n\n");
}

if (process.argv[1]?.endsWith("frets.mjs")) {
  const { values } = parseArgs({ options: { necks: { type: "string", default: "40" }, seed: { type: "string", default: "1" }, family: { type: "string" }, json: { type: "boolean", default: false } } });
  const report = studiedFrets({ necks: Number(values.necks), seed: Number(values.seed), ...(values.family === undefined ? {} : { families: [values.family] }) });
  console.log(values.json ? JSON.stringify(report, undefined, 2) : `${printedFrets(report)}\n${values.necks} necks a family, seed ${values.seed}.`);
}
