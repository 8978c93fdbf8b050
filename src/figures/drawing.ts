import type { FretClass } from "../frets/fretClass.js";
import { magnitude } from "../shape/drawn.js";
import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { bowWords, measuredWords, type UnitOrder } from "../units/words.js";
import type { Sheet } from "./sheet.js";

/** What `reliefs` of the shape says of one line, as far as it is drawn. */
export type DrawnRelief =
  | {
      readonly status: "determined";
      readonly line: string;
      readonly relief: Measured;
      readonly at: { readonly label: string; readonly xMm: number };
      readonly from: { readonly label: string; readonly xMm: number };
      readonly to: { readonly label: string; readonly xMm: number };
    }
  | { readonly status: "undetermined"; readonly line: string; readonly need: string };

/** What a fret report says of one fret, as far as it is drawn. */
export type DrawnFret = {
  readonly fret: number;
  readonly class: FretClass;
  /** Lines on which it is off. */
  readonly off: readonly string[];
  /** Its height over the neck line on each line read: where it is marked if its own height was not determined. */
  readonly lines: readonly { readonly line: string; readonly high: Measured }[];
  /** The line that is told, marked where the fret is to be read once more. */
  readonly told: { readonly line: string };
  readonly action: { readonly do: string };
  /** Frets of a zone have the zone's bracket and no mark of their own. */
  readonly zone?: unknown;
};

/** What the two chords of a drawing are called; `relief` only where a relief has a chord of its own. */
export type ChordNames = { readonly datum: string; readonly relief?: string; /** In full, for the notes. */ readonly told: readonly string[] };

/** A survey on its way to becoming a figure. */
export type Drawing = { readonly survey: Survey; readonly order: UnitOrder; readonly reliefs: readonly DrawnRelief[]; readonly chords: ChordNames; readonly sheet: Sheet; /** On white, without legend. */ readonly isCard?: boolean; /** Frets to mark. */ readonly frets?: readonly DrawnFret[] };

/** Place of a line in the neck's list of lines, bass first; it decides the look. */
export function lineIndex(survey: Survey, line: string): number {
  return Math.max(0, survey.neck.lines.findIndex((candidate) => candidate.name === line));
}

/** Which way, how much, give or take: `forward bow (middle low), 0.18 mm, give or take 0.02 (7.1 thou, give or take 0.8)`. */
export function reliefWords(relief: Measured, order: UnitOrder): string {
  const words = measuredWords(magnitude(relief), order);
  const isOpen = relief.low95 < 0 && relief.high95 > 0;
  return isOpen ? `straight within what was read, best estimate ${bowWords(relief.value)}, ${words}` : `${bowWords(relief.value)}, ${words}`;
}

/** Neck, stage and date in one line. */
export function titleText(survey: Survey): string {
  return [survey.neck.name, survey.sheet.stage, survey.sheet.date].filter((part) => part !== "").join("  ·  ");
}

export function isRead(survey: Survey, line: string): boolean {
  return survey.heights.some((height) => height.line === line) || survey.lines.some((profile) => profile.line === line);
}

/** Plotly's paper coordinate of a height on the sheet: 1 at the top of the first panel, 0 at the bottom of the board. */
export function paperY(sheet: Sheet, px: number): number {
  const top = sheet.panels[0]?.topPx ?? 0;
  return rounded((sheet.strip.bottomPx - px) / (sheet.strip.bottomPx - top), 6);
}

export function mmAxis(index: number): string {
  return index === 0 ? "y" : `y${2 * index + 1}`;
}

export function thouAxis(index: number): string {
  return `y${2 * index + 2}`;
}

export function stripAxis(sheet: Sheet): string {
  return `y${2 * sheet.panels.length + 1}`;
}

export function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals)) + 0; // no minus before zero
}
