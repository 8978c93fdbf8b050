/**
 * Whether asking for the next reading pays. Stated before it was run:
 * One line of the neck is asked about, drawn at random. `relief`: its relief, give or take 0.04 mm. `fret`: how high one fret of it stands, give or take 0.02 mm, a far-out one on half of the necks that have one.
 * `rod`: which way to turn, 95 % sure, one limit of the wanted relief lying 0.02 to 0.06 mm from the truth.
 * As advised: three readings on that line (fret 1, mid-way, body joint), then one by one as `readNextFor` advises, until what is wanted is reached for the first time; all are counted, the first three too.
 * Even sweeps of the whole neck, as a bench sheet is filled: one setting of the edge a line, bass, centre, treble in turn, frets from the first on in order; every fret, every second, every third (the body joint and the fret
 * asked about always among them). Readings are counted from the first on, until what is wanted is reached; relief and rod are told only once the body joint is reached on the asked line. Claimed of each: advice takes 60 % or less.
 * Beside them, without a claim, `that line, so many evenly spread`: of the asked line alone the fewest evenly spread frets that reach it, chosen in hindsight for each neck, which nobody at a bench can; advice is to be about as good.
 * Necks on which every fret of the line does not do, and those on which three readings do, are counted and left out. What is reached by what the survey itself says (give or take) is judged by the truth too: coverage and
 * RMSE when it is reached, right decisions, and RMSE over all necks after so many readings, advised and evenly spread.
 */
import { inventedNeck } from "../../dist/invented/neck.js";
import { inventedOperator } from "../../dist/invented/operator.js";
import { inventedReadings } from "../../dist/invented/readings.js";
import { inventedSheet } from "../../dist/invented/sheet.js";
import { inventedStream } from "../../dist/invented/stream.js";
import { trueHighMm, trueReliefMm } from "../../dist/invented/truth.js";
import { fretDistanceMm } from "../../dist/neck/frets.js";
import { decisionNow, readNextFor } from "../../dist/shape/readNext.js";
import { reliefs } from "../../dist/shape/relief.js";
import { adjust } from "../../dist/survey/adjust.js";
import { farOut } from "./one-neck.mjs";
import { median, shareOf, sum } from "./statistics.mjs";

/** All that can be read: every fret under one setting of the edge a line (pressed down where it rocks), and the rocker over every middle fret. */
const PLAN = { frets: "every", whereItTouches: false, settingsPerLine: 1, rocker: true, leafUnderMiddle: false, missingShare: 0 };
/** What is wanted of each question: give or take, mm, or the chance of being wrong. */
const WANTED = { relief: 0.04, fret: 0.02, rod: 0.05 };
const STRIDES = { "every fret": 1, "every second fret": 2, "every third fret": 3 };
const HINDSIGHT = "that line, so many evenly spread";
/** So many readings are followed on every neck, for the error after so many. */
const FOLLOWED = 8;

const keyOf = (line, tool, fret) => `${line} ${tool} ${fret}`;

/** A sheet with some of its readings; of two settings on a line, since the edge rocks, the first. */
function partOf(sheet, keys) {
  const firsts = sheet.settings.filter(({ path }, at) => sheet.settings.findIndex((other) => other.path.line === path.line) === at);
  const settings = firsts.map((setting) => ({ ...setting, readings: setting.readings.filter(({ line, place }) => keys.has(keyOf(line, "straightedge", place.fret))) }));
  return { ...sheet, settings: settings.filter(({ readings }) => readings.length > 0), rockers: sheet.rockers.filter(({ line, frets: [, middle] }) => keys.has(keyOf(line, "rocker", middle))) };
}

/** The frets as evenly spread as can be: at each wanted distance the nearest that is not taken. */
function evenly(neck, frets, count) {
  const xMm = (fret) => fretDistanceMm(neck.scaleLengthMm, fret);
  const [from, to] = [xMm(frets[0]), xMm(frets.at(-1))];
  const taken = new Set();
  for (let k = 0; k < count; k++) {
    const wantedMm = from + ((to - from) * k) / (count - 1);
    taken.add(frets.filter((fret) => !taken.has(fret)).reduce((best, fret) => (Math.abs(xMm(fret) - wantedMm) < Math.abs(xMm(best) - wantedMm) ? fret : best)));
  }
  return [...taken];
}

