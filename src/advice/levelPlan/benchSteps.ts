import { fretsWords, joined } from "../../frets/lists.js";
import { capital } from "../../units/text.js";
import { lengthWords, type UnitOrder } from "../../units/words.js";
import { rodTurnWords } from "../rod/rodWords.js";
import { crownWords } from "./crownWords.js";
import type { Decider } from "./decides.js";
import { tapeFor } from "./fallAway.js";
import { isTelling } from "./firstTouched.js";
import type { LevelPlan } from "./levelPlan.js";
import type { Levelling } from "./levelling.js";
import { hasNoSteps } from "./nothingToLevel.js";
import { rodStoodWords, wayWords } from "./planWords.js";
import { findingTheNut, reliefsWanted, reliefToHave, SEEN_MM, wayOf } from "./rodStep.js";
import { forToday, isSeatingDay, LATER, savesWords } from "./seatWords.js";
import type { Sufficiency } from "./sufficiency.js";
import { inkOnlyWords, deepestCutMm, stopRule } from "./stopRule.js";
import { IN_TABLE, workingSteps, type WorkingSteps } from "./workingSteps.js";

/** One step of the card: what is read with the tool in the hand, and what is read before. */
export type BenchStep = { readonly heading: string; readonly does: string; /** In smaller type; may be empty. */ readonly how: readonly string[] };

/** What is read with the beam in the hand, in as few words as it takes; `workingSteps` has the whole of it. */
export type BenchSteps = Pick<WorkingSteps, "headline" | "crowns"> & {
  /** Why no less comes off, and what seating first saves; or why not to start. */
  readonly why: readonly string[];
  readonly steps: readonly BenchStep[];
  readonly howSure: string;
  readonly care: BenchStep;
};

/** Common practice, no source. */
const CARE: BenchStep = {
  heading: "Care", does: "Glasses on; dust mask that fits; vacuum, never blow.",
  how: ["Filings and fret ends fly, ends are sharp. Board and pickups masked. The rod maker's word comes first, then local rules and qualified practice."],
};

/** The working card's words, in the order of the bench. */
export function benchSteps(posed: Levelling, plan: LevelPlan, sure: Sufficiency, order: UnitOrder = "mm first"): BenchSteps {
  const { headline, crowns, howSure: stopped } = workingSteps(posed, plan, sure, order);
  if (hasNoSteps(posed, plan, sure)) return { headline, crowns, why: stopped, steps: [], howSure: "", care: CARE };
  if (isSeatingDay(posed, plan)) return { headline, crowns, why: savesWhy(plan, order), steps: [seat(posed, plan)], howSure: LATER, care: CARE };
  const all = [readFirst(posed), decide(plan, order), rod(posed, plan, order), relief(posed, plan, order), beam(posed, sure), file(posed, plan, sure, order), fallAway(posed, order), after(posed, plan, order)];
  return { headline, crowns, why: why(plan, order), steps: all.filter((step) => step !== undefined), howSure: howSure(posed, plan, sure, order), care: CARE };
}

function why(plan: LevelPlan, order: UnitOrder): readonly string[] {
  const [first] = plan.decides;
  const decides = first === undefined ? "No plan within these limits takes less off." : `No plan within these limits takes less off: ${deciderWords(first)}.`;
  return [decides, ...savesWhy(plan, order)];
}

function savesWhy({ savings }: LevelPlan, order: UnitOrder): readonly string[] {
  return savings.length === 0 ? [] : [`Seating first saves: fret ${joined(savings.map((saving) => savesWords(saving, order).replace(/^fret /, "")))}.`];
}

function deciderWords(decider: Decider): string {
  if (decider.limit === "rod") return `the rod can go no further ${wayWords(decider.way)}`;
  return `fret ${decider.fret} (${decider.line}) decides it, ${decider.limit === "low" ? "it is low" : "its crown can give no more"}`;
}

function seat(posed: Levelling, plan: LevelPlan): BenchStep {
  const { seen, look: looked } = forToday(posed, plan);
  const leaf = looked.length === 0 ? "" : `Thin leaf under ${fretsWords(looked)}: goes: seat; does not: home, leave it today.`;
  const gap = seen.length === 0 ? "" : `${capital(fretsWords(seen))}: a gap was seen, seat.`;
  return { heading: "Today", does: [gap, leaf, "Rock: still. Read again. Stop here and ask for a new plan."].filter((one) => one !== "").join(" "), how: ["Strings off. Light taps, shaped caul, neck held right under the fret. Not by this card: filing. The drawing shows the tops as they should come to lie."] };
}

function readFirst({ before: [does, ...how] }: Levelling): BenchStep | undefined {
  return does === undefined ? undefined : { heading: "First", does, how };
}

function decide({ leftOut }: LevelPlan, order: UnitOrder): BenchStep | undefined {
  if (leftOut === undefined) return undefined;
  return {
    heading: "Decide", does: `Fret ${leftOut.fret} is low: file down to it, leave it or refit it.`,
    how: [`Left, ${lengthWords(leftOut.underMm, order)} under the beam, it may buzz. Left or refitted, plan anew: ${leftOut.mostMm < SEEN_MM ? "nothing to level then" : `at most ${lengthWords(leftOut.mostMm, order)} off elsewhere`}.`],
  };
}

