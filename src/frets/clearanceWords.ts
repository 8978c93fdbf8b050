import { magnitude } from "../shape/drawn.js";
import { capital } from "../units/text.js";
import type { Measured } from "../units/measured.js";
import { lengthWords, measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import type { Clearance, CureFound } from "./clearanceResult.js";
import type { FretInTheWay } from "./fretsFirst.js";
import { fretsWords, joined } from "./lists.js";

type Told = Omit<Extract<Clearance, { status: "determined" }>, "describe">;

/** What the string clears, where least, how sure, and what would cure it. */
export function clearanceWords(found: Told, order: UnitOrder): string {
  const { line, least, pressedAt, at, wantedMm, cures, fretsFirst } = found;
  const amount = measuredWords(magnitude(least), order);
  const where = least.value < 0 ? `pressed at fret ${pressedAt}, it lies on fret ${at}, which stands in its way by ${amount}` : `least clearance ${amount}, over fret ${at} when pressed at fret ${pressedAt}`;
  const wanted = `${lengthWords(wantedMm, order)} is wanted`;
  const head = `String on the ${line} line: ${where}; ${wanted}`;
  if (cures.length === 0 && fretsFirst.length === 0) return `${head}, and it has it${doubtWords(found)}.`;
  return `${head}.${firstWords(found, order)}${cures.length === 0 ? "" : cureWords(found, order)}`;
}

/** Frets before anything is bent or raised, as the fret report says. */
function firstWords({ fretsFirst, afterwards: then, cures }: Told, order: UnitOrder): string {
  if (fretsFirst.length === 0 || then === undefined) return "";
  const frets = fretsWords(fretsFirst.map(({ fret }) => fret));
  const [causes, them] = fretsFirst.length === 1 ? ["causes", "it"] : ["cause", "them"];
  const head = ` ${capital(frets)} ${causes} this. Do with ${them} what the fret report says (${seeToWords(fretsFirst)})`;
  if (cures.length === 0) return `${head}; touch neither relief nor saddle for it.`;
  const left = then.leastMm < 0 ? `fret ${then.at} is still in the way by ${lengthWords(-then.leastMm, order)}` : `${lengthWords(then.leastMm, order)} is left, over fret ${then.at}`;
  return `${head}. With ${them} on the neck line ${left} when pressed at fret ${then.pressedAt}: read it again then, before you touch relief or saddle.`;
}

function seeToWords(frets: readonly FretInTheWay[]): string {
  if (frets.every((one) => one.do === "seat")) return "seat";
  if (frets.every((one) => one.do === "level")) return "look under the crown, level last";
  return frets.every((one) => one.do === "pull and refit") ? "pull and refit" : "look under the crown, then seat or level";
}

function doubtWords({ probabilityShort }: Told): string {
  return probabilityShort > 0.05 ? `, though not surely: ${Math.round(100 * probabilityShort)} % that it is short` : "";
}

function cureWords({ cures, pair }: Told, order: UnitOrder): string {
  const found = cures.flatMap((cure) => (cure.status === "cures" && isTold(cure.amount) ? [`${cureName(cure)} by ${measuredWords(cure.amount, order)}`] : []));
  const none = cures.flatMap((cure) => (cure.status === "no cure" && !(isRelief(cure) && found.some((text) => text.includes("relief"))) ? [cure] : []));
  const blocked = none.filter((cure) => cure.by !== "less relief").map((cure) => `${cureName(cure)}${cure.by === "more relief" ? " or less" : ""} (pressed at fret ${cure.decidedBy.pressedAt}, fret ${cure.decidedBy.at} is short all the same)`);
  const uncertain = found.length > 0 ? [] : cures.filter(({ status }) => status === "cures").map(cureName);
  const isUncertain = uncertain.length > 0;
  const taken = [...cures.filter((cure) => cure.by === "take down" && cure.status === "cures" && isTold(cure.amount)), ...(isUncertain ? [] : pair ?? [])].flatMap(({ fret }) => fret ?? []);
  return [
    isUncertain ? ` ${capital(alternatives(uncertain))} would cure it, but by how much is too uncertain to say: read more of the frets there first.` : "",
    found.length === 0 ? "" : ` ${found.length === 1 ? "This cures it" : "Any one of these cures it"}: ${found.join("; or ")}.`,
    blocked.length === 0 ? "" : ` No ${found.length === 0 && !isUncertain ? "single" : "other single"} change cures it: not ${blocked.join("; not ")}.`,
    isUncertain ? "" : pairWords(pair, cures, order),
    taken.length === 0 ? "" : ` Look under the crown of ${fretsWords(taken)} first, unless a leaf was tried there: a fret that is not home is seated, not levelled.`,
  ].join("");
}

/** `more relief, fall-away at the last fret or a higher saddle`. */
function alternatives(names: readonly string[]): string {
  return joined(names).replace(/ and (?=[^,]*$)/, " or ");
}

/** Two changes that would do together, by the best estimate; that no two of them do is said where two were looked for. */
function pairWords(pair: Told["pair"], cures: readonly CureFound[], order: UnitOrder): string {
  const isSought = cures.length > 0 && cures.every(({ status, by }) => status === "no cure" || by === "higher saddle");
  if (pair === undefined) return isSought ? " No two of them together do either, within reason." : "";
  return ` Two together would: ${pair.map((share) => `${cureName(share)} by about ${lengthWords(Math.ceil(share.amountMm / 0.01 - 1e-6) * 0.01, order)}`).join(" and ")}.`;
}

/** An amount whose interval is wider than twice itself tells nobody how much to change. */
function isTold({ value, low95, high95 }: Measured): boolean {
  return high95 - low95 <= 2 * value;
}

function isRelief({ by }: CureFound): boolean {
  return by === "more relief" || by === "less relief";
}

function cureName({ by, fret }: Pick<CureFound, "by" | "fret">): string {
  if (by === "take down") return `taking fret ${fret ?? ""} down`;
  return by === "fall-away" ? "fall-away at the last fret" : by === "higher saddle" ? "a higher saddle" : by;
}