function questionOf(about, truth, line, frets, stream) {
  if (about === "relief") return { about, line };
  if (about === "fret") {
    const inside = frets.slice(1, -1);
    const far = inside.filter((fret) => ["high", "zone"].includes(farOut(truth, fret)));
    return { about, line, fret: stream.pick(far.length > 0 && stream.chance(0.5) ? far : inside) };
  }
  const limitMm = trueReliefMm(truth, line, frets[0], frets.at(-1)).reliefMm + stream.pick([-1, 1]) * stream.uniform(0.02, 0.06);
  return { about, line, wantedMm: stream.chance(0.5) ? { low: limitMm, high: limitMm + 0.2 } : { low: limitMm - 0.2, high: limitMm } };
}

/** What the question's number is known to, as the survey stands: give or take and error, or the chance that the decision is wrong and whether it is. */
function stateOf(survey, question, trueMm) {
  if (question.about === "rod") {
    const { choice, probability } = decisionNow(survey, question) ?? { choice: "none", probability: 0 };
    const { low, high } = question.wantedMm;
    return { open: 1 - probability, right: choice === (trueMm < low ? "more relief" : trueMm > high ? "less relief" : "leave it") };
  }
  const xMm = (fret) => fretDistanceMm(survey.neck.scaleLengthMm, fret);
  const measured = question.about === "relief" ? reliefs(survey).find(({ line }) => line === question.line)?.relief
    : survey.linear([{ of: "fretTop", line: question.line, fret: question.fret, weight: 1 }, { of: "neckLine", line: question.line, xMm: xMm(question.fret), weight: -1 }]);
  if (measured === undefined) return { open: Infinity };
  return { open: (measured.high95 - measured.low95) / 2, errorMm: measured.value - trueMm, right: measured.low95 <= trueMm && trueMm <= measured.high95 };
}

function drawn(seed, family, number) {
  const truth = inventedNeck(inventedStream(seed, `${family}/neck`, number), family);
  const hand = inventedStream(seed, `${family}/next`, number);
  const operator = inventedOperator(hand);
  return { truth, sheet: inventedSheet(truth.neck, operator, inventedReadings(truth, operator, hand, PLAN)) };
}

export function judgedNext(seed, family, number, about) {
  const { truth, sheet } = drawn(seed, family, number);
  const { neck } = truth;
  const stream = inventedStream(seed, `${family}/${about}`, number);
  const line = stream.pick(neck.lines).name;
  const underOn = (name) => sheet.settings.find(({ path }) => path.line === name).readings.map(({ place }) => place.fret).filter((fret) => fret > 0);
  const frets = underOn(line).filter((fret) => fret <= neck.bodyJoint);
  const question = questionOf(about, truth, line, frets, stream);
  const trueMm = about === "fret" ? trueHighMm(truth, line, question.fret) : trueReliefMm(truth, line, frets[0], frets.at(-1)).reliefMm;
  const gaps = (some) => new Set(some.map((fret) => keyOf(line, "straightedge", fret)));
  const at = (keys) => stateOf(adjust(neck, partOf(sheet, keys)), question, trueMm);
  const told = { about, sheet, under: underOn(line), question, neck, trueMm, three: gaps(evenly(neck, frets, 3)), wanted: WANTED[about] };
  const even = [];
  const evenAt = (k) => (even[k] ??= at(gaps(evenly(neck, frets, k))));
  const best = at(gaps(frets)).open;
  const followed = Array.from({ length: FOLLOWED - 2 }, (_, k) => evenAt(Math.min(k + 3, frets.length)));
  const advice = asAdvised(told);
  const common = { about, followed: { advised: advice.states, even: followed }, ...advice.rest };
  if (best > told.wanted || evenAt(3).open <= told.wanted) return { ...common, out: best > told.wanted ? "not by every fret" : "by three" };
  const hindsight = frets.map((_, k) => k + 1).slice(2).find((k) => evenAt(k).open <= told.wanted) ?? frets.length;
  const sweeps = Object.fromEntries(Object.entries(STRIDES).map(([name, stride]) => [name, sweptUntil(told, at, underOn, line, stride)]));
  return { ...common, advised: advice.first, sweeps: { ...sweeps, [HINDSIGHT]: { count: hindsight, reached: true, ...evenAt(hindsight) } } };
}

