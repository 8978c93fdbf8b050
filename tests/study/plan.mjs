/**
 * Plans made from invented surveys and carried out on the neck's truth: node tests/study/plan.mjs [--necks N] [--seed S] [--family NAME] [--json]    (runs on dist)
 * The neck is read as its family is, and its crowns with a gauge on every fret of every line. The rod can do 0.4 mm either way. A fret is seated only where there is air under it
 * (else the plan is made anew without it), and comes to rest with the scatter of pressed frets (normal, sd 0.008 mm); the rod is set with an error of sd 0.01 mm; the beam is straight.
 * `apart`: a straight beam on one line at a time. `tied`: both diagonals are read too, and a block of the board's radius takes all lines, to one plane where the readings tie them closely enough.
 * The beam follows the ink. It stops when every top is met within the tolerance, else where a guide crown has lost what was planned and the allowance, or a watched crown has come down
 * to the limit; `gauged`: those cuts are measured with sd 0.01 mm, `exactly`: without error. `thin`: the least crown is 0.15 mm under the wire. A plan that is not to be started is not carried out.
 */
import { parseArgs } from "node:util";
import { carriedOut, inkFace } from "../../dist/advice/levelPlan/carriedOut.js";
import { levelPlan } from "../../dist/advice/levelPlan/levelPlan.js";
import { levelling } from "../../dist/advice/levelPlan/levelling.js";
import { isNoStart } from "../../dist/advice/levelPlan/noStart.js";
import { sufficiency } from "../../dist/advice/levelPlan/sufficiency.js";
import { fretTops } from "../../dist/neck/frets.js";
import { radiusDropMm } from "../../dist/neck/surface.js";
import { diagonalSettings } from "../../dist/invented/across.js";
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
const ANY_TWIST_MM = 9;

const solve = await loadSolver();

/** One neck: planned with new wire and with thin crowns, carried out, set beside what was promised; a status alone where there was no plan. */
export function carriedOutNeck(seed, family, number, areTied) {
  const made = madeNeck(seed, family, number);
  const stream = inventedStream(seed, `${family}/plan`, number);
  const truth = withBuild(made.truth, stream);
  const crowns = truth.neck.lines.map(({ name }) => crownGaugeSetting(truth, stream, name, fretTops(truth.neck)));
  const sheet = { ...made.sheet, settings: [...made.sheet.settings, ...crowns, ...(areTied ? diagonals(truth, made.operator, stream) : [])] };
  const survey = adjust(truth.neck, sheet);
  const thin = { crownMinMm: truth.build.wireMm - THIN_MM };
  // a neck that is twisted beyond the limit is not planned at all
  const under = (wire, limits) => planned(truth, { ...survey, neck: { ...survey.neck, limits: { ...limits, twistMaxMm: ANY_TWIST_MM } } }, areTied ? "radiused" : "straight", inventedStream(seed, `${family}/plan/${wire}`, number));
  return { fresh: under("fresh", {}), thin: under("thin", thin) };
}

/** The edge laid over the board both ways, from end to end of the outermost lines. */
function diagonals(truth, operator, stream) {
  const [bass, treble, tops] = [truth.neck.lines[0].name, truth.neck.lines.at(-1).name, fretTops(truth.neck)];
  const ends = (from, to) => diagonalSettings(truth, operator, stream, { line: from, fret: tops[0] }, { line: to, fret: tops.at(-1) });
  return bass === treble ? [] : [...ends(bass, treble), ...ends(treble, bass)];
}

function planned(truth, survey, beam, stream) {
  let posed = levelling(survey, { rod: ROD, beam });
  if (posed.status !== "posed") return { status: posed.status };
  let plan = levelPlan(posed.problem, solve);
  const hasAir = (fret) => truth.neck.lines.some(({ name }) => underCrownGapMm(truth, name, fret) > 0);
  for (let tries = 0; plan.status === "planned" && plan.reseat.some((fret) => !hasAir(fret)) && tries < 9; tries++) {
    const may = [...new Set(posed.problem.tops.filter(({ dropMm = 0, fret }) => dropMm > 0 && (!plan.reseat.includes(fret) || hasAir(fret))).map(({ fret }) => fret))];
    posed = levelling(survey, { rod: ROD, beam, mayBeSeated: may });
    plan = levelPlan(posed.problem, solve);
  }
  if (plan.status !== "planned") return { status: plan.status };
  return { status: "planned", datum: posed.problem.datum, ...judged(truth, posed, plan, sufficiency(posed, plan, 400), stream) };
}

