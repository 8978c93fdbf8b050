import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { isRead, lineIndex, reliefWords, titleText, type DrawnFret, type DrawnRelief } from "./drawing.js";
import { chordNames } from "./chords.js";
import { fretNotes } from "./fretMarks.js";
import { legendRows } from "./legend.js";
import { lineLook, SMALLEST_TEXT_PX } from "./look.js";
import { axisText, captionText, FRET_NUMBERS_PX, LEFT_PX, LEGEND_ROW_PX, MARGIN_PX, printHeightPx, RIGHT_PX, stripWidthMm, TOP_PX, xRangeMm, yRangeMm, type Panel, type Print, type Sheet } from "./sheet.js";
import { wrapped } from "./text.js";
import { ZONE_ROW_PX, zoneNotes } from "./zones.js";

/** Room that the title leaves for the buttons of the live figure. */
const BUTTONS_PX = 140;

/** What is to be placed on a sheet. */
export type Placing = { readonly survey: Survey; readonly lines: readonly string[]; readonly reliefs: readonly DrawnRelief[]; readonly order: UnitOrder; readonly panelPx: number | undefined; readonly frets?: readonly DrawnFret[]; readonly told?: Told; /** A card has its own title, key and notes beside the drawing. */ readonly isCard?: boolean };

/** Words of a drawing that is not of one survey's heights. */
export type Told = { readonly title: string; /** By line; `""` where no line is drawn. */ readonly headings: ReadonlyMap<string, string>; readonly notes: readonly string[] };

/** Places everything on a sheet of this width, from the top down; what is long is wrapped and takes the room it needs. */
export function laidOut(placing: Placing, widthPx: number): Sheet {
  const { survey, lines, reliefs, isCard = false } = placing;
  const textPx = widthPx - 2 * MARGIN_PX;
  const x = xRangeMm(survey.neck);
  const y = yRangeMm(survey, lines);
  const pxPerMm = (widthPx - LEFT_PX - RIGHT_PX) / (x[1] - x[0]);
  const title: Print = { lines: isCard ? [] : wrapped(placing.told?.title ?? titleText(survey), textPx - BUTTONS_PX, 21, 3), sizePx: 20, leadingPx: 26 };
  const caption: Print = { lines: isCard ? [] : wrapped(captionText(10_000), textPx, 13), sizePx: 13, leadingPx: 18 };
  const captionTopPx = isCard ? 0 : TOP_PX + printHeightPx(title) + 2;
  const panels = placedPanels(placing, isCard ? 0 : captionTopPx + printHeightPx(caption) + 10, textPx);
  const stripTopPx = (panels.at(-1)?.bottomPx ?? 0) + 14;
  const stripBottomPx = stripTopPx + stripWidthMm(survey.neck) * pxPerMm;
  const axis: Print = { lines: isCard ? [] : wrapped(axisText(survey.neck), widthPx - LEFT_PX - MARGIN_PX, SMALLEST_TEXT_PX), sizePx: SMALLEST_TEXT_PX, leadingPx: 17 };
  const legendTopPx = stripBottomPx + FRET_NUMBERS_PX + printHeightPx(axis) + 5;
  const legendPx = isCard ? 0 : LEGEND_ROW_PX * legendRows(chordNames(survey, lines, reliefs), widthPx - LEFT_PX - RIGHT_PX) + 8;
  const notes: Print = { lines: isCard ? [] : (placing.told?.notes ?? notesText(placing)).flatMap((note) => wrapped(note, textPx, SMALLEST_TEXT_PX, 4)), sizePx: SMALLEST_TEXT_PX, leadingPx: 17 };
  const notesTopPx = legendTopPx + legendPx;
  return {
    widthPx, heightPx: Math.ceil(notesTopPx + printHeightPx(notes) + (isCard ? 0 : 12)), leftPx: LEFT_PX, rightPx: RIGHT_PX,
    title, caption, captionTopPx, panels, strip: { topPx: stripTopPx, bottomPx: stripBottomPx }, axis, legendTopPx, notesTopPx, notes, xRangeMm: x, yRangeMm: y,
  };
}

function placedPanels({ survey, lines, reliefs, order, panelPx: asked, told, isCard = false }: Placing, topPx: number, textPx: number): readonly Panel[] {
  const panelPx = asked ?? [250, 250, 185, 150][lines.length] ?? 130;
  return (lines.length === 0 ? [""] : lines).reduce<readonly Panel[]>((placed, line) => {
    const heading: Print = { lines: wrapped(told?.headings.get(line) ?? headingText(survey, line, reliefs, order), textPx, 14, 3), sizePx: 14, leadingPx: 19 };
    const last = placed.at(-1);
    const headingTopPx = last === undefined ? topPx : last.bottomPx + (isCard ? 3 : 10);
    const top = headingTopPx + printHeightPx(heading) + 4 + ZONE_ROW_PX * survey.zones.length;
    return [...placed, { line, heading, headingTopPx, topPx: top, bottomPx: top + panelPx }];
  }, []);
}

function headingText(survey: Survey, line: string, reliefs: readonly DrawnRelief[], order: UnitOrder): string {
  if (line === "") return "No place on this neck is determined yet";
  const sign = lineLook(lineIndex(survey, line)).sign;
  const relief = reliefs.find((candidate) => candidate.line === line);
  if (relief === undefined) return `${sign} ${line}`;
  return relief.status === "determined" ? `${sign} ${line}: ${reliefWords(relief.relief, order)}, most at fret ${relief.at.label}` : `${sign} ${line}: relief not determined`;
}

function notesText({ survey, lines, reliefs, order, frets = [] }: Placing): readonly string[] {
  const unread = survey.neck.lines.map((line) => line.name).filter((line) => !isRead(survey, line));
  const joint = survey.neck.bodyJoint === undefined ? [] : [`J: body joint, fret ${survey.neck.bodyJoint}.`];
  const odd = survey.blunders.filter((blunder) => lines.includes(blunder.line)).map((blunder) => `${/^\d+$/.test(blunder.at) ? "fret " : ""}${blunder.at} ${blunder.line}`);
  return [
    [...joint, "Bars and hatching: 19 times in 20 the truth lies inside.", ...chordNames(survey, lines, reliefs).told].join("  "),
    ...zoneNotes(survey, order),
    ...fretNotes(frets),
    ...(unread.length > 0 ? [`Not drawn for want of readings: ${unread.join(", ")}.`] : []),
    ...(odd.length > 0 ? [`Ringed: a reading that does not fit the others (${odd.join("; ")}).`] : []),
  ];
}
