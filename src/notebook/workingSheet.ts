import type { BenchStep } from "../advice/levelPlan/benchSteps.js";
import { wrapped } from "../figures/text.js";

/** Text in print: its width, its type and how far its lines stand apart. */
type Set = { readonly widthMm: number; readonly typePt: number; readonly leading: number };

/** What stands on the working card, as far as its height counts. */
export type SheetWords = {
  readonly name: string;
  readonly headline: string;
  readonly why: string;
  /** What stands in the two columns: a heading that runs into what is to be done, and smaller type under it. */
  readonly parts: readonly BenchStep[];
  readonly tableRows: number;
  /** Notes, what matters most first. */
  readonly notes: readonly string[];
  readonly lines: number;
};

/** How a working card is laid out so that it fits one side of one sheet. */
export type SheetPlan = { readonly typePt: number; readonly panelPx: number; readonly notes: number; /** So many parts stand in the left column; the others stand in the right one, under the table. */ readonly left: number };

/** Of A4 and Letter the narrower width and the lesser height, mm, within margins of 9 and 10 mm. */
const SHEET = { widthMm: 190, heightMm: 261 } as const;
const COLUMN_GAP_MM = 6;
/** The drawing is made this wide and printed over the sheet's whole width. */
export const DRAWN_PX = 718;

/**
 * Type of what is read while working, pt: the first gives 2.2 mm of x-height in the faces of the card (0.52 of the type in Arial and its kin);
 * the others only where the words are too many.
 */
const WORK_TYPES_PT = [12.1, 11.6, 11.1, 10.6, 10.1, 9.6] as const;
const LEAST_PT = 9.6;
export const LEADING = 1.16;
const NOTE = { widthMm: SHEET.widthMm, typePt: 9, leading: 1.2 } as const;
const PANEL_PX = { many: 30, least: 44, usual: 70, most: 130 } as const;
const MOST_NOTES = 4;
/** Type of what is read before the work, and of notes. */
const SMALL_PT = 9.5;
/** Faces differ, and an estimate is one: on the fullest card it falls 3 mm short. */
const SPARE_MM = 7;

/**
 * Type as large, drawing as high and notes as many as fit one side: first the usual height of the drawing with the largest type, notes only where they fit,
 * and what is left goes to the drawing.
 */
export function sheetPlan(words: SheetWords): SheetPlan {
  for (const typePt of WORK_TYPES_PT) {
    const columns = columnsOf(words, typePt);
    for (const least of [PANEL_PX.usual, leastPx(words.lines)]) {
      for (let notes = Math.min(MOST_NOTES, words.notes.length); notes >= Math.min(1, words.notes.length); notes--) {
        const freeMm = SHEET.heightMm - SPARE_MM - headMm(words) - columns.heightMm - notesMm(words, notes) - drawingMm(words.lines, 0);
        const panelPx = Math.floor(freeMm / words.lines / PX_MM);
        if (panelPx >= least) return { typePt, panelPx: Math.min(PANEL_PX.most, panelPx), notes, left: columns.left };
      }
    }
  }
  return { typePt: LEAST_PT, panelPx: leastPx(words.lines), notes: Math.min(1, words.notes.length), left: columnsOf(words, LEAST_PT).left };
}

/** Many lines share the room that three have. */
function leastPx(lines: number): number {
  return lines > 4 ? PANEL_PX.many : PANEL_PX.least;
}

/** Running text is narrower than the estimate, which is made for labels. */
const WIDER = 1.05;
const PT_MM = 25.4 / 72;
/** One px of the drawing in print. */
const PX_MM = SHEET.widthMm / DRAWN_PX;

function textMm(text: string, { widthMm, typePt, leading }: Set): number {
  const typeMm = typePt * PT_MM;
  return text === "" ? 0 : wrapped(text, WIDER * widthMm, typeMm).length * typeMm * leading;
}

function headMm({ name, headline, why }: SheetWords): number {
  const across = SHEET.widthMm;
  return textMm(name, { widthMm: across, typePt: 17, leading: 1.15 }) + 6 + textMm(headline, { widthMm: across, typePt: 13.5, leading: 1.2 }) + textMm(why, { widthMm: across, typePt: 10, leading: 1.18 }) + 3;
}

/** Heading row, panel and gap of each line, fret numbers, and two rows of key. */
function drawingMm(lines: number, panelPx: number): number {
  return (lines * (26 + panelPx) + 24) * PX_MM + 8;
}

/** Where the steps go over into the right column, which begins with the table, so that both end as early as they can. */
function columnsOf({ parts, tableRows }: SheetWords, typePt: number): { readonly left: number; readonly heightMm: number } {
  const widthMm = (SHEET.widthMm - COLUMN_GAP_MM) / 2;
  const lineMm = typePt * PT_MM * LEADING;
  const heights = parts.map(({ heading, does, how }) => textMm(`1 _ ${heading} ${does}`, { widthMm, typePt, leading: LEADING }) + textMm(how.join(" "), { widthMm, typePt: SMALL_PT, leading: LEADING }) + 1.9);
  const sum = (some: readonly number[]): number => some.reduce((all, one) => all + one, 0);
  const tableMm = lineMm + 6 + tableRows * (lineMm + 0.7);
  const ends = heights.map((_, left) => Math.max(sum(heights.slice(0, left)), tableMm + sum(heights.slice(left))));
  const heightMm = Math.min(...ends);
  return { left: ends.indexOf(heightMm), heightMm };
}

function notesMm({ notes }: SheetWords, count: number): number {
  return notes.slice(0, count).reduce((sum, note) => sum + textMm(note, NOTE), 0) + (count < notes.length ? textMm("x", NOTE) : 0) + 2;
}
