import { REFIT_CAUTION } from "../../frets/cautions.js";
import { fretsWords } from "../../frets/lists.js";
import { isTelling } from "./firstTouched.js";
import { lengthWords, type UnitOrder } from "../../units/words.js";
import { tapeFor } from "./fallAway.js";
import type { LevelPlan } from "./levelPlan.js";
import type { Levelling } from "./levelling.js";
import { crownWords, wireOnly } from "./crownWords.js";
import { isNothingToLevel, NOTHING_HEADLINE, nothingWhy } from "./nothingToLevel.js";
import { isNoStart, noStartHeadline, noStartWhy } from "./noStart.js";
import { rodBackSentence, rodStep, SEEN_MM } from "./rodStep.js";
import { isSeatingDay, LATER, seatHeadline, seatSentences } from "./seatWords.js";
import { deepestCutMm, inkOnlyWords, stopRule } from "./stopRule.js";
import type { Sufficiency } from "./sufficiency.js";
import type { WorkingStep } from "./workingStep.js";

/** A crown to measure before and after. `why`: a guide shows how far the beam has come down, a tight one must not get lower than the limit. */
export type CrownToMeasure = { readonly fret: number; readonly line: string; readonly why: "guide" | "tight"; readonly nowMm: number; readonly removeMm: number; readonly afterMm: number };

/** All that the bench needs of a levelling. */
export type WorkingSteps = {
  readonly headline: string;
  readonly steps: readonly WorkingStep[];
  readonly crowns: readonly CrownToMeasure[];
  readonly howSure: readonly string[];
  readonly cautions: readonly string[];
};

/** Common practice, no source. */
const CAUTIONS = {
  file: [
    "Metal dust: mask the board and any pickups, vacuum and do not blow, keep it out of lungs and eyes; a mask that fits.",
    "Fret ends are sharp and fly when cut or filed: eye protection, and mind your hands.",
  ],
  seat: ["Before you tap: strings off, the neck supported right under the fret, eyes covered; a tapped fret end or a chip can fly."],
  rod: ["Rod: never more than a quarter turn at a time, wait, read again; stop when it gets stiff fast or creaks; never seek its end stop."],
  last: ["What the makers of rod, tools and materials say comes first, then local rules and qualified practice."],
} as const;

/** What can hurt at levelling itself; at the rod only where it is to be turned, at refitting only where it is named. */
function levelCautions({ survey: { neck } }: Levelling, plan: LevelPlan): readonly string[] {
  const isTurned = neck.rod?.works !== "none" && Math.abs(plan.reliefChangeMm) >= SEEN_MM;
  return [...CAUTIONS.file, ...(plan.leftOut === undefined ? [] : [REFIT_CAUTION]), ...(isTurned ? CAUTIONS.rod : []), ...CAUTIONS.last];
}

/** The working steps of a plan, in the order of the bench. */
export function workingSteps(posed: Levelling, plan: LevelPlan, sure: Sufficiency, order: UnitOrder = "mm first"): WorkingSteps {
  if (isNothingToLevel(posed, plan)) return { headline: NOTHING_HEADLINE, steps: [], crowns: [], howSure: [...nothingWhy(posed, plan, sure, order), ...surer(posed)], cautions: [] };
  if (isNoStart(sure)) return { headline: noStartHeadline(posed, sure), steps: [], crowns: [], howSure: [...noStartWhy(posed, sure, order), ...surer(posed)], cautions: posed.survey.neck.rod?.works === "none" ? [] : [...CAUTIONS.rod, ...CAUTIONS.last] };
  if (isSeatingDay(posed, plan)) return { headline: seatHeadline(posed, plan), steps: [{ heading: "Today", sentences: seatSentences(posed, plan) }], crowns: [], howSure: [LATER], cautions: [...CAUTIONS.seat, ...CAUTIONS.last] };
  const all = [before(posed, plan), lowFret(plan), rodStep(posed, plan, order), touching(posed, plan, sure, order), taping(posed, order), stopping(posed, plan, sure, order), after(posed, plan, order)];
  return { headline: headline(posed, plan, order), steps: all.filter((step) => step !== undefined), crowns: crownsToMeasure(posed, plan, sure), howSure: howSure(posed, plan, sure, order), cautions: levelCautions(posed, plan) };
}

function headline({ before: first }: Levelling, plan: LevelPlan, order: UnitOrder): string {
  const most = plan.removals.reduce((best, one) => (one.removeMm > best.removeMm ? one : best));
  return `${first.length === 0 ? "Level" : "Read first what is open, then level"}: at most ${lengthWords(most.removeMm, order)} off, at fret ${most.fret}, ${most.line}.${withoutLow(plan, order)}`;
}

/** What a low fret costs the others, where it decides: whoever files down to it should know first. */
function withoutLow({ leftOut, mostMm }: LevelPlan, order: UnitOrder): string {
  if (leftOut === undefined || leftOut.mostMm > mostMm - SEEN_MM) return "";
  return ` Decide about fret ${leftOut.fret} first, it is low: left out or refitted, ${leftOut.mostMm < SEEN_MM ? "there is nothing to level" : `at most ${lengthWords(leftOut.mostMm, order)} comes off`}.`;
}

function before({ before: first }: Levelling, plan: LevelPlan): WorkingStep {
  const rod = Math.abs(plan.reliefChangeMm) < SEEN_MM ? "" : "set the rod, ";
  return { heading: "Before you start", sentences: [...first, `Strings off, board masked, neck supported as it was read. In this order: ${rod}check the relief, level.`] };
}

