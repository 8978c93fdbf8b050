/**
 * Whether two surveys of a neck are rightly said to differ: necks that did not move, and necks bent between two surveys by a known bow, every second one also at one place (a corner), under one
 * edge, read by one operator by plans that may differ. An unmoved neck is to be said to have moved in 5 %, one neck one count, so that the limits are plainly binomial (Wilson's);
 * the 95 % intervals of the change of bow and of what changed beside it are to hold the truth in 93 to 97 % where something moved.
 */
import { bentBy } from "../../dist/invented/change.js";
import { inventedNeck } from "../../dist/invented/neck.js";
import { inventedOperator } from "../../dist/invented/operator.js";
import { planFor } from "../../dist/invented/plan.js";
import { inventedReadings } from "../../dist/invented/readings.js";
import { inventedSheet } from "../../dist/invented/sheet.js";
import { inventedStream } from "../../dist/invented/stream.js";
import { smoothLineMm, trueHeightMm } from "../../dist/invented/truth.js";
import { fretDistanceMm } from "../../dist/neck/frets.js";
import { compareSheets, compareSurveys } from "../../dist/index.js";
import { besideBow } from "../../dist/shape/lineChange.js";
import { errorsOf, median, shareOf } from "./statistics.mjs";

/** A corner in the neck line at a fret in its middle, up or down by 0.02 to 0.08 mm over 100 mm each way. */
function cornered(truth, stream) {
  const xMm = fretDistanceMm(truth.neck.scaleLengthMm, stream.whole(4, 10));
  return { ...truth, kinks: [...truth.kinks, { where: "rod end", xMm, upMm: stream.uniform(0.02, 0.08) * stream.pick([-1, 1]) }] };
}

/** Two sheets of one neck; `moved` bends it between them. */
export function twoSurveys(seed, family, number, moved) {
  const before = inventedNeck(inventedStream(seed, `${family}/neck`, number), family);
  const bow = inventedStream(seed, `${family}/moved`, number).uniform(0.02, 0.12) * inventedStream(seed, `${family}/way`, number).pick([-1, 1]);
  const bent = moved ? bentBy(before, bow) : before;
  const after = moved && number % 2 === 1 ? cornered(bent, inventedStream(seed, `${family}/corner`, number)) : bent;
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
    linearAll: (combinations) => combinations.map((terms) => ({ value: value(terms), u: 0, unit: "mm", low95: value(terms), high95: value(terms) })),
    draws: (combinations) => Array.from({ length: 4 }, () => Float64Array.from(combinations, value)),
    unmoved: (combinations) => Array.from({ length: 4 }, () => new Float64Array(combinations.length)),
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
    local: found.lines.flatMap((line, at) => (line.status === "compared" ? [judgedLocal(line, truth.lines[at])] : [])),
  };
}

/** What changed beside the bow where the survey says that it changed most, against what truly changed there. */
function judgedLocal({ local: { value, low95, high95 }, changeMm }, truth) {
  const [found, trues] = [changeMm, truth.changeMm].map((all) => besideBow(all.slice(1, -1)));
  const at = found.reduce((best, mm, k) => (Math.abs(mm) > Math.abs(found[best]) ? k : best), 0);
  return { errorMm: value - trues[at], halfMm: (high95 - low95) / 2, covered: low95 <= trues[at] && trues[at] <= high95 };
}

export function talliedComparison(all) {
  const judged = all.filter(({ status }) => status !== "undetermined");
  const share = (of, hit) => shareOf(of.map((one) => ({ hits: hit(one) ? 1 : 0, of: 1 })));
  const between = (low, high) => judged.filter(({ trueMm }) => Math.abs(trueMm) >= low && Math.abs(trueMm) < high);
  return {
    necks: all.length, undetermined: all.length - judged.length,
    saidToMove: share(judged, ({ status }) => status === "moved"), saidToHaveSettled: share(judged, ({ status }) => status === "settled"),
    withAFretNamed: share(judged, ({ frets }) => frets > 0), bow: { coverage: share(judged, ({ covered }) => covered), ...errorsOf(judged.map(({ errorMm }) => errorMm)), medianHalfWidthMm: median(judged.map(({ halfMm }) => halfMm)) },
    local: { coverage: shareOf(judged.map(({ local }) => ({ hits: local.filter(({ covered }) => covered).length, of: local.length }))), ...errorsOf(judged.flatMap(({ local }) => local.map(({ errorMm }) => errorMm))), medianHalfWidthMm: median(judged.flatMap(({ local }) => local.map(({ halfMm }) => halfMm))) },
    found: { under30um: share(between(0.001, 0.03), ({ status }) => status === "moved"), from30um: share(between(0.03, 1), ({ status }) => status === "moved") },
    rightWay: share(judged.filter(({ status }) => status === "moved"), ({ rightWay }) => rightWay),
  };
}

const percent = ({ share, low, high, hits, of }) => (share === null ? "none" : `${(100 * share).toFixed(1)} % (${(100 * low).toFixed(1)} to ${(100 * high).toFixed(1)}), ${hits} of ${of}`);
const um = (mm) => (mm === null ? "-" : `${(1000 * mm).toFixed(1)} um`);

const LEVEL = 0.05;
const level = ({ low, high }) => (low === null ? "none" : low > LEVEL ? "NOT MET, too often" : high < LEVEL ? "NOT MET, too seldom" : "met, within chance");
const covers = ({ share, low, high }) => (share === null ? "none" : share >= 0.93 && share <= 0.97 ? "met" : high < 0.93 ? "NOT MET, too few" : low > 0.97 ? "more than claimed" : "met, within chance");

export function printedComparison(name, tally) {
  const unmoved = name.endsWith("unmoved");
  const change = (what, { coverage, biasMm, rmseMm, medianHalfWidthMm }) => `  ${what}: 95 % intervals cover ${percent(coverage)}${unmoved ? "" : `; 93 to 97 %: ${covers(coverage)}`}; bias ${um(biasMm)}, RMSE ${um(rmseMm)}, half width ${um(medianHalfWidthMm)}`;
  return [
    `\ntwo surveys, ${name}: ${tally.necks} necks, ${tally.undetermined} without a line in common`,
    `  said to have moved: ${percent(tally.saidToMove)}${unmoved ? `; 5 %: ${level(tally.saidToMove)}` : ""}`,
    `  said to have settled: ${percent(tally.saidToHaveSettled)}; a fret named that stands otherwise: ${percent(tally.withAFretNamed)}`,
    change("change of bow", tally.bow),
    change("change beside the bow where it is largest, line by line", tally.local),
    ...(unmoved ? [] : [`  found, bow truly under 30 um: ${percent(tally.found.under30um)}; 30 um and more: ${percent(tally.found.from30um)}; the right way: ${percent(tally.rightWay)}`]),
  ].join("\n");
}

/** How often unmoved necks of all families together are said to have moved. */
export function printedUnmoved(tallies) {
  const counts = tallies.flatMap(({ saidToMove: { hits, of } }) => Array.from({ length: of }, (_, at) => ({ hits: at < hits ? 1 : 0, of: 1 })));
  const all = shareOf(counts);
  return `\ntwo surveys, unmoved necks of all families: said to have moved: ${percent(all)}; 5 %: ${level(all)}`;
}
