import { fretDistanceMm } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { widthMm } from "../neck/surface.js";
import type { LineProfile, Survey } from "../survey/survey.js";
import { NORMAL_95 } from "../units/measured.js";

/** A line of print: its text, unescaped, and the type size. */
export type Print = { readonly lines: readonly string[]; readonly sizePx: number; readonly leadingPx: number };

/** One panel of the side view. */
export type Panel = { readonly line: string; readonly heading: Print; readonly headingTopPx: number; readonly topPx: number; readonly bottomPx: number };

/** Where everything on the drawing sheet stands, px from its top left corner. */
export type Sheet = {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly leftPx: number;
  readonly rightPx: number;
  readonly title: Print;
  readonly caption: Print;
  readonly captionTopPx: number;
  readonly panels: readonly Panel[];
  readonly strip: { readonly topPx: number; readonly bottomPx: number };
  /** The words under the fret numbers. */
  readonly axis: Print;
  readonly legendTopPx: number;
  readonly notesTopPx: number;
  readonly notes: Print;
  readonly xRangeMm: readonly [number, number];
  readonly yRangeMm: readonly [number, number];
};

export const LEFT_PX = 66;
export const RIGHT_PX = 62;
export const TOP_PX = 16;
/** From the edge of the sheet to its writing. */
export const MARGIN_PX = 20;
/** Room for the fret numbers under the board. */
export const FRET_NUMBERS_PX = 22;
export const LEGEND_ROW_PX = 22;

export const CAPTION_BEFORE = "Side view, nut at the left. Heights are drawn ";
export const CAPTION_AFTER = " times too tall.";

/** The caption with the height scale in it. */
export function captionText(times: number): string {
  return `${CAPTION_BEFORE}${times}${CAPTION_AFTER}`;
}

/** What the numbers under the board are. */
export function axisText(neck: Neck): string {
  return `fret, at its true place (last fret ${fretDistanceMm(neck.scaleLengthMm, neck.frets).toFixed(0)} mm from the nut); board drawn to scale, treble side up`;
}

/** Room beside the board, as a share of its length. */
const END_ROOM = 0.025;
/** A neck that is straight to within this is drawn flat, not blown up until noise looks like a shape, mm. */
const LEAST_HALF_RANGE_MM = 0.04;

/** The stretch along the neck that is drawn: the board from the nut to past the last fret. */
export function xRangeMm(neck: Neck): readonly [number, number] {
  const end = fretDistanceMm(neck.scaleLengthMm, neck.frets);
  return [-END_ROOM * end, end * (1 + END_ROOM)];
}

/** Widest place of the board, with a little room, mm. */
export function stripWidthMm(neck: Neck): number {
  return 1.12 * Math.max(widthMm(neck, 0), widthMm(neck, fretDistanceMm(neck.scaleLengthMm, neck.frets)));
}

/**
 * The heights that are drawn: every value, and the bars and bands around them as far as they are of the same order.
 * A bar much longer than what is measured runs out of the picture instead of flattening it.
 */
export function yRangeMm(survey: Survey, lines: readonly string[]): readonly [number, number] {
  const points = [
    ...survey.heights.filter((height) => lines.includes(height.line)).map(({ heightMm, uMm }) => ({ heightMm, uMm })),
    ...survey.lines.filter((profile) => lines.includes(profile.line)).flatMap(profilePoints),
  ];
  const values = points.map((point) => point.heightMm);
  const spread = Math.max(...values, 0) - Math.min(...values, 0);
  const mostBarMm = Math.max(0.1, spread);
  const low = Math.min(-LEAST_HALF_RANGE_MM, ...points.map(({ heightMm, uMm }) => heightMm - Math.min(NORMAL_95 * uMm, mostBarMm)));
  const high = Math.max(LEAST_HALF_RANGE_MM, ...points.map(({ heightMm, uMm }) => heightMm + Math.min(NORMAL_95 * uMm, mostBarMm)));
  const room = 0.07 * (high - low);
  return [low - room, high + room];
}

function profilePoints(profile: LineProfile): readonly { readonly heightMm: number; readonly uMm: number }[] {
  return profile.heightMm.map((heightMm, index) => ({ heightMm, uMm: profile.uMm[index] ?? 0 }));
}

/** How many times too tall heights are drawn, to two digits. */
export function timesTooTall(sheet: Sheet): number {
  const panel = sheet.panels[0];
  const panelPx = panel === undefined ? 1 : panel.bottomPx - panel.topPx;
  const up = panelPx / (sheet.yRangeMm[1] - sheet.yRangeMm[0]);
  const along = (sheet.widthPx - sheet.leftPx - sheet.rightPx) / (sheet.xRangeMm[1] - sheet.xRangeMm[0]);
  return Number((up / along).toPrecision(2));
}

/** Height of a block of print, px. */
export function printHeightPx(print: Print): number {
  return print.lines.length * print.leadingPx;
}