function rod(posed: Levelling, plan: LevelPlan, order: UnitOrder): BenchStep | undefined {
  const { neck } = posed.survey;
  if (neck.rod?.works === "none") return undefined;
  const stood = rodStoodWords(posed.problem);
  if (Math.abs(plan.reliefChangeMm) < SEEN_MM) return { heading: "Rod", does: `Leave it at ${stood}.`, how: [] };
  const wrench = neck.rod?.wrench === undefined ? "" : ` Wrench ${neck.rod.wrench}.`;
  const unknown = findingTheNut(posed, plan);
  return {
    heading: "Rod", does: `Middle ${lengthWords(Math.abs(plan.reliefChangeMm), order)} ${wayWords(plan.reliefChangeMm < 0 ? "back" : "forward")}: ${rodTurnWords(neck.rod, wayOf(plan.reliefChangeMm)) ?? "which way the nut goes is not known"}.`,
    how: [`From ${stood}.${wrench}${unknown === "" ? "" : ` ${unknown}`}`, "An eighth of a turn, wait, read; a quarter a step at most; stop at a creak or if it stiffens fast."],
  };
}

function relief(posed: Levelling, plan: LevelPlan, order: UnitOrder): BenchStep | undefined {
  const have = reliefGroups(posed, plan, order);
  return have === "" ? undefined : { heading: "Relief", does: `Before the beam: ${have}.`, how: ["If it is not there, stop: file no bow out of the frets."] };
}

/** Lines that are to have the same relief, as far as leaves tell, are said together: `straight at fret 6 on bass and centre; ...`. */
function reliefGroups(posed: Levelling, plan: LevelPlan, order: UnitOrder): string {
  const wanted = reliefsWanted(posed, plan);
  const meanMm = wanted.reduce((sum, { reliefMm }) => sum + reliefMm, 0) / wanted.length;
  const isOne = wanted.length > 1 && wanted.every(({ at, reliefMm }) => at === wanted[0]?.at && Math.abs(reliefMm - meanMm) <= posed.limits.levelToleranceMm);
  if (isOne) return `${reliefToHave(meanMm, order)} at fret ${wanted[0]?.at ?? ""}, every line`;
  const told = wanted.map(({ line, at, reliefMm }) => ({ line, words: `${reliefToHave(reliefMm, order)} at fret ${at}` }));
  const sets = [...new Set(told.map(({ words }) => words))];
  return sets.map((words) => `${joined(told.filter((one) => one.words === words).map(({ line }) => line))} ${words}`).join("; ");
}

function beam({ beam: tool }: Levelling, sure: Sufficiency): BenchStep {
  const lay = tool === "straight" ? "beam along each line in turn" : "radiused block along the middle";
  const others = sure.first.some(isTelling) ? " Bears first as drawn? If not: stop, measure." : "";
  return { heading: "Ink", does: `all tops; ${lay}.${others}`, how: [] };
}

function file(posed: Levelling, plan: LevelPlan, sure: Sufficiency, order: UnitOrder): BenchStep {
  const { problem } = posed;
  const others = sure.tight.slice(IN_TABLE).map((index) => `${problem.tops[index]?.fret ?? ""} ${problem.tops[index]?.line ?? ""}`);
  const watch = others.length === 0 ? [] : [`Watch ${others.join(", ")} too.`];
  return {
    heading: "File", does: [`${lengthWords(0.01, order)} at a time to even ink.`, ...stopRule(posed, plan, sure, order)].join(" "),
    how: [inkOnlyWords(sure), ...watch].filter((one) => one !== ""),
  };
}

function fallAway({ survey, limits }: Levelling, order: UnitOrder): BenchStep | undefined {
  const tape = tapeFor(survey.neck, limits.fallAwayMm);
  if (tape === undefined) return undefined;
  return {
    heading: "Fall-away", does: `last: tape ${lengthWords(tape.thicknessMm, order)} thick over fret ${tape.fret}.`,
    how: [`Frets up to ${tape.fromFret} covered; the beam rides on the tape and files the rest, ${lengthWords(limits.fallAwayMm, order)} down at the last.`],
  };
}

function after(posed: Levelling, plan: LevelPlan, order: UnitOrder): BenchStep {
  const { neck } = posed.survey;
  const back = neck.rod?.works === "none" || Math.abs(plan.reliefChangeMm) < SEEN_MM ? "" : ` Rod back to ${rodStoodWords(posed.problem)} (${rodTurnWords(neck.rod, wayOf(-plan.reliefChangeMm)) ?? "the other way"}), or set anew under strings.`;
  return {
    heading: "After", does: `Gauge the crowns, re-crown, dress ends, polish. Rock over every three frets: still.`,
    how: [`No crown under ${lengthWords(posed.limits.crownMinMm, order)}; leave a hairline of the level top.${back} Let it settle; read before stringing.`],
  };
}

function howSure(posed: Levelling, plan: LevelPlan, sure: Sufficiency, order: UnitOrder): string {
  const most = deepestCutMm(plan, sure);
  return `Off the ${sure.guides.some(({ canGauge }) => canGauge) ? "guides" : posed.limits.fallAwayMm === 0 ? "deepest cut" : "deepest cut before the fall-away"} ${lengthWords(most, order)}, up to ${lengthWords(most + sure.allowanceMm, order)}: enough 19 times in 20. ${crownWords(posed, sure, order)}`;
}
