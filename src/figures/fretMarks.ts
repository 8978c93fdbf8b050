import { fretDistanceMm } from "../neck/frets.js";
import type { FretClass } from "../frets/fretClass.js";
import { mmAxis, rounded, type DrawnFret, type Drawing } from "./drawing.js";
import type { JsonObject } from "./figure.js";
import { INK, PANEL, SMALLEST_TEXT_PX } from "./look.js";
import { heightAt } from "../shape/profile.js";
import { NORMAL_95 } from "../units/measured.js";

type Mark = { readonly letter: string; readonly symbol: string; readonly words: string };

/** Told apart by letter and by the form around the reading, never by colour. */
const MARKS: Readonly<Record<Exclude<FretClass, "as intended"> | "read", Mark>> = {
  high: { letter: "H", symbol: "square-open", words: "H, square: high" },
  "lifted at one end": { letter: "E", symbol: "triangle-up-open", words: "E, triangle: high at one end" },
  "crown not following the radius": { letter: "R", symbol: "diamond-open", words: "R, diamond: crown off the radius" },
  low: { letter: "L", symbol: "triangle-down-open", words: "L, triangle on its tip: low" },
  read: { letter: "?", symbol: "circle-open", words: "?, circle: read once more" },
};

/** From the reading to the middle of its letter. */
const LETTER_PX = 19;

type Placed = { readonly mark: Mark; readonly fret: number; readonly line: string; readonly heightMm: number; readonly uMm: number; readonly isLow: boolean };

/** The forms around the readings of one line. */
export function fretTraces(drawing: Drawing, line: string, axis: JsonObject): readonly JsonObject[] {
  const here = placedMarks(drawing).filter((placed) => placed.line === line);
  if (here.length === 0) return [];
  return [{
    ...axis, type: "scatter", mode: "markers", x: here.map(({ fret }) => xOf(drawing, fret)), y: here.map(({ heightMm }) => rounded(heightMm, 5)),
    marker: { size: 17, symbol: here.map(({ mark }) => mark.symbol), color: INK, line: { color: INK, width: 1.6 } }, hoverinfo: "skip", showlegend: false,
  }];
}

/** The letters beside them: over the give or take of a high fret, under that of a low one. */
export function fretLetters(drawing: Drawing): readonly JsonObject[] {
  return placedMarks(drawing).map(({ mark, fret, line, heightMm, uMm, isLow }): JsonObject => ({
    text: mark.letter, x: xOf(drawing, fret), xref: "x", y: rounded(heightMm + (isLow ? -1 : 1) * NORMAL_95 * uMm, 5), yref: mmAxis(drawing.sheet.panels.findIndex((panel) => panel.line === line)),
    yshift: isLow ? -LETTER_PX : LETTER_PX, showarrow: false, font: { size: SMALLEST_TEXT_PX, color: INK }, bgcolor: PANEL, bordercolor: INK, borderwidth: 1, borderpad: 1.5,
  }));
}

/** What the marks mean, for the notes and for who cannot see them. */
export function fretNotes(frets: readonly DrawnFret[]): readonly string[] {
  const used = [...new Set(frets.flatMap((fret) => markOf(fret) ?? []))];
  return used.length === 0 ? [] : [`${used.map(({ words }) => words).join("; ")}.`];
}

/** The marked frets in words. */
export function markedWords(frets: readonly DrawnFret[]): string {
  const marked = frets.flatMap((fret) => {
    const mark = markOf(fret);
    return mark === undefined ? [] : [`fret ${fret.fret} ${linesOf(fret).join(" and ")} (${mark.words})`];
  });
  return marked.length === 0 ? "" : ` Marked: ${marked.join("; ")}.`;
}

function placedMarks(drawing: Drawing): readonly Placed[] {
  return (drawing.frets ?? []).flatMap((fret) => {
    const mark = markOf(fret);
    if (mark === undefined) return [];
    return linesOf(fret).filter((line) => drawing.sheet.panels.some((panel) => panel.line === line)).flatMap((line): Placed[] => {
      const at = placeOf(drawing, fret, line);
      return at === undefined ? [] : [{ mark, fret: fret.fret, line, ...at, isLow: fret.class === "low" }];
    });
  });
}

/** At its measured height; where that is not determined (a fret that was only rocked), as far over the drawn neck line as it stands. */
function placeOf({ survey }: Drawing, { fret, lines }: DrawnFret, line: string): { readonly heightMm: number; readonly uMm: number } | undefined {
  const measured = survey.heights.find((height) => height.line === line && height.place.fret === fret);
  if (measured !== undefined) return measured;
  const xMm = fretDistanceMm(survey.neck.scaleLengthMm, fret);
  const [profile, over] = [survey.lines.find((one) => one.line === line), lines.find((one) => one.line === line)];
  if (profile === undefined || over === undefined || xMm < (profile.xMm[0] ?? Infinity) || xMm > (profile.xMm.at(-1) ?? -Infinity)) return undefined;
  return { heightMm: heightAt({ of: line, xMm: profile.xMm, vMm: profile.heightMm }, xMm) + over.high.value, uMm: over.high.u };
}

function markOf({ class: stands, action, zone }: DrawnFret): Mark | undefined {
  if (zone !== undefined) return undefined;
  if (action.do === "read" || action.do === "look at the joint") return MARKS.read;
  return stands === "as intended" ? undefined : MARKS[stands];
}

function linesOf({ off, told }: DrawnFret): readonly string[] {
  return off.length === 0 ? [told.line] : off;
}

function xOf({ survey }: Drawing, fret: number): number {
  return rounded(fretDistanceMm(survey.neck.scaleLengthMm, fret), 3);
}
