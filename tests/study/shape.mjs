/**
 * Whether the intervals of the shape's numbers hold the truth: four reliefs, straightness about three reference lines, joint hump, tongue,
 * zero fret, sharpest bend, twist. The truth is asked by the same definitions of a survey that answers from the invented neck itself.
 * Of every three necks one is read lengthwise alone, which must leave the twist undetermined; one under sighting bars too, at fret 1 and the last, three times; one along both diagonals too.
 * node tests/study/shape.mjs [--necks N] [--seed S] [--family NAME] [--json]
 */
import { parseArgs } from "node:util";
import { smoothLineMm, trueHeightMm } from "../../dist/invented/truth.js";
import { diagonalSettings, sightingSetting } from "../../dist/invented/across.js";
import { inventedStream } from "../../dist/invented/stream.js";
import { jointHumps, kinks, lineStraightness, tongues, twistOfNeck, zeroFrets, allReliefs } from "../../dist/index.js";
import { adjust } from "../../dist/survey/adjust.js";
import { madeNeck } from "./one-neck.mjs";
import { errorsOf, median, shareOf } from "./statistics.mjs";

const FAMILIES = ["smooth", "kinksAndZones", "atTheBench"];

/** The survey as it would be if nothing were in doubt. */
export function knowing(truth, survey) {
  const height = (term) => (term.of === "fretTop" ? trueHeightMm(truth, term.line, term.fret) : smoothLineMm(truth, term.line, term.xMm));
  const value = (terms) => terms.reduce((sum, term) => sum + term.weight * height(term), 0);
  return {
    ...survey,
    linear: (terms) => ({ value: value(terms), u: 0, unit: "mm", low95: value(terms), high95: value(terms) }),
    linearAll: (combinations) => combinations.map((terms) => ({ value: value(terms), u: 0, unit: "mm", low95: value(terms), high95: value(terms) })),
    draws: (combinations) => [0, 1].map(() => Float64Array.from(combinations, value)),
    nextReading: () => ({ status: "little to gain", uNowMm: 0 }),
  };
}

const ACROSS = ["lengthwise", "sighting bars", "both diagonals"];
/** So often the bars are sighted. */
const SIGHTINGS = 3;

/** What is laid from line to line on a neck of this number, beside what is read along the lines. */
function across(seed, family, number, truth, operator) {
  const hand = inventedStream(seed, `${family}/across`, number);
  const [bass, treble, last] = [truth.neck.lines[0].name, truth.neck.lines.at(-1).name, truth.neck.frets];
  if (ACROSS[number % 3] === "sighting bars") return Array.from({ length: SIGHTINGS }, () => sightingSetting(truth, hand, 1, last));
  if (ACROSS[number % 3] === "both diagonals") return [[bass, treble], [treble, bass]].flatMap(([from, to]) => diagonalSettings(truth, operator, hand, { line: from, fret: 1 }, { line: to, fret: last }));
  return [];
}

/** All numbers of the shape, each with a key that is the same for the same question. */
function numbersOf(survey) {
  const found = (all, key, measured) => all.flatMap((one) => (one.status === "undetermined" ? [] : [{ key: key(one), line: one.line, measured: measured(one) }]));
  return [
    ...found(allReliefs(survey), (one) => `relief.${one.definition}`, (one) => one.relief),
    ...["fretTops", "neckLine"].flatMap((of) => found(lineStraightness(survey, of), (one) => `straightness.${of}.${one.reference}`, (one) => one.width)),
    ...found(jointHumps(survey), () => "jointHump", (one) => one.up),
    ...found(tongues(survey), () => "tongue", (one) => one.fall),
    ...found(zeroFrets(survey), () => "zeroFret", (one) => one.over),
    ...found(kinks(survey), () => "kink", (one) => one.up),
    ...found([twistOfNeck(survey)], () => "twist", (one) => one.twist),
  ];
}

export function judgedShape(seed, family, number) {
  const { truth, operator, sheet } = madeNeck(seed, family, number);
  const survey = adjust(truth.neck, { ...sheet, settings: [...sheet.settings, ...across(seed, family, number, truth, operator)] });
  const truths = numbersOf(knowing(truth, survey));
  const way = ACROSS[number % 3];
  const isTwistOpen = twistOfNeck(survey).status === "undetermined";
  const openly = way === "lengthwise" ? [{ key: OPEN, errorMm: 0, covered: isTwistOpen, halfMm: 0 }] : [];
  return [...openly, ...numbersOf(survey).map(({ key, line, measured }, at) => {
    const trueMm = truths[at].measured.value;
    if (truths[at].key !== key || truths[at].line !== line) throw new Error(`${key} of the ${line} line met ${truths[at].key} of the ${truths[at].line} line`);
    return { key: key === "twist" ? `twist.${way}` : key, errorMm: measured.value - trueMm, covered: measured.low95 <= trueMm && trueMm <= measured.high95, halfMm: (measured.high95 - measured.low95) / 2 };
  })];
}

/** Not an interval: of necks read lengthwise alone, those whose twist is said to be undetermined. */
const OPEN = "twist undetermined, lengthwise";

export function studiedShape(family, necks, seed) {
  return talliedShape(Array.from({ length: necks }, (_, number) => judgedShape(seed, family, number)));
}

export function talliedShape(judged) {
  const keys = [...new Set(judged.flat().map(({ key }) => key))];
  return Object.fromEntries(keys.map((key) => {
    const ofKey = judged.map((neck) => neck.filter((one) => one.key === key));
    const coverage = shareOf(ofKey.map((neck) => ({ hits: neck.filter((one) => one.covered).length, of: neck.length })));
    return [key, { coverage, ...errorsOf(ofKey.flat().map((one) => one.errorMm)), medianHalfWidthMm: median(ofKey.flat().map((one) => one.halfMm)) }];
  }));
}

export function printedShape(family, report) {
  return Object.entries(report).map(([key, { coverage: { share, low, high, hits, of }, biasMm, rmseMm, medianHalfWidthMm }]) => {
    const counted = `${family.padEnd(14)} ${key.padEnd(32)} ${(100 * share).toFixed(1)} % (${(100 * low).toFixed(1)} to ${(100 * high).toFixed(1)}), ${hits} of ${of}`;
    if (key === OPEN) return `${counted}; all: ${hits === of ? "met" : "NOT MET"}`;
    return `${counted}; 93 to 97 %: ${claimed(share, low, high)}; bias ${biasMm.toFixed(4)}, rms ${rmseMm.toFixed(4)}, half width ${medianHalfWidthMm.toFixed(4)} mm`;
  }).join("\n");
}

function claimed(share, low, high) {
  if (share >= 0.93 && share <= 0.97) return "met";
  return high < 0.93 ? "NOT MET, too few" : low > 0.97 ? "NOT MET, too many" : "within chance";
}

if (process.argv[1]?.endsWith("shape.mjs")) {
  const { values } = parseArgs({ options: { necks: { type: "string", default: "40" }, seed: { type: "string", default: "1" }, family: { type: "string" }, json: { type: "boolean", default: false } } });
  for (const family of values.family === undefined ? FAMILIES : [values.family]) {
    const report = studiedShape(family, Number(values.necks), Number(values.seed));
    if (values.json) console.log(JSON.stringify({ family, ...report }));
    else console.log(printedShape(family, report));
  }
}
