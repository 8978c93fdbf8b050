/**
 * Whether rod advice is right as often as it says. Two parts:
 * surveys: invented necks of all families, surveyed and adjusted; half strung, half bare with the pull of strings to come predicted by the bow model;
 * decisions: many necks whose stiffness, strings and readings are drawn as the bow model and the survey state them, through the same probabilities.
 * Right means that the relief under strings, with the rod as it is, truly lies on the side that was claimed (over, within or under the target).
 * The decisions are drawn from the model's own priors: they check that what is believed is carried through truly, not that woods are as books say.
 * npm run study -- --only rod, or node tests/study/rod.mjs [--necks N] [--decisions D] [--seed S] [--json]; runs on dist
 */
import { parseArgs } from "node:util";
import { believedDraws, bowModel, readNeck, rodAdvice, rodQuestionOf, normalMm } from "../../dist/index.js";
import { probabilitiesOf } from "../../dist/advice/rod/rodProbabilities.js";
import { drawWork, prepareWork } from "../../dist/bow/sequence/draw.js";
import { inventedStream } from "../../dist/invented/stream.js";
import { departureMm } from "../../dist/invented/truth.js";
import { adjust } from "../../dist/survey/adjust.js";
import { madeNeck } from "./one-neck.mjs";
import { shareOf } from "./statistics.mjs";

const TARGET = [0.1, 0.3];
const FAMILIES = ["smooth", "kinksAndZones", "atTheBench"];
const SURE = 0.95;
const BINS = 10;

/** A neck whose sizes, woods and strings were given, so that its pull is known as well as books allow. */
const NECK = {
  name: "invented", scaleLength: 635, frets: 22, bodyJoint: 16, fingerboardRadius: "12 in", widths: { nut: 43, lastFret: 56 }, thicknesses: { board: 6, total: { 1: 20.5, 12: 22.5 } },
  woods: { board: "rosewood", neck: "maple" }, rod: { works: "both ways" },
  strings: { each: [46, 36, 26, 17, 13, 10].map((thou) => ({ gauge: `${thou} thou`, wound: thou > 20 })), heightAtNut: 0.5, heightAtLastFret: { bass: 2.4, treble: 1.9 } },
};

function pull() {
  const read = readNeck(NECK);
  if (read.status !== "read") throw new Error("the study's neck is not readable");
  const model = bowModel(read.value);
  const prepared = prepareWork(model.setup, { frets: "after glue-up", strings: true });
  const at = prepared.causes.findIndex(({ stage }) => stage === "strings");
  return { question: rodQuestionOf(model, true), reliefMm: (seed) => believedDraws(model.belief, 2, seed).map((unknowns) => drawWork(prepared, unknowns)[at])[0] };
}

const sideOf = (reliefMm) => (reliefMm > TARGET[1] ? "tooMuchRelief" : reliefMm < TARGET[0] ? "tooLittleRelief" : "within");

/** What is claimed, and whether it is so. */
function judged(probabilities, trueMm) {
  const [[side, claim]] = Object.entries(probabilities).sort(([, a], [, b]) => b - a);
  return { claim, right: side === sideOf(trueMm) };
}

/** One surveyed neck: strung, or bare with strings to come. */
function judgedSurvey({ question, reliefMm }, seed, family, number) {
  const { truth, sheet } = madeNeck(seed, family, number);
  const survey = adjust(truth.neck, sheet);
  const bare = number % 2 === 0;
  const advice = rodAdvice(survey, { target: { minMm: TARGET[0], maxMm: TARGET[1] }, ...(bare ? { strings: question.strings, stringsDrawsMm: question.stringsDrawsMm } : {}) });
  if (advice.numbers === undefined || advice.profiles === undefined) return undefined;
  // asked of the invented neck itself, on the lines that were read, not through the advice's own arithmetic
  const { lines, fromMm, toMm, middleMm } = advice.profiles;
  const trueMm = lines.reduce((sum, line) => sum + departureMm(truth, line, middleMm, fromMm, toMm) / lines.length, 0);
  const added = bare ? reliefMm(Math.floor(inventedStream(seed, `rod/${family}`, number).uniform(0, 2 ** 31))) : 0;
  return judged(advice.numbers.probabilities, trueMm + added);
}

