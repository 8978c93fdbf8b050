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

type Limit = { readonly common: number; readonly what: string };

/** Common practice, no source, all of them. */
const LIMITS = {
  reliefMinMm: { common: 0.1, what: "least relief under strings" },
  reliefMaxMm: { common: 0.3, what: "most relief under strings" },
  fretHighMm: { common: 0.03, what: "a fret counts as high from" },
  crownMinMm: { common: 0.75, what: "least crown left after levelling" },
  glueUpBowMaxMm: { common: 3, what: "most bow of a board that is glued as it is" },
  twistMaxMm: { common: 0.3, what: "most twist from nut to last fret" },
  levelToleranceMm: { common: 0.015, what: "tolerance of levelling" },
  fallAwayMm: { common: 0, what: "fall-away at the last fret" },
  reseatMax: { common: 2, what: "most frets to reseat before levelling" },
} as const satisfies Readonly<Record<keyof ShopLimits, Limit>>;

/**
 * The shop's limits of a neck, mm: stated ones as stated, the others common practice (no source) and listed as assumed.
 * @param neck a neck from `readNeck`; its `limits` may state any of them
 */
export function limitsOf({ limits: stated = {} }: Pick<Neck, "limits">): Limits {
  const value = (key: keyof ShopLimits): number => stated[key] ?? LIMITS[key].common;
  const assumed = (key: keyof ShopLimits, { what, common }: Limit): string => `${what}: ${key === "reseatMax" ? common : lengthWords(common)} (common practice)`;
  return {
    reliefMinMm: value("reliefMinMm"), reliefMaxMm: value("reliefMaxMm"), highMm: value("fretHighMm"),
    crownMinMm: value("crownMinMm"), glueUpBowMaxMm: value("glueUpBowMaxMm"), twistMaxMm: value("twistMaxMm"),
    levelToleranceMm: value("levelToleranceMm"), fallAwayMm: value("fallAwayMm"), reseatMax: value("reseatMax"),
    assumed: STATED.flatMap((key) => (stated[key] === undefined ? [assumed(key, LIMITS[key])] : [])),
  };
}

const STATED = ["reliefMinMm", "reliefMaxMm", "fretHighMm", "crownMinMm", "glueUpBowMaxMm", "twistMaxMm", "levelToleranceMm", "fallAwayMm", "reseatMax"] as const satisfies readonly (keyof ShopLimits)[];
