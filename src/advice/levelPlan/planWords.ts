import { fretsWords } from "../../frets/lists.js";
import { capital } from "../../units/text.js";
import { lengthWords, smallWords, type UnitOrder } from "../../units/words.js";
import type { Decider } from "./decides.js";
import type { JudgedPlan } from "./judge.js";
import { reseatable, type LevelProblem } from "./problem.js";
import type { LeftOut } from "./leftOut.js";
import type { Remedy } from "./remedies.js";
import type { Saving } from "./savings.js";

type Planned = JudgedPlan & { readonly problem: LevelProblem; readonly decides: readonly Decider[]; readonly savings: readonly Saving[]; readonly leftOut?: LeftOut };

/** A cut that no gauge sees is not filed, mm. */
const SEEN_MM = 0.01;
/** A saving this small is not worth a sentence, mm. */
const TOLD_MM = 0.005;

/** The plan in a builder's words: what to do, where, and why no plan takes less. */
export function planWords(plan: Planned, order: UnitOrder): string {
  return [...plan.savings.map((saving) => savingWords(saving, order)), homeWords(plan), rodWords(plan, order), removalWords(plan, order), `No plan within these limits takes less off${decidesWords(plan, order)}`, plan.problem.linesSaid?.(order) ?? "", leftOutWords(plan, order).replace(/^Leave/, "Or leave")].filter((sentence) => sentence !== "").join(" ");
}

/** Which way the rod changes the relief, in words with their bracket. */
export function wayWords(way: "forward" | "back"): string {
  return way === "forward" ? "toward forward bow (middle low)" : "toward back bow (middle high)";
}

/** Where the rod stood, to go on from: `neutral`, `where it was read (1/4 turn clockwise)`. */
export function rodStoodWords({ rodStood }: Pick<LevelProblem, "rodStood">): string {
  if (rodStood === undefined) return "where it stood when the neck was read";
  return rodStood.trim().toLowerCase() === "neutral" ? "neutral" : `where it was read (${rodStood})`;
}

/** How far the rod is to move the middle, and which way. */
export function rodGoalWords(plan: Pick<JudgedPlan, "reliefChangeMm"> & { readonly problem: LevelProblem }, order: UnitOrder): string {
  return `from ${rodStoodWords(plan.problem)}, set the rod so that the middle moves ${lengthWords(Math.abs(plan.reliefChangeMm), order)} ${wayWords(plan.reliefChangeMm < 0 ? "back" : "forward")}`;
}

function rodWords(plan: Planned, order: UnitOrder): string {
  const { rod } = plan.problem;
  if (rod.lowMm === 0 && rod.highMm === 0) return "Leave the rod as it was when the neck was read.";
  return Math.abs(plan.reliefChangeMm) < TOLD_MM ? `Leave the rod at ${rodStoodWords(plan.problem)}.` : `${capital(rodGoalWords(plan, order))}.`;
}

/** Frets that may be off the board, but that the plan does not seat. */
function homeWords({ reseat, problem }: Planned): string {
  const filed = reseatable(problem).filter((fret) => !reseat.includes(fret));
  if (filed.length === 0) return "";
  const [it, is, crown] = filed.length === 1 ? ["it", "is", "its crown"] : ["they", "are", "their crowns"];
  const capped = reseat.length >= problem.reseatMax ? ` (your limit is ${problem.reseatMax})` : "";
  return `${capital(fretsWords(filed))} ${is} not seated in this plan${capped}: level ${filed.length === 1 ? "it" : "them"} only if ${it} ${filed.length === 1 ? "proves" : "prove"} to be home, no leaf going under ${crown}; else plan anew.`;
}

function savingWords(saving: Saving, order: UnitOrder): string {
  if (saving.status === "needed") return `Unless fret ${saving.fret} is seated first, the others cannot be levelled within these limits.`;
  const { fret, typicalMm, mostMm, mostAt } = saving;
  if (typicalMm >= TOLD_MM) return `Seating fret ${fret} first saves ${lengthWords(typicalMm, order)} at most tops.`;
  if (mostMm < TOLD_MM) return `Seating fret ${fret} first saves little.`;
  const where = mostAt.fret === fret ? `there (${mostAt.line}), hardly anything elsewhere` : `at fret ${mostAt.fret}, ${mostAt.line}`;
  return `Seating fret ${fret} first saves ${lengthWords(mostMm, order)} ${where}.`;
}

