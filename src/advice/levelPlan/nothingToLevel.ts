import { lengthWords, type UnitOrder } from "../../units/words.js";
import type { LevelPlan } from "./levelPlan.js";
import type { Levelling } from "./levelling.js";
import { isNoStart } from "./noStart.js";
import { rodStoodWords, wayWords } from "./planWords.js";
import { SEEN_MM } from "./rodStep.js";
import { isSeatingDay } from "./seatWords.js";
import type { Sufficiency } from "./sufficiency.js";

/** Whether nothing is to come off that a gauge would see, and no fret is to be seated first: then nothing is filed, whatever the readings leave open. */
export function isNothingToLevel(posed: Levelling, plan: LevelPlan): boolean {
  return plan.mostMm < SEEN_MM && !isSeatingDay(posed, plan);
}

/** Whether a plan has nothing to carry out: no steps, no cuts, and nothing to gauge. */
export function hasNoSteps(posed: Levelling, plan: LevelPlan, sure: Sufficiency): boolean {
  return isNothingToLevel(posed, plan) || isNoStart(sure);
}

/** What to do where there is nothing to level. */
export const NOTHING_HEADLINE = "As far as these readings tell there is nothing to level: do not file.";

/** Why nothing is filed, and what to do by who doubts it. */
export function nothingWhy(posed: Levelling, plan: LevelPlan, { allowanceMm }: Sufficiency, order: UnitOrder): readonly string[] {
  const open = allowanceMm < 2 * SEEN_MM ? "" : ` These readings leave room for up to ${lengthWords(plan.mostMm + allowanceMm, order)}: that is a reason to read more, none to file.`;
  return [
    `Why: ${rodWords(posed, plan, order)}, less than ${lengthWords(SEEN_MM, order)} would come off any fret, which no gauge sees.${open}`,
    "If you doubt it, rock a short edge over every three frets on every line, or read again with thinner leaves; then ask again.",
  ];
}

/** With the rod as it stands, or as it would be set for the beam: bow is the rod's to take out, not the file's. */
function rodWords({ problem, survey: { neck } }: Levelling, { reliefChangeMm }: LevelPlan, order: UnitOrder): string {
  if (neck.rod?.works === "none") return "as the neck lies";
  const stood = rodStoodWords(problem);
  if (Math.abs(reliefChangeMm) < SEEN_MM) return `with the rod ${stood}`;
  return `with the middle moved ${lengthWords(Math.abs(reliefChangeMm), order)} ${wayWords(reliefChangeMm < 0 ? "back" : "forward")}, which is the rod's work and not the file's`;
}
