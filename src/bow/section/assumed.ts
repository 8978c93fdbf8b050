import type { Neck, SizeAt, TrussRod } from "../../neck/neck.js";
import { fretDistanceMm } from "../../neck/frets.js";
import { lengthWords } from "../../units/words.js";

/** Sizes a bow model needs; what the neck does not state is common practice, no source, and stands in `assumed`. */
export type NeckSizes = {
  readonly board: readonly SizeAt[];
  readonly total: readonly SizeAt[];
  readonly backExponent: number;
  /** The void under the board; undefined where the neck has no rod. */
  readonly channel?: { readonly fromMm: number; readonly toMm: number; readonly widthMm: number; readonly depthMm: number };
  /** Distance from the nut at which the body takes hold, mm; the last fret where no joint was stated. */
  readonly jointMm: number;
  /** The thicknesses were measured, not assumed. */
  readonly measured: { readonly board: boolean; readonly total: boolean };
  readonly assumed: readonly string[];
};

const BOARD_MM = 6;
const TOTAL_MM = { nut: 20, twelfth: 22 } as const;
const BACK_EXPONENT = 2;
const CHANNEL_MM = { width: 6.4, depth: 10 } as const;
/** A rod's channel begins this far behind the nut where nothing is said. */
const CHANNEL_FROM_MM = 10;

/** The sizes of a neck for its bow, with every default listed in a builder's words. */
export function neckSizes(neck: Neck): NeckSizes {
  const joint = neck.bodyJoint ?? neck.frets;
  const jointMm = fretDistanceMm(neck.scaleLengthMm, joint);
  const board = neck.thickness?.board ?? [];
  const total = neck.thickness?.total ?? [];
  const channel = channelOf(neck.rod, jointMm);
  return {
    board: board.length > 0 ? board : [{ at: "nut", xMm: 0, mm: BOARD_MM }],
    total: total.length > 0 ? total : [{ at: "nut", xMm: 0, mm: TOTAL_MM.nut }, { at: "12", xMm: neck.scaleLengthMm / 2, mm: TOTAL_MM.twelfth }],
    backExponent: neck.backShape ?? BACK_EXPONENT,
    ...(channel === undefined ? {} : { channel }),
    jointMm,
    measured: { board: board.length > 0, total: total.length > 0 },
    assumed: [
      ...(board.length > 0 ? [] : [`thickness of the board: not given, taken as ${lengthWords(BOARD_MM)} (common practice, no source)`]),
      ...(total.length > 0 ? [] : [`thickness of neck and board: not given, taken as ${lengthWords(TOTAL_MM.nut)} at the nut and ${lengthWords(TOTAL_MM.twelfth)} half way along the scale (common practice, no source)`]),
      ...(neck.backShape === undefined ? ["shape of the neck's back: not given, taken as a half ellipse (common practice, no source)"] : []),
      ...(neck.bodyJoint === undefined ? [`body joint: not given, the neck is taken as held from fret ${neck.frets} on`] : []),
      ...channelAssumed(neck.rod, channel),
    ],
  };
}

function channelOf(rod: TrussRod | undefined, jointMm: number): NeckSizes["channel"] {
  if (rod?.works === "none") return undefined;
  return {
    fromMm: rod?.fromMm ?? CHANNEL_FROM_MM, toMm: rod?.toMm ?? jointMm,
    widthMm: rod?.channelWidthMm ?? CHANNEL_MM.width, depthMm: rod?.channelDepthMm ?? CHANNEL_MM.depth,
  };
}

function channelAssumed(rod: TrussRod | undefined, channel: NeckSizes["channel"]): readonly string[] {
  if (channel === undefined || (rod?.channelWidthMm !== undefined && rod.channelDepthMm !== undefined)) return [];
  return [`rod channel: not given in full, taken as ${channel.widthMm} mm wide and ${channel.depthMm} mm deep (common practice, no source)`];
}

/**
 * A size at x: straight between the places where it was measured, as at the nearest of them outside.
 * @throws {RangeError} no measured place at all
 * @example near(sizeAtMm([{ at: "nut", xMm: 0, mm: 20 }, { at: "12", xMm: 300, mm: 23 }], 100), 21, { abs: 1e-12 });
 */
export function sizeAtMm(sizes: readonly SizeAt[], xMm: number): number {
  const [first, last] = [sizes[0], sizes.at(-1)];
  if (first === undefined || last === undefined) throw new RangeError("Cannot give a size: expected one measured place or more, got none");
  if (xMm <= first.xMm) return first.mm;
  for (let index = 1; index < sizes.length; index++) {
    const [a, b] = [sizes[index - 1], sizes[index]];
    if (a !== undefined && b !== undefined && xMm < b.xMm) return a.mm + ((b.mm - a.mm) * (xMm - a.xMm)) / (b.xMm - a.xMm);
  }
  return last.mm;
}