function removalWords(plan: Planned, order: UnitOrder): string {
  if (plan.mostMm < SEEN_MM) return `Then less than ${lengthWords(SEEN_MM, order)} would come off any fret, which no gauge sees: do not file.`;
  const most = plan.removals.reduce((best, one) => (one.removeMm > best.removeMm ? one : best));
  const cuts = told(plan.removals.map(({ removeMm }) => removeMm));
  return `Then level: at most ${lengthWords(plan.mostMm, order)} comes off, at fret ${most.fret}, ${most.line}; ${cuts} of ${plan.removals.length} tops ${cuts === 1 ? "loses" : "lose"} ${smallWords(TOLD_MM, order)} or more.`;
}

/** How many tops lose something worth telling. */
function told(cutMm: readonly number[]): number {
  return cutMm.filter((mm) => mm >= TOLD_MM).length;
}

/** What the low fret costs the others, and the way round it; empty where there is none worth going. */
export function leftOutWords(plan: Pick<Planned, "leftOut" | "removals" | "sumMm">, order: UnitOrder): string {
  const { leftOut } = plan;
  if (leftOut === undefined) return "";
  const cuts = told(plan.removals.map(({ removeMm }) => removeMm));
  const then = told(leftOut.cutMm);
  const most = then === 0 ? "then next to nothing comes off the others" : `then at most ${lengthWords(leftOut.mostMm, order)} comes off, and ${then === 1 ? "1 top loses" : `${then} tops lose`} ${smallWords(TOLD_MM, order)} or more, not ${cuts}`;
  return `Leave fret ${leftOut.fret} out, up to ${lengthWords(leftOut.underMm, order)} under the beam, or pull it and refit it: ${most}; over all tops together that saves ${lengthWords(plan.sumMm - leftOut.sumMm, order)} of ${lengthWords(plan.sumMm, order)}. Left low, a string pressed at it may buzz on the frets beyond: refit it if it does.`;
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
  const start = `Do not level this neck as it is: no beam line keeps every crown above its least height and meets every top within ${smallWords(problem.toleranceMm, order)}.`;
  const thin = spare.spareMm < 0 ? ` Fret ${spare.fret} (${spare.line}) is ${roundedUp(-spare.spareMm, order)} under the least crown already.` : "";
  if (remedies.length === 0) return `${start}${thin} No single change would make it possible: straighten the neck and read it again.`;
  return `${start}${thin} Any one of these would make it possible: ${remedies.map((remedy) => remedyWords(remedy, order)).join("; or ")}.`;
}

function remedyWords(remedy: Remedy, order: UnitOrder): string {
  if (remedy.change === "reseating") return `seat ${fretsWords(remedy.frets)} first (${remedy.frets.length} frets instead of fewer)`;
  if (remedy.change === "rod") return `the rod, at least ${roundedUp(remedy.byMm, order)} further ${wayWords(remedy.way)} than its range`;
  const where = remedy.at.slice(0, 4).map(({ fret, line }) => `fret ${fret} (${line})`).join(", ");
  const more = remedy.at.length > 4 ? ` and ${remedy.at.length - 4} more top${remedy.at.length === 5 ? "" : "s"}` : "";
  if (remedy.change === "crown") return `at least ${roundedUp(remedy.byMm, order)} more crown to take off, wanted at ${where}${more}: higher wire there, or a lower limit if the shop can stand it`;
  const [worst] = remedy.at;
  return `pull and refit, or leave under the beam, ${where}${more}: lowest by ${roundedUp(worst?.lowMm ?? 0, order)}`;
}

/** What is missing, in whole hundredths of a millimetre, so that what is said is enough: `0.01 mm (0.4 thou)` for a thousandth. */
function roundedUp(mm: number, order: UnitOrder): string {
  return lengthWords(Math.ceil(mm / 0.01 - 1e-6) * 0.01, order);
}
