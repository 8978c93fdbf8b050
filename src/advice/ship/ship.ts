import { joined } from "../../frets/lists.js";
import { capital } from "../../units/text.js";
import { assumedOf, limitsOf } from "../../neck/limits.js";
import { fretStages } from "../../readings/fretStages.js";
import type { Survey } from "../../survey/survey.js";
import type { UnitOrder } from "../../units/words.js";
import { sureWords } from "../advice.js";
import { shipChecks, type KnownBeside } from "./checks.js";
import { SURE, type ShipCheck, type ShipState } from "./judged.js";

/** Work that is done on a neck before it goes out, in its order. */
export const STAGES = ["seated and checked", "levelled", "crowned and ends dressed", "set up"] as const;

/** One of the stages of work. */
export type Stage = (typeof STAGES)[number];

/** What is known of a neck that goes out, beside its survey. */
export type ShipAbout = KnownBeside & {
  /** What was done; if absent it is taken from the state of the frets in the readings. */
  readonly done?: readonly Stage[];
  /** Strings that were assumed or are on it, in the builder's words: `10 to 46, 25.5 in, E standard`. */
  readonly stringsAssumed?: string;
  /** Where the rod stands, if not as the readings say. */
  readonly rodPosition?: string;
};

/** Whether a neck may go out, limit by limit, and what goes with it. */
export type ShipReport = {
  readonly survey: Survey;
  readonly state: ShipState;
  readonly checks: readonly ShipCheck[];
  /** At least this probable is that all limits are kept together, given the readings; absent where one of them is not known. */
  readonly atLeast?: number;
  readonly done: readonly Stage[];
  readonly notDone: readonly Stage[];
  /** Rod, wrench, air, date, strings: what the next hand needs to know, sentence by sentence. */
  readonly facts: readonly string[];
  /** What was not done and what to do before anything else. */
  readonly before: readonly string[];
  readonly howSure: readonly string[];
  readonly assumed: readonly string[];
  /** What to do, in one sentence. */
  readonly headline: string;
  readonly cautions: readonly string[];
  readonly describe: () => string;
};

/** Common practice, no source. */
const CAUTIONS = [
  "Rod: never more than a quarter turn at a time, wait, read again; stop when it gets stiff fast or creaks. What the rod's maker says comes first, then local rules and qualified practice.",
  "Strings under tension whip when they break: let them down before work on nut or rod, and protect your eyes. Fret ends may be sharp.",
] as const;

/**
 * Every limit of the shop against a surveyed neck: pass, fail or not sure, each with its reason, and what the neck card says.
 * Sure is 19 times in 20. A neck passes when every limit does and all of them together do; it fails when one does.
 * @param order which unit stands first in the words
 */
export function shipReport(survey: Survey, about: ShipAbout = {}, order: UnitOrder = "mm first"): ShipReport {
  const { checks, atLeast } = shipChecks(survey, about, order);
  const state = checks.some((check) => check.state === "fail") ? "fail" : checks.every((check) => check.state === "pass") && (atLeast ?? 0) >= SURE ? "pass" : "not sure";
  const done = about.done ?? doneBy(survey.sheet.state.fretState);
  const notDone = STAGES.filter((stage) => !done.includes(stage));
  const parts = { checks, state, done, notDone, facts: facts(survey, about), before: before(notDone), howSure: howSure(survey, checks, atLeast), assumed: [...(about.done === undefined ? [`done: taken from the readings ("${survey.sheet.state.fretState ?? "not stated"}")`] : []), ...(about.rod !== undefined && "state" in about.rod ? [`rod: ${about.rod.state}, as stated ("${about.rod.why}")`] : []), ...assumedOf(limitsOf(survey.neck), JUDGED)], headline: headline(state, checks, atLeast), cautions: CAUTIONS } as const;
  return { survey, ...(atLeast === undefined ? {} : { atLeast }), ...parts, describe: () => [parts.headline, ...checks.map(checkWords), ...parts.before, ...parts.facts, ...parts.howSure].join("\n") };
}

/** Limits by which a finished neck is judged. */
const JUDGED = ["reliefMinMm", "reliefMaxMm", "bareBowMaxMm", "fretHighMm", "crownMinMm", "twistMaxMm", "fallAwayMm"] as const;

