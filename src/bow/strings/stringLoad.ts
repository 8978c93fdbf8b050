import { fretDistanceMm } from "../../neck/frets.js";
import type { Neck, NeckString } from "../../neck/neck.js";
import { stringTension } from "./tension.js";

/** The pull of a set of strings and where it acts: one line, straight from nut slot to saddle. */
export type StringLoad = {
  readonly totalTensionN: number;
  /** Standard uncertainty of the total as a share of it. */
  readonly shareU: number;
  /** Height of the pull's line over the glue line between board and neck, mm, at the nut and at the saddle: the strings' axes weighted by their tension. */
  readonly heightAtNutMm: number;
  readonly heightAtSaddleMm: number;
  /** Distance of the saddle from the nut, mm. */
  readonly saddleMm: number;
  /** Standard uncertainty of those heights where they had to be assumed, mm; 0 where they were given. */
  readonly heightU: number;
  /** Bass to treble; empty where the strings were not given one by one. */
  readonly each: readonly { readonly tensionN: number; readonly heightAtNutMm: number; readonly heightAtSaddleMm: number }[];
  readonly assumed: readonly string[];
};

/** Common practice, no source, all of them: mm, and the pitches of six strings, bass to treble. */
const COMMON = { atNutMm: 0.5, bassMm: 2.6, trebleMm: 2.1, crownMm: 1.1, boardMm: 6, spreadAtNutMm: 35, spreadAtSaddleMm: 52 } as const;
const SIX_STRINGS = ["E2", "A2", "D3", "G3", "B3", "E4"] as const;
/** A set of which nothing is known: light six-string sets pull 370 to 460 N, heavier and twelve-string ones much more (common practice, no source). */
const UNKNOWN_SET = { totalN: 420, shareU: 0.25, count: 6, gaugeMm: 0.65 } as const;
/** Heights that had to be assumed (own judgement), mm. */
const ASSUMED_HEIGHT_U_MM = 0.4;

/**
 * Total pull of a neck's strings and its line of action over the glue line. What the neck file does not say is common practice and listed as assumed.
 * @throws {RangeError} a string of which neither pitch nor tension can be told
 */
export function stringLoad(neck: Neck): StringLoad {
  const places = placesOf(neck);
  const strings = neck.strings?.each;
  if (strings === undefined || strings.length === 0) return unknownSet(neck, places);
  const notes = strings.length === SIX_STRINGS.length ? SIX_STRINGS : undefined;
  const tensions = strings.map((string, at) => stringTension(string, neck.scaleLengthMm, `string ${at + 1}`, notes?.[at]));
  const total = tensions.reduce((sum, one) => sum + one.tensionN, 0);
  const each = strings.map((string, at) => ({ tensionN: tensions[at]?.tensionN ?? 0, ...axisOf(places, string.gaugeMm, at, strings.length) }));
  return {
    totalTensionN: total,
    shareU: Math.max(0.01, tensions.reduce((sum, one) => sum + one.tensionN * one.shareU, 0) / total), // gauges and cores of a set err together
    heightAtNutMm: weighted(each, total, (one) => one.heightAtNutMm), heightAtSaddleMm: weighted(each, total, (one) => one.heightAtSaddleMm),
    saddleMm: neck.scaleLengthMm, heightU: places.heightU, each,
    assumed: [...tensions.flatMap((one) => one.assumed), ...tuningWords(strings, notes), ...places.assumed],
  };
}

type StringPlaces = {
  readonly boardAtNutMm: number; readonly boardAtEndMm: number; readonly crownMm: number; readonly endMm: number; readonly scaleLengthMm: number;
  readonly atNutMm: number; readonly bassMm: number; readonly trebleMm: number;
  readonly dropMm: (share: number, atEnd: boolean) => number;
  readonly heightU: number; readonly assumed: readonly string[];
};

