import { percent } from "../../frets/fretWords.js";
import { fretsWords } from "../../frets/lists.js";
import { lengthWords, type UnitOrder } from "../../units/words.js";
import { wireOnly } from "./crownWords.js";
import type { Levelling } from "./levelling.js";
import type { Sufficiency } from "./sufficiency.js";

/** A crown that may get too low more often than 1 time in 20 is no plan to start with. */
const SURE_CROWNS = 0.95;

/** Whether a plan is not to be carried out: it has no steps, and nothing to gauge. */
export function isNoStart({ probabilityCrowns }: Pick<Sufficiency, "probabilityCrowns">): boolean {
  return probabilityCrowns < SURE_CROWNS;
}

/** What to do instead of levelling. */
export function noStartHeadline(posed: Levelling, sure: Sufficiency): string {
  return `Do not start. First: ${[straighten(posed), ...measure(posed, sure)].join(", or ")}; then ask again.`;
}

function straighten({ survey: { neck }, problem: { rod } }: Levelling): string {
  if (neck.rod?.works === "none") return "get the neck straighter";
  return rod.lowMm === 0 && rod.highMm === 0 ? "straighten the neck with the rod after a rod test" : "straighten the neck further than this plan's range of the rod allows";
}

/** The crowns that decide it, as far as nobody measured them. */
function measure({ problem, crowns }: Levelling, { tight }: Sufficiency): readonly string[] {
  const stated = tight.filter((index) => crowns[index]?.from === "wire as stated").map((index) => problem.tops[index]?.fret ?? 0);
  return stated.length === 0 ? [] : [`measure the crowns of ${fretsWords(stated)}`];
}

/** Why a plan is not to be started. */
export function noStartWhy(posed: Levelling, { probabilityCrowns }: Sufficiency, order: UnitOrder): readonly string[] {
  const wireMm = wireOnly(posed);
  const wire = wireMm === undefined ? "" : `, the wire taken as ${lengthWords(wireMm, order)} high as stated`;
  return [`Why: before every top is met, a crown gets lower than ${lengthWords(posed.limits.crownMinMm, order)} with a chance of ${percent(1 - probabilityCrowns)}${wire}.`];
}
