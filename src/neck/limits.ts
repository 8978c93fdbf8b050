import { lengthWords } from "../units/words.js";
import type { Neck, ShopLimits } from "./neck.js";

/** The limits that a neck is judged by: what the user stated, common practice for the rest. */
export type Limits = {
  /** Relief wanted under strings, mm; positive is forward bow. */
  readonly reliefMinMm: number;
  readonly reliefMaxMm: number;
  /** A single fret counts as high from this height over the neck line, mm. */
  readonly highMm: number;
  /** Least crown that may be left after levelling, mm. */
  readonly crownMinMm: number;
  /** Most bow, either way, of a fretted board that may be glued as it is, mm over its own length. */
  readonly glueUpBowMaxMm: number;
  /** Most twist: difference of height between the board's edges, nut against last fret, mm. */
  readonly twistMaxMm: number;
  /** Tops may lie this far under the target of a levelling, mm. */
  readonly levelToleranceMm: number;
  /** Fall-away wanted at the last fret, mm below the straight line. */
  readonly fallAwayMm: number;
  /** Most frets to reseat before a levelling. */
  readonly reseatMax: number;
  /** The limits that were not stated, in a builder's words. */
  readonly assumed: readonly string[];
};

type Limit = { readonly key: Exclude<keyof Limits, "assumed">; readonly from: keyof ShopLimits; readonly common: number; readonly what: string };

/** Common practice, no source, all of them. */
const LIMITS: readonly Limit[] = [
  { key: "reliefMinMm", from: "reliefMinMm", common: 0.1, what: "least relief under strings" },
  { key: "reliefMaxMm", from: "reliefMaxMm", common: 0.3, what: "most relief under strings" },
  { key: "highMm", from: "fretHighMm", common: 0.03, what: "a fret counts as high from" },
  { key: "crownMinMm", from: "crownMinMm", common: 0.75, what: "least crown left after levelling" },
  { key: "glueUpBowMaxMm", from: "glueUpBowMaxMm", common: 3, what: "most bow of a board that is glued as it is" },
  { key: "twistMaxMm", from: "twistMaxMm", common: 0.3, what: "most twist from nut to last fret" },
  { key: "levelToleranceMm", from: "levelToleranceMm", common: 0.015, what: "tolerance of levelling" },
  { key: "fallAwayMm", from: "fallAwayMm", common: 0, what: "fall-away at the last fret" },
  { key: "reseatMax", from: "reseatMax", common: 2, what: "most frets to reseat before levelling" },
];

/**
 * The shop's limits of a neck, mm: stated ones as stated, the others common practice (no source) and listed as assumed.
 * @param neck a neck from `readNeck`; its `limits` may state any of them
 */
export function limitsOf(neck: Pick<Neck, "limits">): Limits {
  const value = ({ from, common }: Limit): number => neck.limits?.[from] ?? common;
  const numbers = Object.fromEntries(LIMITS.map((limit) => [limit.key, value(limit)])) as Record<Limit["key"], number>;
  const unstated = LIMITS.filter(({ from }) => neck.limits?.[from] === undefined);
  return { ...numbers, assumed: unstated.map(({ key, what, common }) => `${what}: ${key === "reseatMax" ? common : lengthWords(common)} (common practice)`) };
}
