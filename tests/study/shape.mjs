/**
 * Whether the intervals of the shape's numbers hold the truth: four reliefs, straightness about three reference lines, joint hump, tongue,
 * zero fret, sharpest bend. The truth is asked by the same definitions of a survey that answers from the invented neck itself.
 * node tests/study/shape.mjs [--necks N] [--seed S] [--family NAME] [--json]
 */
import { parseArgs } from "node:util";
import { smoothLineMm, trueHeightMm } from "../../dist/invented/truth.js";
import { jointHumps, kinks, lineStraightness, tongues, zeroFrets, allReliefs } from "../../dist/index.js";
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
    draws: (combinations) => [0, 1].map(() => Float64Array.from(combinations, value)),
    nextReading: () => ({ status: "little to gain", uNowMm: 0 }),
  };
}

/** All numbers of the shape, each with a key that is the same for the same question. */
function numbersOf(survey) {
  const found = (all, key, measured) => all.flatMap((one) => (one.status === "undetermined" ? [] : [{ key: key(one), line: one.line, measured: measured(one) }]));
  return [
    ...found(allReliefs(survey), (one) => `relief.${one.definition}`, (one) => one.relief),
    ...found(lineStraightness(survey), (one) => `straightness.${one.reference}`, (one) => one.width),
    ...found(jointHumps(survey), () => "jointHump", (one) => one.up),
    ...found(tongues(survey), () => "tongue", (one) => one.fall),
    ...found(zeroFrets(survey), () => "zeroFret", (one) => one.over),
    ...found(kinks(survey), () => "kink", (one) => one.up),
  ];
}

export function judgedShape(seed, family, number) {
  const { truth, sheet } = madeNeck(seed, family, number);
  const survey = adjust(truth.neck, sheet);
  const truths = numbersOf(knowing(truth, survey));
  return numbersOf(survey).map(({ key, line, measured }, at) => {
    const trueMm = truths[at].measured.value;
    if (truths[at].key !== key || truths[at].line !== line) throw new Error(`${key} of the ${line} line met ${truths[at].key} of the ${truths[at].line} line`);
    return { key, errorMm: measured.value - trueMm, covered: measured.low95 <= trueMm && trueMm <= measured.high95, halfMm: (measured.high95 - measured.low95) / 2 };
  });
}

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
  return Object.entries(report).map(([key, { coverage: { share, low, high, hits, of }, biasMm, rmseMm, medianHalfWidthMm }]) =>
    `${family.padEnd(14)} ${key.padEnd(28)} ${(100 * share).toFixed(1)} % (${(100 * low).toFixed(1)} to ${(100 * high).toFixed(1)}), ${hits} of ${of}; bias ${biasMm.toFixed(4)}, rms ${rmseMm.toFixed(4)}, half width ${medianHalfWidthMm.toFixed(4)} mm`).join("\n");
}

if (process.argv[1]?.endsWith("shape.mjs")) {
  const { values } = parseArgs({ options: { necks: { type: "string", default: "40" }, seed: { type: "string", default: "1" }, family: { type: "string" }, json: { type: "boolean", default: false } } });
  for (const family of values.family === undefined ? FAMILIES : [values.family]) {
    const report = studiedShape(family, Number(values.necks), Number(values.seed));
    if (values.json) console.log(JSON.stringify({ family, ...report }));
    else console.log(printedShape(family, report));
  }
}
