import { percent } from "../../frets/fretWords.js";
import { fretsWords } from "../../frets/lists.js";
import { isTelling } from "./firstTouched.js";
import { capital } from "../../units/text.js";
import { lengthWords, smallWords, type UnitOrder } from "../../units/words.js";
import { tapeFor } from "./fallAway.js";
import type { LevelPlan } from "./levelPlan.js";
import type { Levelling } from "./levelling.js";
import { leftOutWords } from "./planWords.js";
import { reseatable } from "./problem.js";
import { rodBackSentence, rodStep, SEEN_MM } from "./rodStep.js";
import { seatFirstWords, seatSentences } from "./seatWords.js";
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
const CAUTIONS = [
  "Metal dust: mask the board and any pickups, vacuum and do not blow, keep it out of lungs and eyes; a mask that fits.",
  "Fret ends are sharp and fly when cut or filed: eye protection, and mind your hands.",
  "Rod: never more than a quarter turn at a time, wait, read again; stop when it gets stiff fast or creaks; never seek its end stop. What the rod's maker says comes first, then local rules and qualified practice.",
] as const;

/** The working steps of a plan, in the order of the bench. */
export function workingSteps(posed: Levelling, plan: LevelPlan, sure: Sufficiency, order: UnitOrder = "mm first"): WorkingSteps {
  const all = [before(posed, plan), seating(posed, plan, order), lowFret(plan, order), rodStep(posed, plan, order), touching(posed, plan, sure, order), taping(posed, order), stopping(posed, sure, order), after(posed, plan, order)];
  return { headline: headline(posed, plan, sure, order), steps: all.filter((step) => step !== undefined), crowns: crownsToMeasure(posed, plan, sure), howSure: howSure(posed, plan, sure, order), cautions: CAUTIONS };
}

/** A crown that may get too low more often than 1 time in 20 is no plan to start with. */
const SURE_CROWNS = 0.95;

function headline(posed: Levelling, plan: LevelPlan, sure: Sufficiency, order: UnitOrder): string {
  if (sure.probabilityCrowns < SURE_CROWNS) return `Do not start yet: before every top is met, a crown gets too low with a chance of ${percent(1 - sure.probabilityCrowns)}. Straighten the neck further, seat what can be seated, or measure the crowns.`;
  const most = plan.removals.reduce((best, one) => (one.removeMm > best.removeMm ? one : best));
  const level = most.removeMm < SEEN_MM ? `there is nothing to level that a gauge would see, under ${lengthWords(SEEN_MM, order)}` : `level: at most ${lengthWords(most.removeMm, order)} off, at fret ${most.fret}, ${most.line}`;
  return capital(`${seatFirstWords(posed, plan)}${level}.`);
}

function before({ problem }: Levelling, plan: LevelPlan): WorkingStep {
  const seat = reseatable(problem).length === 0 ? "" : "look under the crowns, seat, rock, read again; then ";
  const rod = Math.abs(plan.reliefChangeMm) < SEEN_MM ? "" : "set the rod, ";
  return { heading: "Before you start", sentences: [`Strings off, board masked, neck supported as it was read. In this order: ${seat}${rod}check the relief, level.`] };
}

function seating(posed: Levelling, plan: LevelPlan, order: UnitOrder): WorkingStep | undefined {
  const sentences = seatSentences(posed, plan, order);
  return sentences.length === 0 ? undefined : { heading: "Seat, rock, read again", sentences };
}

function lowFret(plan: LevelPlan, order: UnitOrder): WorkingStep | undefined {
  const words = leftOutWords(plan, order);
  return words === "" ? undefined : { heading: `Fret ${plan.leftOut?.fret ?? ""} is low: decide first`, sentences: [`The beam has to come down to it as planned. ${words.replace(/^Leave/, "Or leave")} Then plan anew.`] };
}

function touching({ beam }: Levelling, plan: LevelPlan, sure: Sufficiency, order: UnitOrder): WorkingStep {
  const lines = sure.first.map((first) => (isTelling(first) ? `${first.line}: ${fretsWords(first.frets)}` : `${first.line}: no fret stands out, likeliest ${fretsWords(first.pair)}`));
  const tool = beam === "straight" ? "Lay the straight beam along each line in turn" : "Set the radiused block on the board, along its middle line";
  const seated = plan.reseat.length === 0 ? "" : " with the seated frets home";
  return { heading: "Touches first", sentences: [`Ink all tops. ${tool}${seated}. It should bear first on: ${lines.join("; ")}.`, `${sure.first.some(isTelling) ? "If it bears on others where frets are named: stop and measure. " : ""}File toward even ink, ${lengthWords(0.01, order)} at a time.`] };
}

function taping({ survey, limits }: Levelling, order: UnitOrder): WorkingStep | undefined {
  const tape = tapeFor(survey.neck, limits.fallAwayMm);
  if (tape === undefined) return undefined;
  return { heading: "Fall-away", sentences: [`Last of all: tape ${lengthWords(tape.thicknessMm, order)} thick over fret ${tape.fret} (measure your tape), protect the frets up to ${tape.fromFret}, and let the beam ride on the tape: it files frets after ${tape.fromFret} down to ${lengthWords(limits.fallAwayMm, order)} at the last.`] };
}

