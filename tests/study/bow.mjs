/**
 * Whether calibration of the bow model recovers what was put in: batches of three invented necks whose unknowns are drawn from the priors, shared
 * within a batch as `COMMON_SHARES` says, and whose bows are the model's own, off by its stated share. Every reading has its error; one edge serves a whole batch.
 * Asked: do posterior intervals hold the truth, and how much better is the third neck predicted than the first, before anything of it is read?
 * npm run study -- --only bow, or node tests/study/bow.mjs [--batches N] [--seed S] [--json]; runs on dist
 */
import { parseArgs } from "node:util";
import { batchAfter, believed, BOW_UNKNOWNS, bowModel, calibrated, COMMON_SHARES, MODEL_SHARE_U, newBatch, normalMm, readNeck, unknownsAt } from "../../dist/index.js";
import { reliefOver } from "../../dist/bow/calibration/readings.js";
import { inventedStream } from "../../dist/invented/stream.js";
import { errorsOf, shareOf } from "./statistics.mjs";

export const BATCH = 3;
const TURNS = 0.4;
/** Standard uncertainties of the readings, mm: a board's bow, an edge's setting on a neck, and the edge's own bow, which all necks share. */
const U_MM = { board: 0.15, neck: 0.015, edge: 0.007 };
const LEARNT = ["interferenceMm", "contactStiffnessNmm3", "boardStiffness", "neckStiffness", "neckFaceBowMm", "rodResponse", "rodDeadZoneTurns", "stringTension"];

const neckFile = {
  name: "invented", scaleLength: 635, frets: 22, bodyJoint: 16, fingerboardRadius: "12 in", widths: { nut: 43, lastFret: 56 }, thicknesses: { board: 6, total: { 1: 20.5, 12: 22.5 } },
  woods: { board: "rosewood", neck: "maple" }, slots: { width: 0.52, depth: 2.8 }, tangs: { thickness: 0.55 }, crown: { height: 1.1 }, rod: { works: "both ways" },
  strings: { each: [46, 36, 26, 17, 13, 10].map((thou) => ({ gauge: `${thou} thou`, wound: thou > 20 })), heightAtNut: 0.5, heightAtLastFret: { bass: 2.4, treble: 1.9 } },
};

/** The questions of one neck: free board, glued, rod tested, strung. */
function questions() {
  const read = readNeck(neckFile);
  if (read.status !== "read") throw new Error("the study's neck is not readable");
  const model = bowModel(read.value);
  const { setup } = model;
  const order = { frets: "before glue-up" };
  const of = (work, stage, span) => reliefOver(setup, work, stage, span);
  return {
    belief: model.belief, board: of(order, "fretted board", setup.boardSpan), glued: of(order, "glue-up", setup.span),
    rod: of({ ...order, rodTurns: TURNS }, "rod", setup.span), strung: of({ ...order, strings: true }, "strings", setup.span),
  };
}

/** Standard coordinates of the necks of a batch, and the error of its edge. */
function inventedBatch(stream) {
  const common = BOW_UNKNOWNS.map((name) => stream.normal(0, Math.sqrt(COMMON_SHARES[name])));
  const necks = Array.from({ length: BATCH }, () => BOW_UNKNOWNS.map((name, at) => common[at] + stream.normal(0, Math.sqrt(1 - COMMON_SHARES[name]))));
  return { necks, edgeMm: stream.normal(0, U_MM.edge) };
}

function judgedBatch(ask, stream) {
  const { necks, edgeMm } = inventedBatch(stream);
  let batch = newBatch(ask.belief);
  return necks.map((z) => {
    const truth = unknownsAt(ask.belief.priors, z);
    const real = Object.fromEntries(["board", "glued", "rod", "strung"].map((name) => [name, ask[name](truth) * (1 + stream.normal(0, MODEL_SHARE_U))]));
    const seen = (name) => (name === "board"
      ? { of: name, measured: normalMm(real[name] + stream.normal(0, U_MM.board), U_MM.board), predictMm: ask[name] }
      : { of: name, measured: normalMm(real[name] + edgeMm + stream.normal(0, U_MM.neck), Math.hypot(U_MM.neck, U_MM.edge)), shared: { error: "edge", uMm: U_MM.edge }, predictMm: ask[name] });
    const judged = (belief) => judgedPrediction(believed(belief, ask.strung, MODEL_SHARE_U), real.strung);
    const [board, glued, rod, strung] = ["board", "glued", "rod", "strung"].map(seen);
    const before = judged(batch.nextNeck);
    const afterBoard = judged(calibrated(batch.nextNeck, [board]).after);
    const afterRod = judged(calibrated(batch.nextNeck, [board, glued, rod]).after);
    const all = calibrated(batch.nextNeck, [board, glued, rod, strung]);
    batch = batchAfter(batch, all);
    const unknowns = LEARNT.map((name) => {
      const at = BOW_UNKNOWNS.indexOf(name);
      const sd = Math.sqrt(all.after.covariance[at][at]);
      return { name, covered: Math.abs(z[at] - all.after.mean[at]) <= 1.96 * sd, sd };
    });
    return { before, afterBoard, afterRod, unknowns, large: all.misfit.isLarge };
  });
}

