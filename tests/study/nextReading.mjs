/**
 * Whether asking for the next reading pays. From three readings on the centre line (fret 1, mid-way, body joint) readings are added one by one as `readNextFor` advises. Beside it, on the same neck with the same edge,
 * leaves and hands, even sweeps of ever more readings, frets from 1 to the body joint as evenly spread as can be by distance, both ends among them:
 * `frets and lines`: so many frets on each of three lines, as a bench sheet is filled; `that line`: on the asked line alone, whoever knows beforehand that only this line matters; `fret after fret`: the three readings, then the line's frets in order.
 * Readings are counted from the first one on, until what is wanted is reached for the first time.
 * `relief`: the line's relief, give or take 0.04 mm. `fret`: how high one fret stands, give or take 0.02 mm, a far-out one on half of the necks that have one. `rod`: which way to turn, 95 % sure, one limit of the wanted relief
 * lying 0.02 to 0.06 mm from the truth. Necks on which every fret of the line does not do, and those on which three readings do, are counted and left out.
 * Counted too: what is said to be decided (no further reading changes it) against what all readings of the line together decide.
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

const LINE = "centre";
/** All that can be read: every fret under one setting of the edge a line (pressed down where it rocks), and the rocker over every middle fret. */
const PLAN = { frets: "every", whereItTouches: false, settingsPerLine: 1, rocker: true, leafUnderMiddle: false, missingShare: 0 };
/** What is wanted of each question: give or take, mm, or the chance of being wrong. */
const WANTED = { relief: 0.04, fret: 0.02, rod: 0.05 };
const SWEEPS = ["frets and lines", "that line", "fret after fret"];

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

function questionOf(about, truth, frets, stream) {
  if (about === "relief") return { about, line: LINE };
  if (about === "fret") {
    const inside = frets.slice(1, -1);
    const far = inside.filter((fret) => ["high", "zone"].includes(farOut(truth, fret)));
    return { about, line: LINE, fret: stream.pick(far.length > 0 && stream.chance(0.5) ? far : inside) };
  }
  const limitMm = trueReliefMm(truth, LINE, frets[0], frets.at(-1)).reliefMm + stream.pick([-1, 1]) * stream.uniform(0.02, 0.06);
  return { about, line: LINE, wantedMm: stream.chance(0.5) ? { low: limitMm, high: limitMm + 0.2 } : { low: limitMm - 0.2, high: limitMm } };
}

/** What the question's number is known to, as the survey stands: give or take with its interval, or the chance that the decision is wrong. */
function openIn(survey, question) {
  if (question.about === "rod") return { open: 1 - decisionOf(survey, question).probability };
  const xMm = (fret) => fretDistanceMm(survey.neck.scaleLengthMm, fret);
  const measured = question.about === "relief" ? reliefs(survey).find(({ line }) => line === LINE)?.relief
    : survey.linear([{ of: "fretTop", line: LINE, fret: question.fret, weight: 1 }, { of: "neckLine", line: LINE, xMm: xMm(question.fret), weight: -1 }]);
  return measured === undefined ? { open: Infinity } : { open: (measured.high95 - measured.low95) / 2, low: measured.low95, high: measured.high95 };
}

function decisionOf(survey, question) {
  return decisionNow(survey, question) ?? { choice: "none", probability: 0 };
}

function trueValue(truth, question, frets) {
  return question.about === "fret" ? trueHighMm(truth, LINE, question.fret) : trueReliefMm(truth, LINE, frets[0], frets.at(-1)).reliefMm;
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
  const under = sheet.settings.find(({ path }) => path.line === LINE).readings.map(({ place }) => place.fret);
  const frets = under.filter((fret) => fret > 0 && fret <= neck.bodyJoint);
  const question = questionOf(about, truth, frets, inventedStream(seed, `${family}/${about}`, number));
  const trueMm = trueValue(truth, question, frets);
  const isCovered = ({ low, high }) => (low === undefined ? undefined : low <= trueMm && trueMm <= high);
  const gaps = (lines, some) => new Set(lines.flatMap((line) => some.map((fret) => keyOf(line, "straightedge", fret))));
  const surveyOf = (keys) => adjust(neck, partOf(sheet, keys));
  const lines = neck.lines.map(({ name }) => name);
  const three = evenly(neck, frets, 3);
  const rest = frets.filter((fret) => !three.includes(fret));
  const swept = { "frets and lines": (k) => gaps(lines, evenly(neck, frets, k)), "that line": (k) => gaps([LINE], evenly(neck, frets, k)), "fret after fret": (k) => gaps([LINE], [...three, ...rest.slice(0, k - 3)]) };
  const wanted = WANTED[about];
  const start = openIn(surveyOf(gaps([LINE], three)), question).open;
  const best = openIn(surveyOf(gaps([LINE], frets)), question).open;
  if (best > wanted || start <= wanted) return { about, out: best > wanted ? "not by every fret" : "by three", ...decidedOf({ neck, sheet, under, question, keys: gaps([LINE], three), surveyOf, wanted }) };
  const sweeps = Object.fromEntries(SWEEPS.map((name) => {
    for (let k = 3; ; k++) {
      const keys = swept[name](k);
      const found = openIn(surveyOf(keys), question);
      if (found.open <= wanted || k === frets.length) return [name, { count: keys.size, reached: found.open <= wanted, covered: isCovered(found) }];
    }
  }));
  const { advised, ...rests } = decidedOf({ neck, sheet, under, question, keys: gaps([LINE], three), surveyOf, wanted });
  return { about, sweeps, advised: { ...advised, covered: isCovered(advised) }, ...rests };
}