function placesOf(neck: Neck): StringPlaces {
  const { strings = {}, thickness } = neck;
  const last = strings.heightAtLastFretMm;
  const board = thickness?.board ?? [];
  const assumed = [
    ...(strings.heightAtNutMm === undefined ? [`string height at the nut: ${COMMON.atNutMm} mm over the crowns`] : []),
    ...(last === undefined ? [`string height over the last fret: ${COMMON.bassMm} mm bass, ${COMMON.trebleMm} mm treble`] : []),
    ...(neck.crownHeightMm === undefined ? [`crown height: ${COMMON.crownMm} mm`] : []),
    ...(board.length === 0 ? [`thickness of the board: ${COMMON.boardMm} mm`] : []),
  ].map((words) => `${words} (common practice, no source)`);
  return {
    boardAtNutMm: board[0]?.mm ?? COMMON.boardMm, boardAtEndMm: board.at(-1)?.mm ?? COMMON.boardMm, crownMm: neck.crownHeightMm ?? COMMON.crownMm,
    endMm: fretDistanceMm(neck.scaleLengthMm, neck.frets), scaleLengthMm: neck.scaleLengthMm,
    atNutMm: strings.heightAtNutMm ?? COMMON.atNutMm, bassMm: last?.bass ?? COMMON.bassMm, trebleMm: last?.treble ?? COMMON.trebleMm,
    dropMm: (share, atEnd) => radiusDrop(neck, share, atEnd), heightU: assumed.length > 0 ? ASSUMED_HEIGHT_U_MM : 0, assumed,
  };
}

/** How far the board has fallen away from its crest under a string, mm. */
function radiusDrop(neck: Neck, share: number, atEnd: boolean): number {
  const nutMm = neck.strings?.spreadAtNutMm ?? COMMON.spreadAtNutMm;
  const saddleMm = neck.strings?.spreadAtSaddleMm ?? COMMON.spreadAtSaddleMm;
  const along = atEnd ? 1 - 2 ** (-neck.frets / 12) : 0;
  const y = (share - 0.5) * (nutMm + (saddleMm - nutMm) * along);
  const radius = atEnd ? neck.fingerboardRadiusMm.lastFret : neck.fingerboardRadiusMm.nut;
  return Number.isFinite(radius) ? Math.sqrt(Math.max(0, radius ** 2 - y ** 2)) - radius : 0;
}

/** Axis of one string over the glue line, at the nut and straight on to the saddle. */
function axisOf(places: StringPlaces, gaugeMm: number, at: number, count: number): { readonly heightAtNutMm: number; readonly heightAtSaddleMm: number } {
  const share = count === 1 ? 0.5 : at / (count - 1);
  const nut = places.boardAtNutMm + places.dropMm(share, false) + places.crownMm + places.atNutMm + gaugeMm / 2;
  const end = places.boardAtEndMm + places.dropMm(share, true) + places.crownMm + places.bassMm + (places.trebleMm - places.bassMm) * share + gaugeMm / 2;
  return { heightAtNutMm: nut, heightAtSaddleMm: nut + ((end - nut) * places.scaleLengthMm) / places.endMm };
}

function unknownSet(neck: Neck, places: StringPlaces): StringLoad {
  const axes = Array.from({ length: UNKNOWN_SET.count }, (_, at) => axisOf(places, UNKNOWN_SET.gaugeMm, at, UNKNOWN_SET.count));
  const mean = (of: (axis: (typeof axes)[number]) => number): number => axes.reduce((sum, axis) => sum + of(axis), 0) / axes.length;
  return {
    totalTensionN: UNKNOWN_SET.totalN, shareU: UNKNOWN_SET.shareU,
    heightAtNutMm: mean((axis) => axis.heightAtNutMm), heightAtSaddleMm: mean((axis) => axis.heightAtSaddleMm),
    saddleMm: neck.scaleLengthMm, heightU: ASSUMED_HEIGHT_U_MM, each: [],
    assumed: [`strings: not given, taken as a light set of six that pulls ${UNKNOWN_SET.totalN} N in all, give or take half (common practice, no source)`, ...places.assumed],
  };
}

function tuningWords(strings: readonly NeckString[], notes: readonly string[] | undefined): readonly string[] {
  const isUnsaid = strings.some((string) => string.tensionN === undefined && string.frequencyHz === undefined && string.note === undefined);
  return isUnsaid && notes !== undefined ? [`pitch of strings that state none: six strings tuned ${notes.join(" ")} (common practice, no source)`] : [];
}

function weighted<T extends { readonly tensionN: number }>(each: readonly T[], total: number, of: (one: T) => number): number {
  return each.reduce((sum, one) => sum + one.tensionN * of(one), 0) / total;
}

/** Said wherever strings are to be brought to pitch or let down. */
export const STRING_CAUTION =
  "Caution: strings at pitch pull as hard as a person's weight on the neck, and a string that breaks whips. Bring them up in turn and by steps, keep your face away, protect your eyes; follow the makers of strings and rod, and local rules.";
