/**
 * Whether asking for the next reading pays: from three readings on the centre line (frets 1, mid-way, body joint), readings are added one by one until the asked number
 * is as sure as wanted, once as `readNextFor` advises, once by an even sweep, whose passes are each twice as dense as the one before. Both are asked after every single reading
 * whether it is enough, draw on the same readings of the same neck, and the limit is three tenths above what all of them together would reach. A neck that does not reach it either way counts with all
 * that was taken.
 */
import { readNextFor } from "../../dist/shape/readNext.js";
import { adjust } from "../../dist/survey/adjust.js";
import { reliefs } from "../../dist/shape/relief.js";
import { fretDistanceMm } from "../../dist/neck/frets.js";
import { madeNeck } from "./one-neck.mjs";
import { median, sum } from "./statistics.mjs";

const LINE = "centre";
/** All that can be read on the line: every fret under one setting of the edge, then the rocker over every middle fret. */
const PLAN = { frets: "every", settingsPerLine: 1, rocker: true, leafUnderMiddle: false, missingShare: 0, lines: [LINE] };
/** Wanted is this much above what all readings reach: nobody takes all for the last hundredth. */
const ABOVE = 1.3;
const MOST = 44;

/** The readings of a sheet by name, so that parts of it can be taken. */
function pool(sheet) {
  const gaps = sheet.settings.flatMap((setting) => setting.readings.map((reading) => ({ key: `gap ${reading.place.fret}`, fret: reading.place.fret, setting, reading })));
  return { gaps, rockers: sheet.rockers.map((rocker) => ({ key: `rock ${rocker.frets[1]}`, fret: rocker.frets[1], rocker })) };
}

/** The edge lies from fret 1 to the body joint: what can be read under it, and rocked there. */
function withinReach({ gaps, rockers }, joint) {
  return { gaps: gaps.filter(({ fret }) => fret > 0 && fret <= joint), rockers: rockers.filter(({ fret }) => fret > 1 && fret < joint) };
}

function partOf(sheet, keys) {
  const settings = sheet.settings.map((setting) => ({ ...setting, readings: setting.readings.filter((reading) => keys.has(`gap ${reading.place.fret}`)) })).filter(({ readings }) => readings.length > 0);
  return { ...sheet, settings, rockers: sheet.rockers.filter((rocker) => keys.has(`rock ${rocker.frets[1]}`)) };
}

/** The passes of an even sweep: each reads the fret midway in every stretch that is still unread; when all gaps are read the rocker goes over every fret. */
function evenPasses(gaps, rockers, start) {
  const frets = gaps.map(({ fret }) => fret).sort((a, b) => a - b);
  const read = start.map((key) => Number(key.split(" ")[1])).sort((a, b) => a - b);
  const passes = [];
  for (let left = frets.filter((fret) => !read.includes(fret)); left.length > 0; left = frets.filter((fret) => !read.includes(fret))) {
    const middles = read.slice(1).flatMap((to, at) => {
      const between = left.filter((fret) => fret > read[at] && fret < to);
      return between.length === 0 ? [] : [between[Math.floor((between.length - 1) / 2)]];
    });
    const pass = middles.length === 0 ? left : middles;
    read.push(...pass);
    read.sort((a, b) => a - b);
    passes.push(pass.map((fret) => `gap ${fret}`));
  }
  return [...passes, rockers.map(({ key }) => key)];
}

function uncertainty(survey, question) {
  if (question.about === "relief") return reliefs(survey).find(({ line }) => line === LINE)?.relief?.u ?? Infinity;
  const xMm = fretDistanceMm(survey.neck.scaleLengthMm, question.fret);
  return survey.linear([{ of: "fretTop", line: LINE, fret: question.fret, weight: 1 }, { of: "neckLine", line: LINE, xMm, weight: -1 }]).u;
}

/** Readings taken until the number is sure enough, the start not counted; `next` gives the readings to take before it is asked again. */
function readingsUntil(neck, sheet, start, wantedMm, question, next) {
  const keys = new Set(start);
  const taken = () => keys.size - start.length;
  while (taken() < MOST) {
    const survey = adjust(neck, partOf(sheet, keys));
    if (uncertainty(survey, question) <= wantedMm) return { taken: taken(), reached: true };
    const more = next(survey, keys).filter((key) => !keys.has(key));
    if (more.length === 0) return { taken: taken(), reached: false };
    for (const key of more) keys.add(key);
  }
  return { taken: taken(), reached: false };
}

export function judgedNext(seed, family, number, about) {
  const { truth, sheet } = madeNeck(seed, family, number, { plan: PLAN });
  const { neck } = truth;
  const { gaps, rockers } = withinReach(pool(sheet), neck.bodyJoint);
  const frets = gaps.map(({ fret }) => fret);
  const joint = Math.max(...frets);
  const middle = frets.reduce((best, fret) => (Math.abs(fret - 7) < Math.abs(best - 7) ? fret : best), frets[0]);
  const first = Math.min(...frets.filter((fret) => fret > 0));
  const start = [...new Set([first, middle, joint])].map((fret) => `gap ${fret}`);
  const question = about === "relief" ? { about, line: LINE } : { about: "fret", line: LINE, fret: 5 };
  const all = [...gaps, ...rockers].map(({ key }) => key);
  const wantedMm = ABOVE * uncertainty(adjust(neck, partOf(sheet, new Set(all))), question);
  const evenly = evenPasses(gaps, rockers, start).flat();
  const sweep = readingsUntil(neck, sheet, start, wantedMm, question, () => evenly.splice(0, 1));
  const advised = readingsUntil(neck, sheet, start, wantedMm, question, (survey, keys) => [advisedKey(survey, keys, question, all)].filter((key) => key !== undefined));
  return { advised, sweep };
}

/** What is advised; where no single reading gains much, the one that still gains most. */
function advisedKey(survey, keys, question, all) {
  const found = readNextFor(survey, question);
  const reading = found.reading ?? found.best;
  const key = reading === undefined ? undefined : `${reading.tool === "rocker" ? "rock" : "gap"} ${reading.at.fret}`;
  return key !== undefined && all.includes(key) && !keys.has(key) ? key : all.find((one) => !keys.has(one));
}

export function talliedNext(all) {
  const count = (of) => sum(all.map((neck) => neck[of].taken));
  const failed = (isFailed) => all.filter(isFailed).length;
  const fewer = { advised: all.filter(({ advised, sweep }) => advised.taken < sweep.taken).length, sweep: all.filter(({ advised, sweep }) => advised.taken > sweep.taken).length };
  return {
    necks: all.length, fewer, failed: { advised: failed(({ advised }) => !advised.reached), sweep: failed(({ sweep }) => !sweep.reached) },
    advised: count("advised"), sweep: count("sweep"), share: count("advised") / Math.max(1, count("sweep")), medianAdvised: median(all.map(({ advised }) => advised.taken)), medianSweep: median(all.map(({ sweep }) => sweep.taken)),
  };
}

export function printedNext(name, tally) {
  return `\nnext reading, ${name}: of ${tally.necks} necks ${tally.failed.advised} do not reach what is wanted as advised, ${tally.failed.sweep} not by an even sweep; readings as advised ${tally.advised}, by the sweep ${tally.sweep}: ${(100 * tally.share).toFixed(0)} % (60 % or less: ${tally.share <= 0.6 ? "holds" : "DOES NOT HOLD"}); median ${tally.medianAdvised} against ${tally.medianSweep}; fewer as advised on ${tally.fewer.advised}, by the sweep on ${tally.fewer.sweep}`;
}