function judged(truth, posed, plan, sure, stream) {
  const { problem, limits, beam } = posed;
  const rodMm = stream.normal(0, ROD_SET_MM);
  const rest = new Map(plan.reseat.map((fret) => [fret, stream.normal(0, SEATING_MM)]));
  const lineOf = (name) => truth.neck.lines.find((line) => line.name === name);
  const meets = ({ line, fret, xMm }) => contactHeightMm(truth, line, fret) - (beam === "radiused" ? radiusDropMm(truth.neck, lineOf(line), xMm) : 0);
  const heights = problem.tops.map((top) => meets(top) - rodMm * top.reliefShare + (rest.has(top.fret) ? rest.get(top.fret) - trueHighMm(truth, top.line, top.fret) : 0));
  const metal = problem.tops.map((top) => crownMetalMm(truth, top.line, top.fret));
  const misread = problem.tops.map(() => stream.normal(0, GAUGE_MM));
  const watched = new Set([...sure.tight, ...sure.guides.flatMap(({ tops }) => tops)]);
  const finish = (errorAt) => finished(problem, plan, sure, heights, metal, limits.crownMinMm, watched, errorAt);
  const { furtherMm, cutMm } = carriedOut(problem, plan, sure.guides, heights);
  return {
    isStarted: !isNoStart(sure), allowanceMm: sure.allowanceMm, probability: sure.probability, probabilityCrowns: sure.probabilityCrowns,
    furtherMm, areCrownsKept: cutMm.every((mm, index) => metal[index] - mm >= limits.crownMinMm - 1e-9), sumMm: plan.sumMm, mostMm: plan.mostMm, seated: plan.reseat.length,
    exactly: finish(() => 0), gauged: finish((index) => misread[index]),
  };
}

/** Heights in which the target is straight. */
const straight = ({ tops }, plan, heights, index) => heights[index] - plan.reliefChangeMm * tops[index].reliefShare + tops[index].fallAwayMm;

/**
 * The beam follows the ink until every top is met within the tolerance, or it must stop: a guide has lost what was planned and the allowance, or a watched crown is at its limit.
 * A straight beam stops line by line, a block that takes all lines to one plane on all of them.
 */
function finished(problem, plan, sure, heights, metal, leastMm, watched, errorAt) {
  const { tops, datum } = problem;
  const z = tops.map((_, index) => straight(problem, plan, heights, index));
  const ink = inkFace(problem, z);
  const shortOf = ({ line, tops: guides }) => Math.max(0,
    ...guides.map((index) => z[index] - ink(index) - plan.removals[index].removeMm - sure.allowanceMm - errorAt(index)),
    ...[...watched].filter((index) => tops[index].line === line).map((index) => leastMm - (metal[index] - Math.max(0, z[index] - ink(index)))));
  const byLine = sure.guides.map((of) => [of.line, shortOf(of)]);
  const short = new Map(datum === "one plane" ? byLine.map(([line]) => [line, Math.max(...byLine.map(([, mm]) => mm))]) : byLine);
  const left = z.map((mm, index) => ({ underMm: ink(index) + short.get(tops[index].line) - mm, crownMm: metal[index] - Math.max(0, mm - ink(index) - short.get(tops[index].line)) }));
  const worstMm = Math.max(0, ...left.map(({ underMm }) => underMm));
  return { worstMm, isStraight: worstMm <= STRAIGHT_MM + 1e-9, broken: left.filter(({ crownMm }) => crownMm < leastMm - 1e-9).length, stopped: byLine.filter(([, mm]) => mm > 0).length };
}

/** What is claimed of plans, in classes. */
const CLAIMS = [[0, 0.1], [0.1, 0.3], [0.3, 1.01]];

