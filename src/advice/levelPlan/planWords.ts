import { fretsWords } from "../../frets/lists.js";
import { lengthWords, type UnitOrder } from "../../units/words.js";
import type { Decider } from "./decides.js";
import type { JudgedPlan } from "./judge.js";
import type { LevelProblem } from "./problem.js";
import type { Remedy } from "./remedies.js";
import type { Saving } from "./savings.js";

type Planned = JudgedPlan & { readonly problem: LevelProblem; readonly decides: readonly Decider[]; readonly savings: readonly Saving[] };

/** A saving this small is not worth a sentence, mm. */
const TOLD_MM = 0.005;

/** The plan in a builder's words: what to do, where, and why no plan takes less. */
export function planWords(plan: Planned, order: UnitOrder): string {
  return [rodWords(plan, order), ...plan.savings.map((saving) => savingWords(saving, order)), removalWords(plan, order), `No plan within these limits takes less off${decidesWords(plan, order)}`].filter((sentence) => sentence !== "").join(" ");
}

/** Which way the rod changes the relief, in words with their bracket. */
export function wayWords(way: "forward" | "back"): string {
  return way === "forward" ? "toward forward bow (middle low)" : "toward back bow (middle high)";
}

function rodWords({ reliefChangeMm, problem: { rod } }: Planned, order: UnitOrder): string {
  if (rod.lowMm === 0 && rod.highMm === 0) return "Leave the rod as it was when the neck was read.";
  if (Math.abs(reliefChangeMm) < TOLD_MM) return "Leave the rod as it is.";
  return `Set the rod first: ${lengthWords(Math.abs(reliefChangeMm), order)} ${wayWords(reliefChangeMm < 0 ? "back" : "forward")} at the middle.`;
}

function savingWords(saving: Saving, order: UnitOrder): string {
  if (saving.status === "needed") return `Seat fret ${saving.fret} first: without that the others cannot be levelled within these limits.`;
  const { fret, typicalMm, mostMm, mostAt } = saving;
  if (typicalMm >= TOLD_MM) return `Seat fret ${fret} first: it saves ${lengthWords(typicalMm, order)} at most tops.`;
  if (mostMm < TOLD_MM) return `Seat fret ${fret} first; it saves little.`;
  const where = mostAt.fret === fret ? `there (${mostAt.line}), hardly anything elsewhere` : `at fret ${mostAt.fret}, ${mostAt.line}`;
  return `Seat fret ${fret} first: it saves ${lengthWords(mostMm, order)} ${where}.`;
}

function removalWords(plan: Planned, order: UnitOrder): string {
  if (plan.mostMm < 0.001) return "Then nothing needs to come off.";
  const most = plan.removals.reduce((best, one) => (one.removeMm > best.removeMm ? one : best));
  const cut = plan.removals.filter(({ removeMm }) => removeMm >= TOLD_MM).length;
  return `Then level: at most ${lengthWords(plan.mostMm, order)} comes off, at fret ${most.fret}, ${most.line}; ${cut} of ${plan.removals.length} tops lose ${lengthWords(TOLD_MM, order)} or more.`;
}

function decidesWords({ decides }: Planned, order: UnitOrder): string {
  const [first, second] = decides;
  if (first === undefined) return ".";
  const also = second === undefined || second.limit === "rod" || second.savesPerHundredthMm < first.savesPerHundredthMm / 2 ? "" : ` Next to it, ${deciderName(second)}.`;
  return `; ${deciderName(first)} decides it: ${deciderWhy(first, order)}.${also}`;
}

function deciderName(decider: Decider): string {
  return decider.limit === "rod" ? "the rod's range" : `fret ${decider.fret} (${decider.line})`;
}

function deciderWhy(decider: Decider, order: UnitOrder): string {
  const saves = `${lengthWords(decider.savesPerHundredthMm, order)} over all tops together`;
  if (decider.limit === "low") return `it is low, and the beam must come down to it; each ${lengthWords(0.01, order)} it stood higher would save ${saves}`;
  if (decider.limit === "crown") return `its crown can give no more; each ${lengthWords(0.01, order)} of crown more would save ${saves}`;
  return `each ${lengthWords(0.01, order)} more ${wayWords(decider.way)} would save ${saves}`;
}

/** Why there is no plan, and what would make one possible. */
export function unplannedWords(problem: LevelProblem, remedies: readonly Remedy[], order: UnitOrder): string {
  const spare = problem.tops.reduce((least, top) => (top.spareMm < least.spareMm ? top : least));
  const start = `Do not level this neck as it is: no beam line keeps every crown above its least height and meets every top within ${lengthWords(problem.toleranceMm, order)}.`;
  const thin = spare.spareMm < 0 ? ` Fret ${spare.fret} (${spare.line}) is ${lengthWords(-spare.spareMm, order)} under the least crown already.` : "";
  if (remedies.length === 0) return `${start}${thin} No single change would make it possible: straighten the neck and read it again.`;
  return `${start}${thin} Any one of these would make it possible: ${remedies.map((remedy) => remedyWords(remedy, order)).join("; or ")}.`;
}

function remedyWords(remedy: Remedy, order: UnitOrder): string {
  if (remedy.change === "reseating") return `seat ${fretsWords(remedy.frets)} first (${remedy.frets.length} frets instead of fewer)`;
  if (remedy.change === "rod") return `the rod, ${lengthWords(remedy.byMm, order)} further ${wayWords(remedy.way)} than its range`;
  const where = remedy.at.slice(0, 4).map(({ fret, line }) => `fret ${fret} (${line})`).join(", ");
  const more = remedy.at.length > 4 ? ` and ${remedy.at.length - 4} more tops` : "";
  if (remedy.change === "crown") return `${lengthWords(remedy.byMm, order)} more crown to take off, wanted at ${where}${more}: higher wire there, or a lower limit if the shop can stand it`;
  const [worst] = remedy.at;
  return `pull and refit, or leave under the beam, ${where}${more}: lowest by ${lengthWords(worst?.lowMm ?? 0, order)}`;
}
