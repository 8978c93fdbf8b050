import { isBassScale } from "../../neck/defaults.js";
import { fretDistanceMm } from "../../neck/frets.js";
import type { Neck, NeckString } from "../../neck/neck.js";
import { onePull, type StringPull } from "../cases/stringPull.js";
import { neckSizes, sizeAtMm } from "../section/assumed.js";
import { stringTension } from "./tension.js";

/** The pull of a set of strings, along one line straight from nut slot to saddle, and how well it is known. */
export type StringLoad = {
  /** Absent where the strings were not given and no usual set may be taken. */
  readonly pull?: StringPull;
  /** Standard uncertainty of the whole tension as a share of it. */
  readonly shareU: number;
  /** Standard uncertainty of the line's height, mm. */
  readonly heightUMm: number;
  /** Bass to treble; empty where the strings were not given one by one. */
  readonly each: readonly StringPull[];
  readonly assumed: readonly string[];
};

/** Common practice, no source, all of them: mm, and the pitches of six strings, bass to treble. */
const COMMON = { atNutMm: 0.5, bassMm: 2.6, trebleMm: 2.1, crownMm: 1.1, spreadAtNutMm: 35, spreadAtSaddleMm: 52 } as const;
const SIX_STRINGS = ["E2", "A2", "D3", "G3", "B3", "E4"] as const;
/** A set of which nothing is known: light six-string sets pull 370 to 460 N, heavier and twelve-string ones much more (common practice, no source). */
const UNKNOWN_SET = { totalN: 420, shareU: 0.25, count: 6, gaugeMm: 0.65 } as const;
/** Heights that had to be assumed (own judgement), mm. */
const ASSUMED_HEIGHT_U_MM = 0.4;
/** Heights that a builder measured. */
const STATED_HEIGHT_U_MM = 0.1;
const LEAST_SHARE_U = 0.01;

/**
 * Total pull of a neck's strings and its line of action over the glue line. No pull where no strings were given on a scale over 760 mm (30 in). What the neck file does not say is common practice and listed as assumed.
 * @throws {RangeError} a string of which neither pitch nor tension can be told
 */
export function stringLoad(neck: Neck): StringLoad {
  const places = placesOf(neck);
  const strings = neck.strings?.each;
  if (strings === undefined || strings.length === 0) return isBassScale(neck.scaleLengthMm) ? NOT_KNOWN : unknownSet(places);
  const notes = strings.length === SIX_STRINGS.length && !isBassScale(neck.scaleLengthMm) ? SIX_STRINGS : undefined;
  const tensions = strings.map((string, at) => stringTension(string, neck.scaleLengthMm, `string ${at + 1}`, notes?.[at]));
  const each = strings.map((string, at) => ({ tensionN: tensions[at]?.tensionN ?? 0, ...axisOf(places, string.gaugeMm, at, strings.length) }));
  const pull = onePull(each);
  return {
    pull, each,
    shareU: Math.max(LEAST_SHARE_U, tensions.reduce((sum, one) => sum + one.tensionN * one.shareU, 0) / pull.tensionN), // gauges and cores of a set err together
    heightUMm: places.heightUMm,
    assumed: [...togetherWords(tensions.flatMap((one) => one.assumed)), ...tuningWords(strings, notes), ...places.assumed],
  };
}

/** What was assumed of several strings alike, said once: `strings 1, 2 and 3: ...` */
function togetherWords(assumed: readonly string[]): readonly string[] {
  const parts = assumed.flatMap((text) => {
    const [, number, what] = /^string (\d+): (.*)$/.exec(text) ?? [];
    return number === undefined || what === undefined ? [] : [{ number, what }];
  });
  return [...new Set(parts.map(({ what }) => what))].map((what) => {
    const which = parts.filter((part) => part.what === what).map(({ number }) => number);
    return which.length === 1 ? `string ${which.join("")}: ${what}` : `strings ${which.slice(0, -1).join(", ")} and ${which.at(-1)}: ${what}`;
  });
}