/** All necks of a family together. */
export function talliedPlans(all) {
  const found = all.filter(({ status }) => status === "planned");
  const done = found.filter(({ isStarted }) => isStarted);
  const shareIn = (necks, hit) => shareOf(necks.map((neck) => ({ hits: hit(neck) ? 1 : 0, of: 1 })));
  const share = (hit) => shareIn(done, hit);
  const mean = (of, necks = done) => necks.reduce((sum, neck) => sum + of(neck), 0) / necks.length;
  const broken = (of) => done.reduce((sum, neck) => sum + of(neck).broken, 0);
  const wasEnough = ({ furtherMm }) => furtherMm <= 1e-6;
  return {
    statuses: Object.fromEntries(["planned", "infeasible", "measure first", "not proven"].map((status) => [status, all.filter((one) => one.status === status).length])),
    started: done.length, toOnePlane: done.filter(({ datum }) => datum === "one plane").length,
    straightWithin20um: { exactly: share(({ exactly }) => exactly.isStraight), gauged: share(({ gauged }) => gauged.isStraight) },
    crownsBroken: { exactly: broken(({ exactly }) => exactly), gauged: broken(({ gauged }) => gauged) },
    allowanceWasEnough: share(({ furtherMm, allowanceMm }) => furtherMm <= allowanceMm),
    asPlannedWasEnough: { share: share(wasEnough), claimed: mean(({ probability }) => probability), classes: CLAIMS.map(([from, to]) => {
      const necks = done.filter(({ probability }) => probability >= from && probability < to);
      return { from, to: Math.min(1, to), share: shareIn(necks, wasEnough), claimed: mean(({ probability }) => probability, necks) };
    }) },
    crownsKept: { share: shareIn(found, ({ areCrownsKept }) => areCrownsKept), claimed: mean(({ probabilityCrowns }) => probabilityCrowns, found) },
    meanAllowanceMm: mean(({ allowanceMm }) => allowanceMm), meanSumMm: mean(({ sumMm }) => sumMm), meanMostMm: mean(({ mostMm }) => mostMm), meanSeated: mean(({ seated }) => seated),
  };
}

/** Both kinds of crowns of a family. */
export function talliedLevellings(all) {
  return { fresh: talliedPlans(all.map(({ fresh }) => fresh)), thin: talliedPlans(all.map(({ thin }) => thin)) };
}

/** What was found, in lines of words. */
export function printedPlans(tally) {
  const of = ({ share, low, high, hits, of: all }) => (share === null ? "none" : `${(100 * share).toFixed(1)} % (${(100 * low).toFixed(1)} to ${(100 * high).toFixed(1)}), ${hits} of ${all}`);
  const percent = (share) => `${(100 * share).toFixed(1)} %`;
  return [
    `  planned ${tally.statuses.planned}, of them started ${tally.started} (${tally.toOnePlane} to one plane); no plan possible ${tally.statuses.infeasible}, to be measured first ${tally.statuses["measure first"]}, not proven ${tally.statuses["not proven"]}`,
    `  final tops within 0.02 mm of a straight beam: ${of(tally.straightWithin20um.exactly)}; cuts gauged with sd 0.01 mm: ${of(tally.straightWithin20um.gauged)}`,
    `  crowns cut below the limit: ${tally.crownsBroken.exactly}; gauged: ${tally.crownsBroken.gauged}`,
    `  the allowance (95 % claimed) was enough: ${of(tally.allowanceWasEnough)}; mean ${tally.meanAllowanceMm.toFixed(3)} mm; most planned off one top, mean ${tally.meanMostMm.toFixed(3)} mm`,
    `  just what was planned was enough: ${of(tally.asPlannedWasEnough.share)}, claimed ${percent(tally.asPlannedWasEnough.claimed)}; ${tally.asPlannedWasEnough.classes.filter(({ share }) => share.of > 0).map(({ from, to, share, claimed }) => `claimed ${percent(from)} to ${percent(to)} (mean ${percent(claimed)}): ${share.hits} of ${share.of}`).join("; ")}`,
    `  to the ink no crown gets too low, of all plans: ${of(tally.crownsKept.share)}, claimed ${percent(tally.crownsKept.claimed)}`,
  ].join("\n");
}

/** Both kinds of crowns, in lines of words. */
export function printedLevellings({ fresh, thin }) {
  return ` new wire\n${printedPlans(fresh)}\n thin crowns\n${printedPlans(thin)}`;
}

/** How lines are read and cut, by name. */
export const LEVELLINGS = { apart: "a straight beam line by line", tied: "diagonals read too, a block of the board's radius" };

if (process.argv[1]?.endsWith("plan.mjs")) {
  const { values } = parseArgs({ options: { necks: { type: "string", default: "40" }, seed: { type: "string", default: "1" }, family: { type: "string" }, json: { type: "boolean", default: false } } });
  for (const family of values.family === undefined ? ["smooth", "kinksAndZones", "atTheBench"] : [values.family]) {
    for (const [name, words] of Object.entries(LEVELLINGS)) {
      const tally = talliedLevellings(Array.from({ length: Number(values.necks) }, (_, number) => carriedOutNeck(Number(values.seed), family, number, name === "tied")));
      console.log(values.json ? JSON.stringify({ family, name, ...tally }) : `${family}, ${words}\n${printedLevellings(tally)}`);
    }
  }
}