function stopping({ limits, problem }: Levelling, sure: Sufficiency, order: UnitOrder): WorkingStep {
  const further = `If ink is left then, go on evenly by ${lengthWords(sure.allowanceMm, order)} at most; if it is still left, stop and read the neck again.`;
  const others = sure.tight.slice(IN_TABLE).map((index) => `${problem.tops[index]?.fret ?? ""} ${problem.tops[index]?.line ?? ""}`);
  const watch = others.length === 0 ? "" : ` Watch these too: ${others.join(", ")}.`;
  return { heading: "When to stop", sentences: [`Two guide frets a line show how far the beam has come down: a fair way apart, with enough coming off to gauge, so they need not be those it bears on first.`, `Stop when the ink is gone from every top, or each guide fret below has come down to its height after, whichever is first. ${further}`, `Stop at once where a crown reaches ${lengthWords(limits.crownMinMm, order)}.${watch} Tops within ${smallWords(limits.levelToleranceMm, order)} under the beam may keep a trace of ink.`] };
}

function after(posed: Levelling, plan: LevelPlan, order: UnitOrder): WorkingStep {
  const crowned = plan.mostMm < SEEN_MM ? "Re-crown what was touched" : "Re-crown every filed fret, leaving a hairline of the level top";
  return { heading: "After", sentences: [`${crowned}, dress the ends, polish. Measure the crowns below again: none under ${lengthWords(posed.limits.crownMinMm, order)}.`, "Rock over every three frets on every line: still everywhere.", rodBackSentence(posed, plan), "Let the neck settle and read it again before stringing."] };
}

function howSure(posed: Levelling, plan: LevelPlan, sure: Sufficiency, order: UnitOrder): readonly string[] {
  const most = guidesCutMm(plan, sure);
  const expected = most < SEEN_MM ? `next to nothing, under ${lengthWords(SEEN_MM, order)},` : lengthWords(most, order);
  const unsure = sure.allowanceMm < SEEN_MM / 2 ? "" : `, up to ${lengthWords(most + sure.allowanceMm, order)} where the readings are unsure`;
  return [`Cut to expect at the guide frets: ${expected}${unsure}. That is enough 19 times in 20. ${crownWords(sure)}${onSeating(sure)}`, posed.crownsSaid, ...surer(posed, sure)];
}

/** The most that is planned to come off a guide, mm. */
export function guidesCutMm({ removals }: LevelPlan, { guides }: Sufficiency): number {
  return Math.max(0, ...guides.flatMap(({ near, far }) => [near, far]).map((index) => removals[index]?.removeMm ?? 0));
}

/** What becomes of the crowns until every top is met, whether within the allowance or not. */
function crownWords({ probabilityCrowns, necks }: Sufficiency): string {
  if (probabilityCrowns === 1) return `In none of ${necks} necks that the readings allow does a crown get too low.`;
  return `A crown gets too low before every top is met with a chance of ${percent(1 - probabilityCrowns)}.`;
}

/** Seating is taken to succeed: where no gap was seen, that is a condition and no finding. */
function onSeating({ unseenGaps }: Sufficiency): string {
  if (unseenGaps.length === 0) return "";
  return ` All this only if ${fretsWords(unseenGaps)}, under which no gap was seen, ${unseenGaps.length === 1 ? "goes" : "go"} home; else plan anew.`;
}

/** What to read or measure so that the plan becomes surer. */
function surer({ survey, problem, crowns }: Levelling, sure: Sufficiency): readonly string[] {
  const unread = problem.tops.filter((top) => !survey.heights.some(({ line, place }) => line === top.line && place.fret === top.fret)).length;
  if (unread > 0) return [`To be surer, read every fret under the edge: ${unread} of ${problem.tops.length} tops were taken from their neighbours.`];
  const stated = sure.tight.filter((index) => crowns[index]?.from === "wire as stated").map((index) => problem.tops[index]?.fret ?? 0);
  return sure.probabilityCrowns < SURE_CROWNS && stated.length > 0 ? [`To be surer, measure the crowns of ${fretsWords(stated)}.`] : [];
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
  const guides = sure.guides.flatMap(({ near, far }) => [near, far]);
  const leftMm = (index: number): number => (problem.tops[index]?.spareMm ?? 0) - (plan.removals[index]?.removeMm ?? 0);
  const isNear = (index: number): boolean => leftMm(index) < NEAR_MM + sure.allowanceMm && (plan.removals[index]?.removeMm ?? 0) > 0;
  const tight = sure.tight.slice(0, IN_TABLE).filter((index) => !guides.includes(index) && isNear(index));
  return [...guides.map((index) => row(index, "guide")), ...tight.map((index) => row(index, "tight"))].filter((one) => one !== undefined);
}
