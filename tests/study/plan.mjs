/**
 * Plans made from invented surveys and carried out on the neck's truth: node tests/study/plan.mjs [--necks N] [--seed S] [--family NAME] [--json]    (runs on dist)
 * The neck is read as its family is, and its crowns with a gauge on every fret of every line. The rod can do 0.4 mm either way. A fret is seated only where there is air under it
 * (else the plan is made anew without it), and comes to rest with the scatter of pressed frets (normal, sd 0.008 mm); the rod is set with an error of sd 0.01 mm; the beam is straight.
 * The beam follows the ink. It stops when every top is met within the tolerance, else where a guide crown has lost what was planned and the allowance, or a watched crown has come down
 * to the limit; `gauged`: those cuts are measured with sd 0.01 mm, `exactly`: without error. `thin`: the least crown is 0.15 mm under the wire.
 */
import { parseArgs } from "node:util";
import { carriedOut, inkLine } from "../../dist/advice/levelPlan/carriedOut.js";
import { levelPlan } from "../../dist/advice/levelPlan/levelPlan.js";
import { levelling } from "../../dist/advice/levelPlan/levelling.js";
import { sufficiency } from "../../dist/advice/levelPlan/sufficiency.js";
import { fretTops } from "../../dist/neck/frets.js";
import { crownMetalMm, underCrownGapMm, withBuild } from "../../dist/invented/build.js";
import { crownGaugeSetting } from "../../dist/invented/looks.js";
import { inventedStream } from "../../dist/invented/stream.js";
import { contactHeightMm, trueHighMm } from "../../dist/invented/truth.js";
import { loadSolver } from "../../dist/notebook/solver.js";
import { adjust } from "../../dist/survey/adjust.js";
import { madeNeck } from "./one-neck.mjs";
import { shareOf } from "./statistics.mjs";

const ROD = { lowMm: -0.4, highMm: 0.4 };
const SEATING_MM = 0.008;
const ROD_SET_MM = 0.01;
const GAUGE_MM = 0.01;
const STRAIGHT_MM = 0.02;
const THIN_MM = 0.15;

const solve = await loadSolver();

/** One neck: planned, carried out, set beside what was promised; undefined where there was no plan. */
export function carriedOutNeck(seed, family, number, isThin) {
  const made = madeNeck(seed, family, number);
  const stream = inventedStream(seed, `${family}/plan`, number);
  const built = withBuild(made.truth, stream);
  const limits = isThin ? { crownMinMm: built.build.wireMm - THIN_MM } : {};
  const truth = { ...built, neck: { ...built.neck, limits } };
  const crowns = truth.neck.lines.map(({ name }) => crownGaugeSetting(truth, stream, name, fretTops(truth.neck)));
  const sheet = { ...made.sheet, settings: [...made.sheet.settings, ...crowns] };
  const survey = adjust(truth.neck, sheet);
  let posed = levelling(survey, { rod: ROD });
  if (posed.status !== "posed") return { status: posed.status };
  let plan = levelPlan(posed.problem, solve);
  const hasAir = (fret) => truth.neck.lines.some(({ name }) => underCrownGapMm(truth, name, fret) > 0);
  for (let tries = 0; plan.status === "planned" && plan.reseat.some((fret) => !hasAir(fret)) && tries < 9; tries++) {
    const may = [...new Set(posed.problem.tops.filter(({ dropMm = 0, fret }) => dropMm > 0 && (!plan.reseat.includes(fret) || hasAir(fret))).map(({ fret }) => fret))];
    posed = levelling(survey, { rod: ROD, mayBeSeated: may });
    plan = levelPlan(posed.problem, solve);
  }
  if (plan.status !== "planned") return { status: plan.status };
  return { status: "planned", ...judged(truth, posed, plan, sufficiency(posed, plan, 400), stream) };
}

function judged(truth, posed, plan, sure, stream) {
  const { problem, limits } = posed;
  const rodMm = stream.normal(0, ROD_SET_MM);
  const rest = new Map(plan.reseat.map((fret) => [fret, stream.normal(0, SEATING_MM)]));
  const high = ({ line, fret }) => trueHighMm(truth, line, fret);
  const heights = problem.tops.map((top) => contactHeightMm(truth, top.line, top.fret) - rodMm * top.reliefShare + (rest.has(top.fret) ? rest.get(top.fret) - high(top) : 0));
  const metal = problem.tops.map((top) => crownMetalMm(truth, top.line, top.fret));
  const misread = problem.tops.map(() => stream.normal(0, GAUGE_MM));
  const watched = new Set([...sure.tight, ...sure.guides.flatMap(({ tops }) => tops)]);
  const finish = (errorAt) => finished(problem, plan, sure, heights, metal, limits.crownMinMm, watched, errorAt);
  return {
    allowanceMm: sure.allowanceMm, probability: sure.probability, furtherMm: carriedOut(problem, plan, sure.guides, heights).furtherMm, sumMm: plan.sumMm, mostMm: plan.mostMm, seated: plan.reseat.length,
    exactly: finish(() => 0), gauged: finish((index) => misread[index]),
  };
}