/** `Relief under strings: not sure. Wanted …; found …; it was read with the strings off. Next: …` */
function checkWords({ what, state, wanted, found, reason, next }: ShipCheck): string {
  return `${capital(what)}: ${state}. Wanted: ${wanted}; found: ${found}; ${reason}.${next === undefined ? "" : ` Next: ${next}.`}`;
}

/** What the state of the frets says was done; what stands later says that what comes before it was done too, unless the words deny it or leave it unclear. @example equal(doneBy("seated, not levelled"), ["seated and checked"]); */
export function doneBy(fretState: string | undefined): readonly Stage[] {
  const { seated, levelled, crowned, endsDressed, setUp } = fretStages(fretState);
  const ends = endsDressed === "not said" ? crowned : endsDressed;
  const said = [seated, levelled, crowned === "done" ? ends : crowned, setUp];
  const reached = said.lastIndexOf("done") + 1;
  return STAGES.filter((_, stage) => stage < reached && (said[stage] === "done" || said[stage] === "not said"));
}

function headline(state: ShipState, checks: readonly ShipCheck[], atLeast: number | undefined): string {
  const named = (wanted: ShipState): string => joined(checks.filter((check) => check.state === wanted).map(({ what }) => what));
  if (state === "pass") return "It may go out: every limit of the shop is kept, almost surely.";
  if (state === "fail") return `Do not send it yet. Not kept: ${named("fail")}.`;
  const open = checks.filter((check) => check.state === "not sure");
  if (open.length === 0) return `Not sure yet: each limit by itself is kept almost surely, but not all of them together (${sureWords(atLeast ?? 0)}). Read again where it is least sure: ${leastSure(checks)}.`;
  return `Not sure yet: ${named("not sure")}. Nothing fails; ${open.length === 1 ? "one reading or step" : `${open.length} readings or steps`} would settle it.`;
}

function leastSure(checks: readonly ShipCheck[]): string {
  const [first] = [...checks].sort((a, b) => (a.probability ?? 1) - (b.probability ?? 1));
  return first?.what ?? "";
}

function facts({ neck, sheet }: Survey, about: ShipAbout): readonly string[] {
  const { rod, state, date } = { ...sheet, rod: neck.rod };
  const position = about.rodPosition ?? state.rod;
  const way = rod?.moreRelief === undefined ? "which way gives more relief was not stated: try an eighth of a turn toward where it turns easily, anticlockwise first" : `${rod.moreRelief} (seen from the wrench's end) gives more relief, toward forward bow (middle low)`;
  const rodWords = rod?.works === "none" ? "No rod." : `Rod: ${position ?? "position not stated"}${rod?.works === undefined ? "" : `, works ${rod.works}`}; wrench: ${rod?.wrench ?? "not stated"}; ${way}.`;
  const air = [state.humidityPercent === undefined ? "humidity not stated" : `${state.humidityPercent} % humidity`, state.temperatureC === undefined ? "" : `${state.temperatureC} °C`].filter((one) => one !== "").join(", ");
  const strings = about.stringsAssumed ?? (state.strings === undefined ? "not stated" : `${state.strings} when read`);
  return [rodWords, `Read ${date === "" ? "on a day not stated" : `on ${date}`}, ${air}, ${state.support ?? "support not stated"}.`, `Strings: ${strings}.`];
}

function before(notDone: readonly Stage[]): readonly string[] {
  const left = notDone.length === 0 ? "Everything on the list was done." : `Not done: ${joined(notDone)}.`;
  return [left, notDone.includes("levelled") ? "Let it settle where it will be played, then re-check the frets and the rod before levelling." : "Let it settle where it will be played, then re-check frets and rod before any work on them."];
}

function howSure(survey: Survey, checks: readonly ShipCheck[], atLeast: number | undefined): readonly string[] {
  const count = survey.sheet.settings.reduce((sum, setting) => sum + setting.readings.length, survey.sheet.rockers.length);
  const unsure = checks.filter((check) => check.state === "not sure").length;
  return [`Pass and fail are said where the readings leave no more than one chance in 20 of the other; ${count} readings were taken. ${unsure === 0 ? "Nothing is left open." : `${unsure} of ${checks.length} limits are left open, and say what would settle them.`}`, ...(atLeast === undefined ? [] : [`That every limit is kept: ${sureWords(atLeast)}, counting all of them together.`])];
}
