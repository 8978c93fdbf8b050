import { isBassScale } from "./defaults.js";
import { lengthWords, smallWords } from "../units/words.js";
import type { Neck, ShopLimits } from "./neck.js";

/** The limits that a neck is judged by: what the user stated, common practice for the rest. */
export type Limits = {
  /** Relief wanted under strings, mm; positive is forward bow. */
  readonly reliefMinMm: number;
  readonly reliefMaxMm: number;
  /** A neck that goes out bare, no strings reckoned with, is straight within this much bow either way, mm. */
  readonly bareBowMaxMm: number;
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
  /** Most frets to reseat before a levelling, where the shop states one; else as many as prove to stand off the board. */
  readonly reseatMax?: number;
  /** The limits that were not stated, in a builder's words. */
  readonly assumed: readonly string[];
  /** Which limits those are, in the same order. */
  readonly assumedKeys: readonly LimitKey[];
};

/** A limit of the shop that common practice stands in for where it is not stated. */
export type LimitKey = Exclude<keyof ShopLimits, "reseatMax">;

type Limit = { readonly common: number; readonly what: string };

/** Common practice, no source, all of them. */
const LIMITS = {
  reliefMinMm: { common: 0.1, what: "least relief under strings" },
  reliefMaxMm: { common: 0.3, what: "most relief under strings" },
  bareBowMaxMm: { common: 0.1, what: "most bow, either way, of a neck that goes out bare" },
  fretHighMm: { common: 0.03, what: "a fret counts as high from" },
  crownMinMm: { common: 0.75, what: "least crown left after levelling" },
  glueUpBowMaxMm: { common: 3, what: "most bow of a board that is glued as it is" },
  twistMaxMm: { common: 0.3, what: "most twist from nut to last fret" },
  levelToleranceMm: { common: 0.015, what: "tolerance of levelling" },
  fallAwayMm: { common: 0, what: "fall-away at the last fret" },
} as const satisfies Readonly<Record<LimitKey, Limit>>;

/** Of a bass, whose heavier strings swing farther. Common practice, no source. */
const BASS_LIMITS: Readonly<Record<LimitKey, Limit>> = {
  ...LIMITS,
  reliefMinMm: { common: 0.2, what: "least relief under strings, of a bass" },
  reliefMaxMm: { common: 0.5, what: "most relief under strings, of a bass" },
};

function commonLimits(scaleLengthMm: number): Readonly<Record<LimitKey, Limit>> {
  return isBassScale(scaleLengthMm) ? BASS_LIMITS : LIMITS;
}

/**
 * The shop's limits of a neck, mm: stated ones as stated, the others common practice (no source), a bass's where the scale is one, and listed as assumed.
 * @param neck a neck from `readNeck`; its `limits` may state any of them
 * @throws {RangeError} a limit that is no number, or the least relief over the most
 */
export function limitsOf({ limits: stated = {}, scaleLengthMm }: Pick<Neck, "limits" | "scaleLengthMm">): Limits {
  const common = commonLimits(scaleLengthMm);
  const [wrong] = wrongLimits(stated, scaleLengthMm);
  if (wrong !== undefined) throw new RangeError(`Cannot judge by these limits: expected ${wrong.expected}, found ${wrong.found}; ${wrong.repair}`);
  const value = (key: LimitKey): number => stated[key] ?? common[key].common;
  const assumedKeys = STATED.filter((key) => stated[key] === undefined);
  const assumed = ({ what, common: mm }: Limit): string => `${what}: ${Number(mm.toFixed(2)) === mm ? lengthWords(mm) : smallWords(mm)} (common practice)`;
  return {
    reliefMinMm: value("reliefMinMm"), reliefMaxMm: value("reliefMaxMm"), bareBowMaxMm: value("bareBowMaxMm"), highMm: value("fretHighMm"),
    crownMinMm: value("crownMinMm"), glueUpBowMaxMm: value("glueUpBowMaxMm"), twistMaxMm: value("twistMaxMm"),
    levelToleranceMm: value("levelToleranceMm"), fallAwayMm: value("fallAwayMm"), ...(stated.reseatMax === undefined ? {} : { reseatMax: stated.reseatMax }),
    assumed: assumedKeys.map((key) => assumed(common[key])), assumedKeys,
  };
}

/** Of the limits that were not stated those named, in a builder's words. */
export function assumedOf({ assumed, assumedKeys }: Pick<Limits, "assumed" | "assumedKeys">, keys: readonly LimitKey[]): readonly string[] {
  return assumed.filter((_, index) => keys.some((key) => key === assumedKeys[index]));
}

const STATED = ["reliefMinMm", "reliefMaxMm", "bareBowMaxMm", "fretHighMm", "crownMinMm", "glueUpBowMaxMm", "twistMaxMm", "levelToleranceMm", "fallAwayMm"] as const satisfies readonly (keyof typeof LIMITS)[];
const WRITTEN = [...STATED, "reseatMax"] as const;

/** Limits that may be under 0: relief that is back bow. */
const SIGNED: readonly (keyof ShopLimits)[] = ["reliefMinMm", "reliefMaxMm"];

/** Limits by which nothing can be judged: no numbers, under 0 where that means nothing, or the least relief over the most, with common practice for one that was not stated. */
export function wrongLimits(stated: ShopLimits, scaleLengthMm: number): readonly { readonly key: keyof ShopLimits; readonly found: string; readonly expected: string; readonly repair: string }[] {
  const numbers = WRITTEN.flatMap((key) => {
    const value = stated[key];
    if (value === undefined || (Number.isFinite(value) && (value >= 0 || SIGNED.includes(key)))) return [];
    return [{ key, found: `${value}`, expected: `${SIGNED.includes(key) ? "a number" : "a number, 0 or more,"} for ${whatOf(key)}`, repair: key === "reseatMax" ? "write how many" : "write a length with its unit" }];
  });
  if (numbers.length > 0) return numbers;
  const usual = commonLimits(scaleLengthMm);
  const [min, max] = [stated.reliefMinMm ?? usual.reliefMinMm.common, stated.reliefMaxMm ?? usual.reliefMaxMm.common];
  if (min <= max) return [];
  const common = (value: number | undefined): string => (value === undefined ? " (common practice, not stated)" : "");
  const isStated = stated.reliefMinMm !== undefined && stated.reliefMaxMm !== undefined;
  return [{ key: "reliefMaxMm", found: `${max} mm${common(stated.reliefMaxMm)}`, expected: `no less than limits.reliefMin, ${min} mm${common(stated.reliefMinMm)}`, repair: isStated ? "swap the two" : "state both" }];
}

function whatOf(key: keyof ShopLimits): string {
  if (key === "reseatMax") return "most frets to reseat before levelling";
  return key === "fretHighMm" ? "the height at which a fret counts as high" : LIMITS[key].what;
}