/** Heights in which the target is straight. */
const straight = ({ tops }, plan, heights, index) => heights[index] - plan.reliefChangeMm * tops[index].reliefShare + tops[index].fallAwayMm;

/** The beam follows the ink along each line until every top is met within the tolerance, or it must stop: a guide has lost what was planned and the allowance, or a watched crown is at its limit. */
function finished(problem, plan, sure, heights, metal, leastMm, watched, errorAt) {
  let [worstMm, broken, stopped] = [0, 0, 0];
  for (const { line, tops: guides } of sure.guides) {
    const on = [...problem.tops.keys()].filter((index) => problem.tops[index].line === line);
    const z = (index) => straight(problem, plan, heights, index);
    const ink = inkLine(on.map((index) => problem.tops[index].xMm), on.map(z), problem.toleranceMm);
    const at = (index) => ink(problem.tops[index].xMm);
    const byGuides = Math.max(0, ...guides.map((index) => z(index) - at(index) - plan.removals[index].removeMm - sure.allowanceMm - errorAt(index)));
    const byCrowns = Math.max(0, ...on.filter((index) => watched.has(index)).map((index) => leastMm - (metal[index] - Math.max(0, z(index) - at(index)))));
    const shortMm = Math.max(byGuides, byCrowns);
    if (shortMm > 0) stopped += 1;
    for (const index of on) {
      const lineMm = at(index) + shortMm;
      worstMm = Math.max(worstMm, lineMm - z(index));
      if (metal[index] - Math.max(0, z(index) - lineMm) < leastMm - 1e-9) broken += 1;
    }
  }
  return { worstMm, isStraight: worstMm <= STRAIGHT_MM + 1e-9, broken, stopped };
}

/** All necks of a family together. */
export function talliedPlans(all) {
  const done = all.filter(({ status }) => status === "planned");
  const share = (hit) => shareOf(done.map((neck) => ({ hits: hit(neck) ? 1 : 0, of: 1 })));
  const mean = (of) => done.reduce((sum, neck) => sum + of(neck), 0) / done.length;
  const broken = (of) => done.reduce((sum, neck) => sum + of(neck).broken, 0);
  return {
    statuses: Object.fromEntries(["planned", "infeasible", "measure first", "not proven"].map((status) => [status, all.filter((one) => one.status === status).length])),
    straightWithin20um: { exactly: share(({ exactly }) => exactly.isStraight), gauged: share(({ gauged }) => gauged.isStraight) },
    crownsBroken: { exactly: broken(({ exactly }) => exactly), gauged: broken(({ gauged }) => gauged) },
    allowanceWasEnough: share(({ furtherMm, allowanceMm }) => furtherMm <= allowanceMm),
    asPlannedWasEnough: { share: share(({ furtherMm }) => furtherMm <= 1e-6), claimed: mean(({ probability }) => probability) },
    meanAllowanceMm: mean(({ allowanceMm }) => allowanceMm), meanSumMm: mean(({ sumMm }) => sumMm), meanMostMm: mean(({ mostMm }) => mostMm), meanSeated: mean(({ seated }) => seated),
  };
}

/** What was found, in lines of words. */
export function printedPlans(tally) {
  const of = ({ share, low, high, hits, of: all }) => (share === null ? "none" : `${(100 * share).toFixed(1)} % (${(100 * low).toFixed(1)} to ${(100 * high).toFixed(1)}), ${hits} of ${all}`);
  return [
    `  planned ${tally.statuses.planned}, no plan possible ${tally.statuses.infeasible}, to be measured first ${tally.statuses["measure first"]}, not proven ${tally.statuses["not proven"]}`,
    `  final tops within 0.02 mm of a straight beam: ${of(tally.straightWithin20um.exactly)}; cuts gauged with sd 0.01 mm: ${of(tally.straightWithin20um.gauged)}`,
    `  crowns cut below the limit: ${tally.crownsBroken.exactly}; gauged: ${tally.crownsBroken.gauged}`,
    `  the allowance (95 % claimed) was enough: ${of(tally.allowanceWasEnough)}; mean ${tally.meanAllowanceMm.toFixed(3)} mm`,
    `  just what was planned was enough: ${of(tally.asPlannedWasEnough.share)}, claimed ${(100 * tally.asPlannedWasEnough.claimed).toFixed(1)} %`,
  ].join("\n");
}

if (process.argv[1]?.endsWith("plan.mjs")) {
  const { values } = parseArgs({ options: { necks: { type: "string", default: "40" }, seed: { type: "string", default: "1" }, family: { type: "string" }, json: { type: "boolean", default: false } } });
  for (const family of values.family === undefined ? ["smooth", "kinksAndZones", "atTheBench"] : [values.family]) {
    for (const isThin of [false, true]) {
      const tally = talliedPlans(Array.from({ length: Number(values.necks) }, (_, number) => carriedOutNeck(Number(values.seed), family, number, isThin)));
      console.log(values.json ? JSON.stringify({ family, isThin, ...tally }) : `${family}, ${isThin ? "thin crowns" : "new wire"}\n${printedPlans(tally)}`);
    }
  }
}