/** Reading on as advised until what is wanted is reached and the decision, if one is asked, is said to be decided; no farther than every fret's worth of readings. */
function decidedOf({ sheet, under, question, keys, surveyOf, wanted }) {
  const rockers = sheet.rockers.filter(({ line }) => line === LINE).map(({ frets: [, middle] }) => keyOf(LINE, "rocker", middle));
  const all = new Set([...under.map((fret) => keyOf(LINE, "straightedge", fret)), ...rockers]);
  let [advised, decided, beyond] = [undefined, undefined, 0];
  for (;;) {
    const survey = surveyOf(keys);
    const found = readNextFor(survey, question);
    const state = question.about === "rod" ? { open: 1 - found.decision.probability } : openIn(survey, question);
    const reached = state.open <= wanted;
    const isLast = keys.size >= under.length;
    if (advised === undefined && (reached || isLast)) advised = { count: keys.size, reached, ...state };
    if (decided === undefined && found.status === "decided") decided = { choice: found.decision.choice, after: keys.size };
    if (isLast || (advised !== undefined && (question.about === "relief" || decided !== undefined || found.status === "little to gain"))) break;
    const reading = found.reading ?? found.best;
    const key = reading === undefined ? undefined : keyOf(reading.line, reading.tool, reading.at.fret);
    const takeable = all.has(key) && !keys.has(key);
    if (!takeable) beyond++;
    keys.add(takeable ? key : [...all].find((one) => !keys.has(one)));
  }
  if (decided === undefined) return { advised, beyond };
  return { advised, beyond, decided: { ...decided, changed: decisionOf(surveyOf(all), question).choice !== decided.choice } };
}

export function talliedNext(all) {
  const judged = all.filter(({ out }) => out === undefined);
  const against = Object.fromEntries(SWEEPS.map((name) => [name, {
    ...ratioOf(judged.map(({ advised, sweeps }) => [advised.count, sweeps[name].count])), median: median(judged.map(({ sweeps }) => sweeps[name].count)),
    failed: judged.filter(({ sweeps }) => !sweeps[name].reached).length, covered: coveredOf(judged.map(({ sweeps }) => sweeps[name])),
  }]));
  const told = all.filter(({ decided }) => decided !== undefined);
  return {
    about: all[0]?.about, necks: all.length, judged: judged.length, byThree: all.filter(({ out }) => out === "by three").length, notByEvery: all.filter(({ out }) => out === "not by every fret").length,
    median: median(judged.map(({ advised }) => advised.count)), failed: judged.filter(({ advised }) => !advised.reached).length, covered: coveredOf(judged.map(({ advised }) => advised)), against,
    beyond: sum(all.map(({ beyond = 0 }) => beyond)), decided: { said: told.length, changed: shareOf(told.map(({ decided }) => ({ hits: decided.changed ? 1 : 0, of: 1 }))), medianAfter: median(told.map(({ decided }) => decided.after)) },
  };
}

function coveredOf(states) {
  return shareOf(states.filter(({ covered }) => covered !== undefined).map(({ covered }) => ({ hits: covered ? 1 : 0, of: 1 })));
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
const verdict = (low, high) => (low === null ? "not asked" : high <= 0.6 ? "60 % or less: holds" : low <= 0.6 ? "60 % or less: open" : "60 % or less: DOES NOT HOLD");

export function printedNext(name, tally) {
  const { about, necks, judged, byThree, notByEvery, failed, covered, against, decided, beyond } = tally;
  const intervals = ({ share, hits, of }) => (share === null ? "" : `, 95 % intervals there cover ${hits} of ${of}`);
  return [
    `\nnext reading, ${name}: ${WORDS[about]}; ${necks} necks, ${byThree} that sure from three readings, ${notByEvery} not even from every fret of the line, ${judged} judged`,
    `  as advised: median ${tally.median} readings, ${failed} do not get there${intervals(covered)}${beyond > 0 ? `; ${beyond} readings advised that could not be taken` : ""}`,
    ...Object.entries(against).map(([sweep, { ratio, low, high, median: middle, failed: lost, covered: sweptCovered }]) =>
      `  against an even sweep, ${sweep}: ${percent(ratio)} of its readings (${percent(low)} to ${percent(high)}; ${verdict(low, high)}); median ${middle}, ${lost} do not get there${intervals(sweptCovered)}`),
    ...(decided.said === 0 ? [] : [`  said to be decided on ${decided.said} necks, after ${decided.medianAfter} readings (median); all readings of the line decide otherwise on ${decided.changed.hits} (${percent(decided.changed.share)}, up to ${percent(decided.changed.high)})`]),
  ].join("\n");
}
