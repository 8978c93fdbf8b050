import { capital } from "../../units/text.js";
import { reliefs } from "../../shape/relief.js";
import { bowWords, lengthWords, type UnitOrder } from "../../units/words.js";
import { findingWords, nutWords } from "../rod/rodWords.js";
import type { LevelPlan } from "./levelPlan.js";
import type { Levelling } from "./levelling.js";
import { rodGoalWords, rodStoodWords } from "./planWords.js";
import { evenReliefOf } from "./reliefShape.js";
import type { WorkingStep } from "./workingStep.js";

/** What can be seen with an edge and leaves, mm. */
export const SEEN_MM = 0.01;

/** Setting the rod for the levelling, which way the nut turns, and the relief to have before the beam goes on. */
export function rodStep(posed: Levelling, plan: LevelPlan, order: UnitOrder): WorkingStep {
  const wanted = reliefsWanted(posed, plan).map(({ line, at, reliefMm }) => `${line} ${reliefToHave(reliefMm, order)} at fret ${at}`);
  const have = wanted.length === 0 ? [] : [`Relief to have before the beam goes on, under the edge that read it: ${wanted.join("; ")}. If it is not there, stop: do not file a bow out of the frets.`];
  return { heading: "Set the rod, check the relief", sentences: [...setting(posed, plan, order), ...have] };
}

function setting(posed: Levelling, plan: LevelPlan, order: UnitOrder): readonly string[] {
  const { survey: { neck }, problem } = posed;
  if (neck.rod?.works === "none") return [];
  if (Math.abs(plan.reliefChangeMm) < SEEN_MM) return [`Leave the rod at ${rodStoodWords(problem)}.`];
  const wrench = neck.rod?.wrench === undefined ? "" : `, wrench ${neck.rod.wrench}`;
  const unknown = findingTheNut(posed, plan);
  return [
    `${capital(rodGoalWords(plan, order))}${unknown === "" ? `: ${nutWords(neck.rod, wayOf(plan.reliefChangeMm))}` : ""}${wrench}. An eighth of a turn first, wait, read the middle again, go on from what that moved; never more than a quarter turn a step.`,
    ...(unknown === "" ? [] : [unknown]),
  ];
}

/** How to find out which way the nut works; empty where the neck file says it. */
export function findingTheNut(posed: Levelling, plan: LevelPlan): string {
  if (posed.survey.neck.rod?.moreRelief !== undefined) return "";
  const [middle] = reliefsWanted(posed, { reliefChangeMm: 0 });
  return middle === undefined ? "" : findingWords(wayOf(plan.reliefChangeMm), middle.at, middle.reliefMm < 0);
}

export function wayOf(reliefChangeMm: number): "turn toward back bow" | "turn toward forward bow" {
  return reliefChangeMm < 0 ? "turn toward back bow" : "turn toward forward bow";
}

/** Relief to have on one line before the beam goes on, mm at its middle, with the rod set. */
export type ReliefToHave = { readonly line: string; readonly at: string; readonly reliefMm: number };

/** The reliefs that the readings say the lines will have with the rod set. */
export function reliefsWanted({ survey, problem }: Levelling, { reliefChangeMm }: Pick<LevelPlan, "reliefChangeMm">): readonly ReliefToHave[] {
  const shape = evenReliefOf(survey.neck);
  return reliefs(survey).flatMap((relief) => {
    if (relief.status !== "determined" || !problem.tops.some(({ line }) => line === relief.line)) return [];
    const t = (relief.at.xMm - relief.from.xMm) / (relief.to.xMm - relief.from.xMm);
    const share = shape(relief.at.xMm) - (1 - t) * shape(relief.from.xMm) - t * shape(relief.to.xMm);
    return [{ line: relief.line, at: relief.at.label, reliefMm: relief.relief.value + reliefChangeMm * share }];
  });
}

/** `straight`, or how much of which bow. */
export function reliefToHave(reliefMm: number, order: UnitOrder): string {
  return Math.abs(reliefMm) < SEEN_MM / 2 ? "straight" : `${lengthWords(Math.abs(reliefMm), order)} ${bowWords(reliefMm)}`;
}

/** What becomes of the rod when the frets are level: it was set for the beam, not for the strings. */
export function rodBackSentence({ survey: { neck }, problem }: Levelling, { reliefChangeMm }: LevelPlan): string {
  if (neck.rod?.works === "none") return "This neck has no rod: under strings its relief is what it takes.";
  if (Math.abs(reliefChangeMm) < SEEN_MM) return "Under strings set the rod anew: this setting was for the beam.";
  return `The rod was set for the beam, not for the strings: bring it back to ${rodStoodWords(problem)} (${neck.rod?.moreRelief === undefined ? "the other way" : nutWords(neck.rod, wayOf(-reliefChangeMm))}, a quarter turn a step at most), or set it anew under strings.`;
}