/** A sweep of the lines in turn, one reading after another, until what is wanted is reached. */
function sweptUntil({ neck, question, wanted }, at, underOn, asked, stride) {
  const order = neck.lines.flatMap(({ name }) => {
    const under = underOn(name);
    return under.filter((fret, k) => k % stride === 0 || fret === neck.bodyJoint || (name === asked && fret === question.fret)).map((fret) => ({ line: name, fret }));
  });
  const keys = new Set();
  let state = { open: Infinity };
  for (const { line, fret } of order) {
    keys.add(keyOf(line, "straightedge", fret));
    const isTold = line === asked ? fret >= (question.fret ?? neck.bodyJoint) && keys.size > 2 : keys.has(keyOf(asked, "straightedge", neck.bodyJoint)) && fret === underOn(line).at(-1);
    if (!isTold) continue;
    state = at(keys);
    if (state.open <= wanted) return { count: keys.size, reached: true, ...state };
  }
  return { count: keys.size, reached: false, ...state };
}

/** Reading on as advised until what is wanted is reached and the decision, if one is asked, is said to be decided; no farther than every fret's worth of readings. */
function asAdvised({ sheet, neck, under, question, three, wanted, trueMm }) {
  const rockers = sheet.rockers.filter(({ line }) => line === question.line).map(({ frets: [, middle] }) => keyOf(question.line, "rocker", middle));
  const all = new Set([...under.map((fret) => keyOf(question.line, "straightedge", fret)), ...rockers]);
  const keys = new Set(three);
  const states = [];
  let [first, decided, beyond] = [undefined, undefined, 0];
  for (;;) {
    const survey = adjust(neck, partOf(sheet, keys));
    const state = stateOf(survey, question, trueMm);
    states.push(state);
    const isLast = keys.size >= under.length;
    if (first === undefined && (state.open <= wanted || isLast)) first = { count: keys.size, reached: state.open <= wanted, ...state };
    const isDone = first !== undefined && keys.size >= FOLLOWED && (question.about === "relief" || decided !== undefined);
    if (isLast || isDone) break;
    const found = readNextFor(survey, question);
    if (decided === undefined && found.status === "decided") decided = { choice: found.decision.choice, after: keys.size };
    const reading = found.reading ?? found.best;
    const key = reading === undefined ? undefined : keyOf(reading.line, reading.tool, reading.at.fret);
    const takeable = all.has(key) && !keys.has(key);
    if (!takeable) beyond++;
    keys.add(takeable ? key : [...all].find((one) => !keys.has(one)));
  }
  if (decided === undefined) return { first, states, rest: { beyond } };
  const changed = (decisionNow(adjust(neck, partOf(sheet, all)), question)?.choice ?? "none") !== decided.choice;
  return { first, states, rest: { beyond, decided: { ...decided, changed } } };
}

export function talliedNext(all) {
  const judged = all.filter(({ out }) => out === undefined);
  const names = [...Object.keys(STRIDES), HINDSIGHT];
  const against = Object.fromEntries(names.map((name) => [name, { ...ratioOf(judged.map(({ advised, sweeps }) => [advised.count, sweeps[name].count])), ...reachedBy(judged.map(({ sweeps }) => sweeps[name])) }]));
  const told = all.filter(({ decided }) => decided !== undefined);
  const rmse = (states) => Math.sqrt(sum(states.map(({ errorMm }) => errorMm ** 2)) / states.length);
  const after = (of) => Array.from({ length: FOLLOWED - 2 }, (_, k) => all.flatMap(({ followed }) => (followed[of][k]?.errorMm === undefined ? [] : [followed[of][k]]))).map((states) => (states.length === 0 ? null : rmse(states)));
  return {
    about: all[0]?.about, necks: all.length, judged: judged.length, byThree: all.filter(({ out }) => out === "by three").length, notByEvery: all.filter(({ out }) => out === "not by every fret").length,
    advised: reachedBy(judged.map(({ advised }) => advised)), against, rmseAfterMm: { advised: after("advised"), even: after("even") },
    beyond: sum(all.map(({ beyond = 0 }) => beyond)), decided: { said: told.length, changed: shareOf(told.map(({ decided }) => ({ hits: decided.changed ? 1 : 0, of: 1 }))), medianAfter: median(told.map(({ decided }) => decided.after)) },
    counts: judged.map(({ advised, sweeps }) => [advised.count, ...names.map((name) => sweeps[name].count)]),
  };
}

