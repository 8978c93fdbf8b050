import { fretsWords } from "../../frets/lists.js";
import { fretReport } from "../../frets/report.js";
import { fretDistanceMm } from "../../neck/frets.js";
import { limitsOf, type Limits } from "../../neck/limits.js";
import { stringsState } from "../../readings/stringsState.js";
import { reliefs } from "../../shape/relief.js";
import { tongues } from "../../shape/tongue.js";
import { twistOfNeck } from "../../shape/twist.js";
import { normalCdf } from "../../survey/likelihood/normal.js";
import type { Survey } from "../../survey/survey.js";
import type { Measured } from "../../units/measured.js";
import { bowWords, lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { crownHeights } from "../levelPlan/crowns.js";
import type { RodTest } from "../rod/rodTest.js";
import { stateOf, sureWords, type ShipCheck, type ShipState } from "./judged.js";

/** What is known beside the survey. */
export type KnownBeside = {
  /** Relief under strings as predicted (by the bow model, say), positive forward bow, where the neck was not read strung. */
  readonly underStrings?: Measured;
  /** A rod test, or what one said. */
  readonly rod?: { readonly state: ShipState; readonly why: string } | Pick<RodTest, "verdict" | "describe">;
};

/** All limits of the shop against one neck, in the order in which a builder asks. */
export function shipChecks(survey: Survey, beside: KnownBeside, order: UnitOrder): readonly ShipCheck[] {
  const limits = limitsOf(survey.neck);
  return [underStrings(survey, limits, beside, order), asItLies(survey, limits, order), frets(survey, limits, order), fallAway(survey, limits, order), crowns(survey, limits, order), twist(survey, limits, order), rod(survey, beside)].filter((check) => check !== undefined);
}

/** Probability that a normal value lies between two limits. */
function between({ value, u }: Measured, low: number, high: number): number {
  if (u === 0) return value >= low && value <= high ? 1 : 0;
  return normalCdf((high - value) / u) - normalCdf((low - value) / u);
}

function judged(what: string, wanted: string, found: string, probability: number, next?: string): ShipCheck {
  const state = stateOf(probability);
  return { what, state, wanted, found, reason: sureWords(probability), probability, ...(state === "pass" || next === undefined ? {} : { next }) };
}

function unknown(what: string, wanted: string, reason: string, next: string): ShipCheck {
  return { what, state: "not sure", wanted, found: "not known", reason, next };
}

function reliefText(relief: Measured, order: UnitOrder): string {
  const size = relief.value < 0 ? { ...relief, value: -relief.value, low95: -relief.high95, high95: -relief.low95 } : relief;
  return `${bowWords(relief.value)}, ${measuredWords(size, order)}`;
}

/** The line on which a limit is least surely kept speaks for the neck. */
function worstRelief(survey: Survey, low: number, high: number): { readonly line: string; readonly relief: Measured; readonly probability: number } | undefined {
  const all = reliefs(survey).flatMap((relief) => (relief.status === "determined" ? [{ line: relief.line, relief: relief.relief, probability: between(relief.relief, low, high) }] : []));
  return all.sort((a, b) => a.probability - b.probability)[0];
}

function underStrings(survey: Survey, limits: Limits, { underStrings: predicted }: KnownBeside, order: UnitOrder): ShipCheck {
  const what = "relief under strings";
  const wanted = `forward bow (middle low), ${lengthWords(limits.reliefMinMm, order)} to ${lengthWords(limits.reliefMaxMm, order)}`;
  const next = "string it up to pitch, let it settle, and read the relief; or adjust the rod";
  const { strings } = survey.sheet.state;
  const state = stringsState(strings);
  if (state === "on") {
    const worst = worstRelief(survey, limits.reliefMinMm, limits.reliefMaxMm);
    return worst === undefined ? unknown(what, wanted, "the relief is not determined by these readings", "read a gap midway under an edge on fret 1 and the body joint") : judged(what, wanted, `${worst.line}: ${reliefText(worst.relief, order)}`, worst.probability, next);
  }
  if (predicted === undefined) return unknown(what, wanted, state === "off" ? "it was read with the strings off" : `whether the strings were on when it was read is not clear ("${strings ?? ""}")`, "string it up to pitch and read it, or let the bow model predict it");
  return judged(what, wanted, `predicted, not read: ${reliefText(predicted, order)}`, between(predicted, limits.reliefMinMm, limits.reliefMaxMm), next);
}

function asItLies(survey: Survey, limits: Limits, order: UnitOrder): ShipCheck | undefined {
  if (stringsState(survey.sheet.state.strings) !== "off") return undefined;
  const what = "straightness as it lies, strings off";
  const wanted = `at most ${lengthWords(limits.reliefMaxMm, order)} of bow either way`;
  const worst = worstRelief(survey, -limits.reliefMaxMm, limits.reliefMaxMm);
  if (worst === undefined) return unknown(what, wanted, "the relief is not determined by these readings", "lay an edge on fret 1 and the body joint and read one gap midway");
  return judged(what, wanted, `${worst.line}: ${reliefText(worst.relief, order)}`, worst.probability, "adjust the rod, a quarter turn at most at a time, and read again");
}

const DRAWS = 1000;
const SEED = 17;

function frets(survey: Survey, limits: Limits, order: UnitOrder): ShipCheck {
  const what = "single frets";
  const wanted = `every fret under ${lengthWords(limits.highMm, order)} over the neck line`;
  const report = fretReport(survey);
  const places = report.frets.flatMap(({ lines }) => lines);
  if (places.length === 0) return unknown(what, wanted, "no fret tops were read", "rock a short edge over every three frets on every line");
  const forms = places.map(({ fret, line }) => [{ of: "fretTop", line, fret, weight: 1 }, { of: "neckLine", line, xMm: fretDistanceMm(survey.neck.scaleLengthMm, fret), weight: -1 }] as const);
  const probability = survey.draws(forms, DRAWS, SEED).filter((draw) => draw.every((mm) => mm <= limits.highMm)).length / DRAWS;
  const worst = report.frets.reduce((most, one) => (one.probabilityOver > most.probabilityOver ? one : most));
  const unread = report.unread.length === 0 ? "" : `; not read: ${report.unread.map((one) => `${fretsWords(one.frets)} on ${one.line}`).join(", ")}`;
  return judged(what, wanted, `least sure: fret ${worst.fret}, ${measuredWords(worst.high, order)} over the neck line${unread}`, probability, `fret ${worst.fret}: rock over it and look under its crown, then decide whether to seat or level`);
}

/** Judged only where the shop states what fall-away it wants: a tongue that rises with the neck's bow is told with the shape. */
function fallAway(survey: Survey, limits: Limits, order: UnitOrder): ShipCheck | undefined {
  if (survey.neck.limits?.fallAwayMm === undefined) return undefined;
  const what = "fall-away";
  const wanted = `${lengthWords(limits.fallAwayMm, order)} at the last fret, within ${lengthWords(limits.highMm, order)}`;
  const read = tongues(survey).flatMap((one) => (one.status === "undetermined" ? [] : [{ ...one, probability: between(one.fall, limits.fallAwayMm - limits.highMm, limits.fallAwayMm + limits.highMm) }]));
  const [worst] = read.sort((a, b) => a.probability - b.probability);
  if (worst === undefined) return unknown(what, wanted, "the neck was not read past the body joint", "read gaps up to the last fret under an edge that also reads frets before the joint");
  const size = worst.fall.value < 0 ? { ...worst.fall, value: -worst.fall.value, low95: -worst.fall.high95, high95: -worst.fall.low95 } : worst.fall;
  return judged(what, wanted, `${worst.line}: ${worst.fall.value < 0 ? "rises" : "falls away"} ${measuredWords(size, order)}`, worst.probability, "read it again, then file the fall-away with the beam on tape");
}

function crowns(survey: Survey, limits: Limits, order: UnitOrder): ShipCheck {
  const what = "crowns";
  const wanted = `every crown ${lengthWords(limits.crownMinMm, order)} or more`;
  const tops = survey.heights.flatMap(({ line, place, surface }) => (surface === "fretTops" && place.fret !== undefined ? [{ line, fret: place.fret }] : []));
  const known = crownHeights(survey.neck, [survey.sheet], tops);
  if (known.status === "unknown" || tops.length === 0) return unknown(what, wanted, "the crowns were not measured", known.status === "unknown" ? known.need : "read the frets first");
  const probability = known.crowns.reduce((least, { heightMm, uMm }) => Math.min(least, between({ value: heightMm, u: uMm, unit: "mm", low95: 0, high95: 0 }, limits.crownMinMm, Infinity)), 1);
  const lowest = known.crowns.reduce((least, one) => (one.heightMm < least.heightMm ? one : least));
  const found = lowest.from === "wire as stated" ? `the wire as stated, ${lengthWords(lowest.heightMm, order)}; not measured` : `least at fret ${lowest.fret}, ${lowest.line}: ${lengthWords(lowest.heightMm, order)}`;
  return judged(what, wanted, found, probability, `measure fret ${lowest.fret} again; a fret that is too low is pulled and replaced`);
}

function twist(survey: Survey, limits: Limits, order: UnitOrder): ShipCheck {
  const what = "twist";
  const wanted = `at most ${lengthWords(limits.twistMaxMm, order)} from edge to edge over the length`;
  const found = twistOfNeck(survey);
  if (found.status === "undetermined") return unknown(what, wanted, "readings along the neck see no twist", found.need);
  return judged(what, wanted, measuredWords({ ...found.twist, value: Math.abs(found.twist.value) }, order), between(found.twist, -limits.twistMaxMm, limits.twistMaxMm), "sight it again over two bars before you act on it");
}

function rod({ neck }: Survey, { rod: tested }: KnownBeside): ShipCheck {
  const what = "rod";
  const wanted = neck.rod?.works === "one way" ? "pulls toward back bow (middle high) and lets go again" : "moves the neck both ways and comes back";
  if (neck.rod?.works === "none") return { what, state: "pass", wanted: "no rod in this neck", found: "no rod", reason: "nothing to adjust: its relief is what it is" };
  if (tested === undefined) return unknown(what, wanted, "no rod test was made", "test the rod: a quarter turn each way at most, wait, read, and back");
  const { state, why } = "verdict" in tested ? { state: tested.verdict, why: tested.describe().split("\n")[0] ?? "" } : tested;
  return { what, state, wanted, found: state === "not sure" ? "tested, not clear" : "tested", reason: why, ...(state === "pass" ? {} : { next: "test the rod again, or have it looked at before the neck goes out" }) };
}