function lowFret({ leftOut }: LevelPlan): WorkingStep | undefined {
  return leftOut === undefined ? undefined : { heading: `Fret ${leftOut.fret} is low: decide first`, sentences: ["File down to it as planned, or leave it low or refit it: what each comes to stands with the plan. Left or refitted, plan anew."] };
}

function touching({ beam }: Levelling, plan: LevelPlan, sure: Sufficiency, order: UnitOrder): WorkingStep {
  const lines = sure.first.filter(({ frets }) => frets.length > 0).map((first) => (isTelling(first) ? `${first.line}: ${fretsWords(first.frets)}` : `${first.line}: no fret stands out, likeliest ${fretsWords(first.pair)}`));
  const tool = beam === "straight" ? "Lay the straight beam along each line in turn" : "Set the radiused block on the board, along its middle line";
  const seated = plan.reseat.length === 0 ? "" : " with the seated frets home";
  return { heading: "Touches first", sentences: [`Ink all tops. ${tool}${seated}. It should bear first on: ${lines.join("; ")}.`, `${sure.first.some(isTelling) ? "If it bears on others where frets are named: stop and measure. " : ""}File toward even ink, ${lengthWords(0.01, order)} at a time.`] };
}

function taping({ survey, limits }: Levelling, order: UnitOrder): WorkingStep | undefined {
  const tape = tapeFor(survey.neck, limits.fallAwayMm);
  if (tape === undefined) return undefined;
  return { heading: "Fall-away", sentences: [`Last of all: tape ${lengthWords(tape.thicknessMm, order)} thick over fret ${tape.fret} (measure your tape), protect the frets up to ${tape.fromFret}, and let the beam ride on the tape: it files frets after ${tape.fromFret} down to ${lengthWords(limits.fallAwayMm, order)} at the last.`] };
}

function stopping(posed: Levelling, plan: LevelPlan, sure: Sufficiency, order: UnitOrder): WorkingStep {
  const { problem } = posed;
  const others = sure.tight.slice(IN_TABLE).map((index) => `${problem.tops[index]?.fret ?? ""} ${problem.tops[index]?.line ?? ""}`);
  const watch = others.length === 0 ? [] : [`Watch these crowns too: ${others.join(", ")}.`];
  return { heading: "When to stop", sentences: [...stopRule(posed, plan, sure, order), inkOnlyWords(sure), ...watch].filter((one) => one !== "") };
}

function after(posed: Levelling, plan: LevelPlan, order: UnitOrder): WorkingStep {
  return { heading: "After", sentences: [`Re-crown every filed fret, leaving a hairline of the level top, dress the ends, polish. Measure the crowns below again: none under ${lengthWords(posed.limits.crownMinMm, order)}.`, "Rock over every three frets on every line: still everywhere.", rodBackSentence(posed, plan), "Let the neck settle and read it again before stringing."] };
}

function howSure(posed: Levelling, plan: LevelPlan, sure: Sufficiency, order: UnitOrder): readonly string[] {
  const most = deepestCutMm(plan, sure);
  const unsure = sure.allowanceMm < SEEN_MM / 2 ? "" : `, up to ${lengthWords(most + sure.allowanceMm, order)} where the readings are unsure`;
  return [`Cut to expect at the ${sure.guides.some(({ canGauge }) => canGauge) ? "guide frets" : posed.limits.fallAwayMm === 0 ? "deepest cut" : "deepest cut before the fall-away"}: ${lengthWords(most, order)}${unsure}. That is enough 19 times in 20. ${crownWords(posed, sure, order)}`, ...(wireOnly(posed) === undefined ? [posed.crownsSaid] : []), ...surer(posed)];
}

/** What to read or measure so that the plan becomes surer. */
function surer({ survey, problem }: Levelling): readonly string[] {
  const unread = problem.tops.filter((top) => !survey.heights.some(({ line, place }) => line === top.line && place.fret === top.fret)).length;
  return unread === 0 ? [] : [`To be surer, read every fret under the edge: ${unread} of ${problem.tops.length} tops were taken from their neighbours.`];
}

/** A crown that keeps this much more than its least height, and the allowance, needs no watching, mm (common practice, no source). */
const NEAR_MM = 0.1;

/** So many thin crowns stand in the table; the others are named where it says when to stop. */
export const IN_TABLE = 3;

function crownsToMeasure({ problem, crowns }: Levelling, plan: LevelPlan, sure: Sufficiency): readonly CrownToMeasure[] {
  const row = (index: number, why: CrownToMeasure["why"]): CrownToMeasure | undefined => {
    const [top, removal] = [problem.tops[index], plan.removals[index]];
    if (top === undefined || removal === undefined) return undefined;
    const nowMm = crowns[index]?.heightMm ?? NaN;
    return { fret: top.fret, line: top.line, why, nowMm, removeMm: removal.removeMm, afterMm: nowMm - removal.removeMm };
  };
  const guides = sure.guides.flatMap(({ tops, canGauge }) => (canGauge ? tops : []));
  const leftMm = (index: number): number => (problem.tops[index]?.spareMm ?? 0) - (plan.removals[index]?.removeMm ?? 0);
  const isNear = (index: number): boolean => leftMm(index) < NEAR_MM + sure.allowanceMm && (plan.removals[index]?.removeMm ?? 0) > 0;
  const tight = sure.tight.slice(0, IN_TABLE).filter((index) => !guides.includes(index) && isNear(index));
  return [...guides.map((index) => row(index, "guide")), ...tight.map((index) => row(index, "tight"))].filter((one) => one !== undefined);
}
