import type { Neck } from "../neck/neck.js";
import { measuredDraws } from "../shape/drawn.js";
import type { Measured } from "../units/measured.js";
import type { UnitOrder } from "../units/words.js";
import { clearanceWords } from "./clearanceWords.js";
import { cureBy } from "./cure.js";
import { curePair } from "./curePair.js";
import { broughtDown, type FretInTheWay } from "./fretsFirst.js";
import type { PressedPair } from "./cure.js";
import { curesFor } from "./cures.js";
import type { Clearance, CureFound } from "./clearanceResult.js";
import type { Tried } from "./cures.js";
import { leastClearance, pressedClearances } from "./pressed.js";
import type { CrownTop, StringPoint } from "./pressed.js";

/** One neck as it may be: crowns and the string's point at the saddle, in one datum, mm. */
export type DrawnNeck = { readonly tops: readonly CrownTop[]; readonly saddle: StringPoint };

/** What `clearanceOf` is told: the best estimate, and draws of what else may be. */
export type ClearanceProblem = { readonly neck: Neck; readonly line: string; readonly best: DrawnNeck; readonly draws: readonly DrawnNeck[]; readonly wantedMm?: number; /** Frets to be seen to first, of those that make the best estimate short. */ readonly first?: (best: DrawnNeck, wantedMm: number) => readonly FretInTheWay[]; /** A sentence that belongs to it: in which state the neck was. */ readonly note?: string };

/** Common practice, no source. */
const WANTED_MM = 0.05;
/** What a hand with leaves cannot tell, mm (common practice, no source): a lack smaller than this is not cured. */
const CANNOT_TELL_MM = 0.005;
/** Cures are worked out on so many of the draws. */
const CURED_DRAWS = 100;

/**
 * Clearance of a pressed string from crowns as they may be, measured or predicted.
 * @param problem draws and best estimate in one datum; two frets or more
 * @throws {RangeError} fewer than two frets
 */
export function clearanceOf({ neck, line, best, draws, wantedMm = WANTED_MM, first, note = "" }: ClearanceProblem): Clearance {
  const worst = leastClearance(best.tops, best.saddle);
  const drawn = draws.map(({ tops, saddle }) => leastClearance(tops, saddle).leastMm);
  const least = measured(worst.leastMm, drawn);
  const isShort = least.value < wantedMm - CANNOT_TELL_MM;
  const fretsFirst = isShort ? (first?.(best, wantedMm) ?? []) : [];
  const done = ({ tops, saddle }: DrawnNeck): DrawnNeck => ({ tops: broughtDown(tops, fretsFirst), saddle });
  const then = fretsFirst.length === 0 ? worst : leastClearance(done(best).tops, best.saddle);
  const isShortThen = isShort && (fretsFirst.length === 0 || then.leastMm < wantedMm - CANNOT_TELL_MM);
  const tried = curesFor(neck, then.at);
  const cures = isShortThen ? tried.map((one): CureFound => cureFound(one, done(best), draws.slice(0, CURED_DRAWS).map(done), wantedMm)) : [];
  const pair = pairFor(cures, tried, done(best), wantedMm);
  const found = {
    status: "determined", line, wantedMm, least, pressedAt: worst.pressedAt, at: worst.at,
    probabilityShort: share(drawn, worst.leastMm, (mm) => mm < wantedMm), probabilityTouches: share(drawn, worst.leastMm, (mm) => mm < 0),
    each: pressedClearances(best.tops, best.saddle),
    fretsFirst, ...(fretsFirst.length === 0 ? {} : { afterwards: then }),
    cures, ...(pair === undefined ? {} : { pair }),
  } as const;
  return { ...found, describe: (order: UnitOrder = "mm first") => [clearanceWords(found, order), note].filter((part) => part !== "").join(" ") };
}

/** Two changes are looked for where none cures alone, or the saddle alone does, which not everybody wants to raise. */
function pairFor(cures: readonly CureFound[], tried: readonly Tried[], { tops, saddle }: DrawnNeck, wantedMm: number): Extract<Clearance, { status: "determined" }>["pair"] {
  const alone = cures.filter(({ status }) => status === "cures").map(({ by }) => by);
  if (cures.length === 0 || alone.some((by) => by !== "higher saddle")) return undefined;
  return curePair(tops, saddle, wantedMm, tried.filter(({ by }) => !alone.includes(by)));
}

/** A change cures where it does so in most of the draws; its amount is their median. */
function cureFound({ by, change, fret }: Tried, best: DrawnNeck, draws: readonly DrawnNeck[], wantedMm: number): CureFound {
  const named = { by, ...(fret === undefined ? {} : { fret }) };
  const exact = cureBy(best.tops, best.saddle, wantedMm, change);
  const tried = draws.map(({ tops, saddle }) => cureBy(tops, saddle, wantedMm, change));
  const amounts = tried.flatMap((one) => (one.status === "cures" ? [one.amountMm] : []));
  const probability = tried.length === 0 ? Number(exact.status === "cures") : amounts.length / tried.length;
  if (probability >= 0.5) return { ...named, status: "cures", amount: measured(exact.status === "cures" ? exact.amountMm : 0, amounts), probability };
  const blocked = exact.status === "no cure" ? exact : tried.find((one) => one.status === "no cure");
  return { ...named, status: "no cure", decidedBy: blocked?.status === "no cure" ? blocked.decidedBy : worstOf(best) };
}

function worstOf({ tops, saddle }: DrawnNeck): PressedPair {
  const { pressedAt, at } = leastClearance(tops, saddle);
  return { pressedAt, at };
}

/** Median and spread of the draws; without draws the exact number, which has none. */
function measured(exact: number, drawn: readonly number[]): Measured {
  return drawn.length < 2 ? { value: exact, u: 0, unit: "mm", low95: exact, high95: exact } : measuredDraws(drawn);
}

function share(drawn: readonly number[], exact: number, hit: (value: number) => boolean): number {
  return drawn.length === 0 ? Number(hit(exact)) : drawn.filter(hit).length / drawn.length;
}
