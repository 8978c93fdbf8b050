import { normalCdf } from "../../survey/likelihood/normal.js";
import type { HeightTerm } from "../../survey/survey.js";
import type { Measured } from "../../units/measured.js";
import { sureWords } from "../advice.js";

/** How a limit stands, for good or not yet known. */
export type ShipState = "pass" | "fail" | "not sure";

/** One limit of the shop against one neck. */
export type ShipCheck = {
  /** What is judged, as a heading of the table: `relief under strings`. */
  readonly what: string;
  readonly state: ShipState;
  /** What is wanted, in words. */
  readonly wanted: string;
  /** What was found, in words, with its give or take; `not known` where nothing says. */
  readonly found: string;
  /** Why it passes, fails or is not sure. */
  readonly reason: string;
  /** Probability that the neck keeps the limit, given the readings; absent where they do not say it of all of the neck. */
  readonly probability?: number;
  /** What to read or do so that it becomes sure. */
  readonly next?: string;
};

/** A limit that the survey's draws judge, before they are drawn. */
export type DrawnLimit = {
  readonly what: string;
  readonly wanted: string;
  readonly found: string;
  /** What to do where it is not kept, or not surely. */
  readonly next: string;
  readonly forms: readonly (readonly HeightTerm[])[];
  /** Whether one neck that the readings allow, in the order of the forms, keeps the limit. */
  readonly kept: (draw: ArrayLike<number>) => boolean;
  /** The same of what was read itself, where the forms go beyond that: what was only taken from its neighbours fails no neck. */
  readonly keptWhereRead?: (draw: ArrayLike<number>) => boolean;
  /** What was not read, so that no draw says anything of it, and what to read. */
  readonly missing?: { readonly why: string; readonly next: string };
};

/** 19 times in 20. */
export const SURE = 0.95;

/**
 * A limit is kept, broken or not sure: sure is 19 times in 20.
 * @example equal(stateOf(0.97), "pass");
 * @example equal(stateOf(0.5), "not sure");
 */
export function stateOf(probability: number): ShipState {
  if (probability >= SURE) return "pass";
  return probability <= 1 - SURE ? "fail" : "not sure";
}

/**
 * How sure it is that a limit is kept or broken, in words.
 * @example equal(keptWords(0.03), "broken: almost surely right (more than 19 times in 20)");
 */
export function keptWords(probability: number): string {
  return `${probability >= 0.5 ? "kept" : "broken"}: ${sureWords(Math.max(probability, 1 - probability))}`;
}

/** A limit with its probability, judged. */
export function judged(what: string, wanted: string, found: string, probability: number, next: string): ShipCheck {
  const state = stateOf(probability);
  return { what, state, wanted, found, reason: keptWords(probability), probability, ...(state === "pass" ? {} : { next }) };
}

/** A limit of which nothing is known. */
export function unknown(what: string, wanted: string, reason: string, next: string): ShipCheck {
  return { what, state: "not sure", wanted, found: "not known", reason, next };
}

/** A drawn limit judged: it fails by what was read alone, and passes only where all of the neck is known to keep it. */
export function judgedByDraws({ what, wanted, found, next, kept, keptWhereRead, missing }: DrawnLimit, draws: readonly ArrayLike<number>[]): ShipCheck {
  const share = (keeps: (draw: ArrayLike<number>) => boolean): number => draws.filter(keeps).length / draws.length;
  const read = share(keptWhereRead ?? kept);
  if (stateOf(read) === "fail") return judged(what, wanted, found, read, next);
  if (missing !== undefined) return { what, state: "not sure", wanted, found, reason: `${missing.why}; where it was read, ${keptWords(read)}`, next: missing.next };
  const probability = share(kept);
  const whole = judged(what, wanted, found, probability, next);
  if (keptWhereRead === undefined || whole.state === "pass") return whole;
  return { ...whole, state: "not sure", reason: `where it was read, ${keptWords(read)}; with what was not read as its neighbours allow, ${keptWords(probability)}` };
}

/** Probability that a normal value lies between two limits. */
export function between({ value, u }: Pick<Measured, "value" | "u">, low: number, high: number): number {
  if (u === 0) return value >= low && value <= high ? 1 : 0;
  return normalCdf((high - value) / u) - normalCdf((low - value) / u);
}