/** How it stands where what is wanted was reached. */
function reachedBy(states) {
  const errors = states.flatMap(({ errorMm }) => (errorMm === undefined ? [] : [errorMm]));
  return {
    median: median(states.map(({ count }) => count)), failed: states.filter(({ reached }) => !reached).length, right: shareOf(states.map(({ right }) => ({ hits: right === true ? 1 : 0, of: 1 }))),
    rmseMm: errors.length === 0 ? null : Math.sqrt(sum(errors.map((error) => error ** 2)) / errors.length),
  };
}

/** Ratio of two sums over necks with its 95 % limits. @source ratio estimator of survey sampling, its variance by linearisation (from memory) */
function ratioOf(pairs) {
  if (pairs.length < 2) return { ratio: null, low: null, high: null };
  const [first, second] = [sum(pairs.map(([one]) => one)), sum(pairs.map(([, other]) => other))];
  const ratio = first / second;
  const se = Math.sqrt((pairs.length / (pairs.length - 1)) * sum(pairs.map(([one, other]) => (one - ratio * other) ** 2))) / second;
  return { ratio, low: ratio - 1.96 * se, high: ratio + 1.96 * se };
}

const WORDS = { relief: "the relief, give or take 0.04 mm", fret: "how high a fret stands, give or take 0.02 mm", rod: "which way to turn the rod, 95 % sure" };
const percent = (share) => (share === null || share === undefined ? "-" : `${(100 * share).toFixed(0)} %`);
const um = (mm) => (mm === null ? "-" : (1000 * mm).toFixed(0));
const verdict = (low, high) => (low === null ? "not asked" : high <= 0.6 ? "60 % or less: holds" : low <= 0.6 ? "60 % or less: open" : "60 % or less: DOES NOT HOLD");

export function printedNext(name, tally) {
  const { about, necks, judged, byThree, notByEvery, advised, against, decided, beyond, rmseAfterMm } = tally;
  const truly = ({ right, rmseMm }) => (right.share === null ? "" : about === "rod" ? `; decided rightly then: ${right.hits} of ${right.of}` : `; 95 % intervals then cover ${right.hits} of ${right.of}, RMSE ${um(rmseMm)} um`);
  return [
    `\nnext reading, ${name}: ${WORDS[about]}; ${necks} necks, ${byThree} that sure from three readings, ${notByEvery} not even from every fret of the line, ${judged} judged`,
    `  as advised: median ${advised.median} readings, ${advised.failed} do not get there${truly(advised)}${beyond > 0 ? `; ${beyond} readings advised that could not be taken` : ""}`,
    ...Object.entries(against).map(([sweep, one]) =>
      `  against ${sweep}: ${percent(one.ratio)} of its readings (${percent(one.low)} to ${percent(one.high)}${sweep === HINDSIGHT ? "" : `; ${verdict(one.low, one.high)}`}); median ${one.median}, ${one.failed} do not get there${truly(one)}`),
    ...(about === "rod" ? [] : [`  RMSE over all necks after 3 to ${FOLLOWED} readings, um: as advised ${rmseAfterMm.advised.map(um).join(", ")}; evenly spread on that line ${rmseAfterMm.even.map(um).join(", ")}`]),
    ...(decided.said === 0 ? [] : [`  said to be decided on ${decided.said} necks, after ${decided.medianAfter} readings (median); all readings of the line decide otherwise on ${decided.changed.hits} (${percent(decided.changed.share)}, up to ${percent(decided.changed.high)})`]),
  ].join("\n");
}

/** All families together, question by question: the ratios of readings. */
export function printedRatios(tallies) {
  const names = [...Object.keys(STRIDES), HINDSIGHT];
  return Object.keys(WORDS).flatMap((about) => {
    const counts = tallies.filter((tally) => tally.about === about).flatMap((tally) => tally.counts);
    const ratios = names.map((name, k) => ({ name, ...ratioOf(counts.map((one) => [one[0], one[k + 1]])) }));
    return counts.length === 0 ? [] : [`\nnext reading, ${about}, all families together (${counts.length} necks): ${ratios.map(({ name, ratio, low, high }) => `${percent(ratio)} (${percent(low)} to ${percent(high)}) of ${name}`).join("; ")}`];
  }).join("\n");
}
