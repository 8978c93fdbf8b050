import { joined } from "../../frets/lists.js";
import { lengthWords, smallWords, type UnitOrder } from "../../units/words.js";
import type { LevelPlan } from "./levelPlan.js";
import type { Levelling } from "./levelling.js";
import type { Sufficiency } from "./sufficiency.js";

/** When to stop filing, sentence by sentence: the one rule, for the steps, the card and the notebook. */
export function stopRule({ limits }: Levelling, plan: LevelPlan, sure: Sufficiency, order: UnitOrder): readonly string[] {
  const further = sure.guides.some(({ canGauge }) => canGauge)
    ? `Guides down, ink left: at most ${lengthWords(sure.allowanceMm, order)} more.`
    : `No guides, ink left: at most ${lengthWords(deepestCutMm(plan, sure) + sure.allowanceMm, order)} off any fret${limits.fallAwayMm === 0 ? "" : " before the fall-away"}.`;
  return [
    `1. Ink gone, but for a trace, ${smallWords(limits.levelToleranceMm, order)}: stop.`, `2. ${further}`,
    `3. Still ink, or any crown at its least height, ${lengthWords(limits.crownMinMm, order)}: stop, read again.`,
  ];
}

/** Where there is nothing to gauge, in words; empty where every line has a guide. */
export function inkOnlyWords({ guides }: Sufficiency): string {
  const lines = guides.filter(({ canGauge }) => !canGauge).map(({ line }) => line);
  if (lines.length === 0) return "";
  return lines.length === guides.length ? "The cuts are too small to gauge: go by the ink." : `On ${joined(lines)} the cuts are too small to gauge: go by the ink.`;
}

/** The most that is planned to come off a guide, mm; where no cut can be gauged, off any top but those of the fall-away, which are filed last and from the tape. */
export function deepestCutMm({ removals, problem: { tops } }: LevelPlan, { guides }: Sufficiency): number {
  const gauged = guides.flatMap(({ tops: own, canGauge }) => (canGauge ? own : []));
  const counts = (index: number): boolean => (gauged.length === 0 ? tops[index]?.fallAwayMm === 0 : gauged.includes(index));
  return Math.max(0, ...removals.filter((_, index) => counts(index)).map(({ removeMm }) => removeMm));
}