/** One neck as the survey and the bow model would state it. */
function judgedDecision({ question, reliefMm }, stream) {
  const u = stream.uniform(0.008, 0.03);
  const bare = stream.uniform(0, 1) < 0.5;
  const trueMm = bare ? stream.normal(-0.05, 0.25) : stream.normal(0.2, 0.25);
  const relief = normalMm(trueMm + stream.normal(0, u), u);
  const added = bare ? reliefMm(Math.floor(stream.uniform(0, 2 ** 31))) : 0;
  return judged(probabilitiesOf(relief, bare ? question : {}, ...TARGET), trueMm + added);
}

/** Claims in bins of equal count, each beside how often they were right. */
function binned(all) {
  const sorted = [...all].sort((a, b) => a.claim - b.claim);
  return Array.from({ length: BINS }, (_, bin) => {
    const inside = sorted.slice(Math.round((bin * sorted.length) / BINS), Math.round(((bin + 1) * sorted.length) / BINS));
    const claim = inside.reduce((sum, one) => sum + one.claim, 0) / inside.length;
    const right = inside.filter((one) => one.right).length / inside.length;
    const se = Math.sqrt((claim * (1 - claim)) / inside.length);
    return { claim, right, se, holds: Math.abs(right - claim) <= Math.max(0.03, 3 * se) };
  });
}

function tally(all) {
  const claim = all.reduce((sum, one) => sum + one.claim, 0) / all.length;
  const right = shareOf(all.map((one) => ({ hits: one.right ? 1 : 0, of: 1 })));
  const se = Math.sqrt(all.reduce((sum, one) => sum + one.claim * (1 - one.claim), 0)) / all.length;
  return { decisions: all.length, claim, right, se, notBelow: right.share >= claim - 2 * se, sureShare: all.filter((one) => one.claim >= SURE).length / all.length, rightWhenSure: shareOf(all.filter((one) => one.claim >= SURE).map((one) => ({ hits: one.right ? 1 : 0, of: 1 }))) };
}

export function studiedRod({ necks, decisions, seed }) {
  const known = pull();
  const surveys = Array.from({ length: necks }, (_, number) => judgedSurvey(known, seed, FAMILIES[number % FAMILIES.length], Math.floor(number / FAMILIES.length))).filter((one) => one !== undefined);
  const stream = inventedStream(seed, "rod/decisions", 0);
  const many = Array.from({ length: decisions }, () => judgedDecision(known, stream));
  return { seed, target: TARGET, surveys: tally(surveys), decisions: { ...tally(many), bins: binned(many) } };
}

export function printedRod({ surveys, decisions }) {
  const percent = (share) => (share === null ? "none" : `${(100 * share).toFixed(1)} %`);
  const words = (name, one) => `rod, ${name}: ${one.decisions} decisions; claimed ${percent(one.claim)}, right ${percent(one.right.share)} (${percent(one.right.low)} to ${percent(one.right.high)}), not below the claim by over 2 standard errors: ${one.notBelow ? "yes" : "NO"}; claims of 95 % or more: ${percent(one.sureShare)}, of them right ${percent(one.rightWhenSure.share)}`;
  return [
    words("surveyed necks", surveys), words("by what is stated", decisions),
    ...decisions.bins.map(({ claim, right, holds }) => `  claimed ${percent(claim)}, right ${percent(right)}${holds ? "" : "  OFF"}`),
  ].join("\n");
}

if (process.argv[1]?.endsWith("rod.mjs")) {
  const { values } = parseArgs({ options: { necks: { type: "string", default: "60" }, decisions: { type: "string", default: "20000" }, seed: { type: "string", default: "1" }, json: { type: "boolean", default: false } } });
  const report = studiedRod({ necks: Number(values.necks), decisions: Number(values.decisions), seed: Number(values.seed) });
  console.log(values.json ? JSON.stringify(report, undefined, 2) : `${printedRod(report)}\nSeed ${report.seed}.`);
}
