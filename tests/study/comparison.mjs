/**
 * Whether two surveys of a neck are rightly said to differ: necks that did not move and necks bent by a known bow between two surveys under one
 * edge, read by one operator by plans that may differ. How often an unmoved neck is said to have moved must be 5 % within binomial limits or less.
 */
import { bentBy } from "../../dist/invented/change.js";
import { inventedNeck } from "../../dist/invented/neck.js";
import { inventedOperator } from "../../dist/invented/operator.js";
import { planFor } from "../../dist/invented/plan.js";
import { inventedReadings } from "../../dist/invented/readings.js";
import { inventedSheet } from "../../dist/invented/sheet.js";
import { inventedStream } from "../../dist/invented/stream.js";
import { smoothLineMm, trueHeightMm } from "../../dist/invented/truth.js";
import { compareSheets, compareSurveys } from "../../dist/index.js";
import { errorsOf, median, shareOf } from "./statistics.mjs";

/** Two sheets of one neck; `moved` bends it between them. */
export function twoSurveys(seed, family, number, moved) {
  const before = inventedNeck(inventedStream(seed, `${family}/neck`, number), family);
  const bow = inventedStream(seed, `${family}/moved`, number).uniform(0.02, 0.12) * inventedStream(seed, `${family}/way`, number).pick([-1, 1]);
  const after = moved ? bentBy(before, bow) : before;
  const operator = inventedOperator(inventedStream(seed, `${family}/both`, number));
  const read = (truth, which) => {
    const hand = inventedStream(seed, `${family}/${which}`, number);
    const sheet = inventedSheet(truth.neck, operator, inventedReadings(truth, operator, hand, planFor(family, hand)));
    return { ...sheet, stage: which };
  };
  return { truths: [before, after], sheets: [read(before, "before"), read(after, "after")] };
}

/** The two surveys as they would be if nothing were in doubt. */
function knowing(truths, surveys) {
  const height = ({ of, line, fret, xMm, survey }) => (of === "fretTop" ? trueHeightMm(truths[survey], line, fret) : smoothLineMm(truths[survey], line, xMm));
  const value = (terms) => terms.reduce((sum, term) => sum + term.weight * height(term), 0);
  return {
    surveys,
    linear: (terms) => ({ value: value(terms), u: 0, unit: "mm", low95: value(terms), high95: value(terms) }),
    draws: (combinations) => Array.from({ length: 4 }, () => Float64Array.from(combinations, value)),
  };
}

export function judgedComparison(seed, family, number, moved) {
  const { truths, sheets } = twoSurveys(seed, family, number, moved);
  const found = compareSheets(truths[0].neck, ...sheets);
  if (found.status === "undetermined") return { status: "undetermined" };
  const truth = compareSurveys(knowing(truths, found.surveys));
  const trueMm = truth.bow.value;
  return {
    status: found.status, chance: found.chanceUnmoved, trueMm, errorMm: found.bow.value - trueMm, halfMm: (found.bow.high95 - found.bow.low95) / 2,
    covered: found.bow.low95 <= trueMm && trueMm <= found.bow.high95, rightWay: found.status !== "moved" || found.bow.value * trueMm > 0, frets: found.frets.length,
  };
}

export function talliedComparison(all) {
  const judged = all.filter(({ status }) => status !== "undetermined");
  const share = (of, hit) => shareOf(of.map((one) => ({ hits: hit(one) ? 1 : 0, of: 1 })));
  const between = (low, high) => judged.filter(({ trueMm }) => Math.abs(trueMm) >= low && Math.abs(trueMm) < high);
  return {
    necks: all.length, undetermined: all.length - judged.length,
    saidToMove: share(judged, ({ status }) => status === "moved"), saidToHaveSettled: share(judged, ({ status }) => status === "settled"),
    withAFretNamed: share(judged, ({ frets }) => frets > 0), bow: { coverage: share(judged, ({ covered }) => covered), ...errorsOf(judged.map(({ errorMm }) => errorMm)), medianHalfWidthMm: median(judged.map(({ halfMm }) => halfMm)) },
    found: { under30um: share(between(0.001, 0.03), ({ status }) => status === "moved"), from30um: share(between(0.03, 1), ({ status }) => status === "moved") },
    rightWay: share(judged.filter(({ status }) => status === "moved"), ({ rightWay }) => rightWay),
  };
}

const percent = ({ share, low, high, hits, of }) => (share === null ? "none" : `${(100 * share).toFixed(1)} % (${(100 * low).toFixed(1)} to ${(100 * high).toFixed(1)}), ${hits} of ${of}`);
const um = (mm) => (mm === null ? "-" : `${(1000 * mm).toFixed(1)} um`);

export function printedComparison(name, tally) {
  const unmoved = name.endsWith("unmoved");
  const limit = tally.saidToMove.low === null || tally.saidToMove.low <= 0.05 ? "holds" : "DOES NOT HOLD";
  return [
    `\ntwo surveys, ${name}: ${tally.necks} necks, ${tally.undetermined} without a line in common`,
    `  said to have moved: ${percent(tally.saidToMove)}${unmoved ? `; 5 % or less: ${limit}` : ""}`,
    `  said to have settled: ${percent(tally.saidToHaveSettled)}; a fret named that stands otherwise: ${percent(tally.withAFretNamed)}`,
    `  change of bow: 95 % intervals cover ${percent(tally.bow.coverage)}; bias ${um(tally.bow.biasMm)}, RMSE ${um(tally.bow.rmseMm)}, half width ${um(tally.bow.medianHalfWidthMm)}`,
    ...(unmoved ? [] : [`  found, truly under 30 um: ${percent(tally.found.under30um)}; 30 um and more: ${percent(tally.found.from30um)}; the right way: ${percent(tally.rightWay)}`]),
  ].join("\n");
}