type StringPlaces = {
  readonly boardMm: readonly [number, number]; readonly crownMm: number; readonly endMm: number; readonly scaleLengthMm: number;
  readonly atNutMm: number; readonly bassMm: number; readonly trebleMm: number;
  readonly dropMm: (share: number, atEnd: boolean) => number;
  readonly heightUMm: number; readonly assumed: readonly string[];
};

function placesOf(neck: Neck): StringPlaces {
  const { strings = {} } = neck;
  const last = strings.heightAtLastFretMm;
  const endMm = fretDistanceMm(neck.scaleLengthMm, neck.frets);
  const { board } = neckSizes(neck);
  const assumed = [
    ...(strings.heightAtNutMm === undefined ? [`string height at the nut: ${COMMON.atNutMm} mm over the crowns`] : []),
    ...(last === undefined ? [`string height over the last fret: ${COMMON.bassMm} mm bass, ${COMMON.trebleMm} mm treble`] : []),
    ...(neck.crownHeightMm === undefined ? [`crown height: ${COMMON.crownMm} mm`] : []),
  ].map((words) => `${words} (common practice, no source)`);
  return {
    boardMm: [sizeAtMm(board, 0), sizeAtMm(board, endMm)], crownMm: neck.crownHeightMm ?? COMMON.crownMm, endMm, scaleLengthMm: neck.scaleLengthMm,
    atNutMm: strings.heightAtNutMm ?? COMMON.atNutMm, bassMm: last?.bass ?? COMMON.bassMm, trebleMm: last?.treble ?? COMMON.trebleMm,
    dropMm: (share, atEnd) => radiusDrop(neck, share, atEnd), heightUMm: assumed.length > 0 ? ASSUMED_HEIGHT_U_MM : STATED_HEIGHT_U_MM, assumed,
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
function axisOf(places: StringPlaces, gaugeMm: number, at: number, count: number): Omit<StringPull, "tensionN"> {
  const share = count === 1 ? 0.5 : at / (count - 1);
  const [atNut, atEnd] = places.boardMm;
  const zNutMm = atNut + places.dropMm(share, false) + places.crownMm + places.atNutMm + gaugeMm / 2;
  const zEndMm = atEnd + places.dropMm(share, true) + places.crownMm + places.bassMm + (places.trebleMm - places.bassMm) * share + gaugeMm / 2;
  return { zNutMm, zSaddleMm: zNutMm + ((zEndMm - zNutMm) * places.scaleLengthMm) / places.endMm, saddleMm: places.scaleLengthMm };
}

/** Bass sets of four to six strings pull very unlike totals (from memory, no source): no one of them stands for the others. */
const NOT_KNOWN: StringLoad = {
  each: [], shareU: UNKNOWN_SET.shareU, heightUMm: ASSUMED_HEIGHT_U_MM,
  assumed: ["strings: not given, and on a scale over 30 in no usual set is taken: what they do is not known until the neck file gives them"],
};

function unknownSet(places: StringPlaces): StringLoad {
  const { count, gaugeMm, totalN, shareU } = UNKNOWN_SET;
  const alike = Array.from({ length: count }, (_, at) => ({ tensionN: totalN / count, ...axisOf(places, gaugeMm, at, count) }));
  return {
    pull: onePull(alike), each: [], shareU, heightUMm: ASSUMED_HEIGHT_U_MM,
    assumed: [`strings: not given, taken as a light set of six that pulls ${totalN} N in all, give or take half (common practice, no source)`, ...places.assumed],
  };
}

function tuningWords(strings: readonly NeckString[], notes: readonly string[] | undefined): readonly string[] {
  const isUnsaid = strings.some((string) => string.tensionN === undefined && string.frequencyHz === undefined && string.note === undefined);
  return isUnsaid && notes !== undefined ? [`pitch of strings that state none: six strings tuned ${notes.join(" ")} (common practice, no source)`] : [];
}

/** Said wherever strings are to be brought to pitch or let down. */
export const STRING_CAUTION =
  "Caution: strings at pitch pull with the weight of forty kilograms and more, and one that breaks whips. Bring them up in turn and by steps, face away, eyes covered; the makers of strings and rod, and local rules, come first.";