function judgedPrediction({ value, low95, high95 }, trueMm) {
  return { errorMm: value - trueMm, covered: low95 <= trueMm && trueMm <= high95, halfMm: (high95 - low95) / 2 };
}

/** The whole study: the same for the same number of batches and seed. */
export function studiedBow({ batches, seed }) {
  const ask = questions();
  const all = Array.from({ length: batches }, (_, number) => judgedBatch(ask, inventedStream(seed, "bow/batch", number)));
  const prediction = (ofNeck) => ({ coverage: shareOf(ofNeck.map((one) => ({ hits: one.covered ? 1 : 0, of: 1 }))), ...errorsOf(ofNeck.map((one) => one.errorMm)), meanHalfWidthMm: ofNeck.reduce((sum, one) => sum + one.halfMm, 0) / ofNeck.length });
  const byNeck = (pick) => Array.from({ length: BATCH }, (_, at) => prediction(all.map((batch) => pick(batch[at]))));
  const before = byNeck((neck) => neck.before);
  return {
    batches, seed, strungBeforeAnyReading: before, strungAfterItsBoard: byNeck((neck) => neck.afterBoard), strungAfterItsRodTest: byNeck((neck) => neck.afterRod),
    thirdOverFirst: { rmse: before[BATCH - 1].rmseMm / before[0].rmseMm, halfWidth: before[BATCH - 1].meanHalfWidthMm / before[0].meanHalfWidthMm },
    unknowns: Object.fromEntries(LEARNT.map((name, at) => [name, { coverage: shareOf(all.flat().map((neck) => ({ hits: neck.unknowns[at].covered ? 1 : 0, of: 1 }))), spreadLeft: all.flat().reduce((sum, neck) => sum + neck.unknowns[at].sd, 0) / (batches * BATCH) }])),
    calledALargeMisfit: shareOf(all.flat().map((neck) => ({ hits: neck.large ? 1 : 0, of: 1 }))),
  };
}

export function printedBow({ batches, seed, strungBeforeAnyReading, strungAfterItsBoard, strungAfterItsRodTest, thirdOverFirst, unknowns, calledALargeMisfit }) {
  const percent = ({ share, low, high }) => `${(100 * share).toFixed(1)} % (${(100 * low).toFixed(1)} to ${(100 * high).toFixed(1)})`;
  const line = (what) => (one, at) => `  neck ${at + 1}, ${what}`.padEnd(52) + `RMSE ${one.rmseMm.toFixed(3)} mm, half width ${one.meanHalfWidthMm.toFixed(3)} mm, covered ${percent(one.coverage)}`;
  return [
    `Bow, ${batches} batches of ${BATCH} invented necks, seed ${seed}: relief under strings predicted`,
    ...strungBeforeAnyReading.map(line("before anything of it was read")), ...strungAfterItsBoard.map(line("after its fretted board was read")), ...strungAfterItsRodTest.map(line("after its board, glue-up and rod test")),
    `  third over first, before any reading              RMSE ${thirdOverFirst.rmse.toFixed(2)}, half width ${thirdOverFirst.halfWidth.toFixed(2)}`,
    ...Object.entries(unknowns).map(([name, one]) => `  ${name}, after all readings`.padEnd(52) + `covered ${percent(one.coverage)}, spread left ${one.spreadLeft.toFixed(2)} of the prior's`),
    `  called a large misfit (1 % expected)`.padEnd(52) + percent(calledALargeMisfit),
  ].join("\n");
}

if (process.argv[1]?.endsWith("bow.mjs")) {
  const { values } = parseArgs({ options: { batches: { type: "string", default: "100" }, seed: { type: "string", default: "1" }, json: { type: "boolean", default: false } } });
  const report = studiedBow({ batches: Number(values.batches), seed: Number(values.seed) });
  console.log(values.json ? JSON.stringify(report, undefined, 2) : printedBow(report));
}
