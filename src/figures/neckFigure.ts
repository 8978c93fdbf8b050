import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { boardStrip } from "./boardStrip.js";
import { isRead, reliefWords, stripAxis, titleText, type Drawing, type DrawnFret, type DrawnRelief } from "./drawing.js";
import { chordNames } from "./chords.js";
import type { Figure, NarrowerLayout } from "./figure.js";
import { markedWords } from "./fretMarks.js";
import { layout } from "./layout.js";
import { panelTraces } from "./panelTraces.js";
import { laidOut } from "./place.js";
import { timesTooTall } from "./sheet.js";
import { heightScale, writing } from "./writing.js";

const LEAST_WIDTH_PX = 480;
/** Widths for which a figure is laid out anew where a page is narrower; between two of them it is scaled, by less than a fifth. */
const NARROWER_PX = [780, 660, 560, LEAST_WIDTH_PX];

/** How a neck is drawn; everything may be left out. */
export type NeckFigureOptions = {
  /** Which unit stands first and on the left; mm unless said. */
  readonly order?: UnitOrder;
  /** Names of the lines to draw; all that were read unless said. */
  readonly lines?: readonly string[];
  /** 480 to 1600; 900 unless said. A page that is narrower shows it laid out anew for its width. */
  readonly widthPx?: number;
  /** Height of each panel, 60 to 600; by the number of lines unless said. */
  readonly panelPx?: number;
  /** `page` (unless said): with title, caption, legend and notes. `card`: without them and on white, since a card has its own beside it; panels may then be 40 px high. */
  readonly for?: "page" | "card";
  /** Reliefs to write over the lines and to mark with a dimension arrow. */
  readonly reliefs?: readonly DrawnRelief[];
  /** Frets to mark by form and letter, from a fret report: `fretReport(survey).frets`. */
  readonly frets?: readonly DrawnFret[];
};

/**
 * Side view of a surveyed neck as a drawing: for each line the measured places with their give or take, the smooth neck line
 * with its 95 % band and the chord from which heights are taken; below them the board from above, true to scale.
 * Heights are drawn much too tall, and the figure says how much. It draws a finished survey: what is not in it already is asked of it.
 * @param survey what `adjust` gave; heights in mm, positive away from the back of the neck
 * @throws {RangeError} a width outside 480 to 1600 px, a panel outside 60 (on a card 40) to 600 px, or a line that the neck does not have
 */
export function neckFigure(survey: Survey, options: NeckFigureOptions = {}): Figure {
  const widthPx = options.widthPx ?? 900;
  if (!(widthPx >= LEAST_WIDTH_PX && widthPx <= 1600)) throw new RangeError(`Cannot draw the neck: expected a width of ${LEAST_WIDTH_PX} to 1600 px, got ${widthPx}`);
  const { panelPx } = options;
  const isCard = options.for === "card";
  const leastPx = isCard ? 40 : 60;
  if (panelPx !== undefined && !(panelPx >= leastPx && panelPx <= 600)) throw new RangeError(`Cannot draw the neck: expected panels ${leastPx} to 600 px high, got ${panelPx}`);
  const lines = drawnLines(survey, options.lines);
  const order = options.order ?? "mm first";
  const reliefs = options.reliefs ?? [];
  const frets = options.frets ?? [];
  const chords = chordNames(survey, lines, reliefs);
  const drawnAt = (px: number): Drawing => ({ survey, order, reliefs, chords, frets, isCard, sheet: laidOut({ survey, lines, reliefs, order, panelPx, frets, isCard }, px) });
  const drawing = drawnAt(widthPx);
  const annotations = writing(drawing);
  return {
    data: [...drawing.sheet.panels.flatMap((panel, index) => panelTraces(drawing, panel, index)), ...boardStrip(survey, lines, stripAxis(drawing.sheet))],
    layout: layout(drawing, annotations),
    config: { displaylogo: false, displayModeBar: "hover", responsive: false, scrollZoom: false, doubleClick: "reset", showTips: false },
    alt: alternative(drawing),
    fileName: fileName(survey),
    widthPx,
    heightPx: drawing.sheet.heightPx,
    ...(isCard ? {} : { heightScale: heightScale(annotations) }),
    narrower: isCard ? [] : NARROWER_PX.filter((px) => px < widthPx).map((px) => narrower(drawnAt(px))),
  };
}

function narrower(drawing: Drawing): NarrowerLayout {
  return { widthPx: drawing.sheet.widthPx, heightPx: drawing.sheet.heightPx, layout: layout(drawing, writing(drawing)) };
}

function drawnLines(survey: Survey, asked: readonly string[] | undefined): readonly string[] {
  const known = survey.neck.lines.map((line) => line.name);
  const unknown = (asked ?? []).find((line) => !known.includes(line));
  if (unknown !== undefined) throw new RangeError(`Cannot draw line ${unknown}: the lines of this neck are ${known.join(", ")}`);
  return known.filter((line) => (asked === undefined || asked.includes(line)) && isRead(survey, line));
}

function alternative(drawing: Drawing): string {
  const { survey, sheet, order } = drawing;
  const lines = sheet.panels.filter((panel) => panel.line !== "").map((panel) => {
    const relief = drawing.reliefs.find((candidate) => candidate.line === panel.line);
    const count = survey.heights.filter((height) => height.line === panel.line).length;
    const words = relief === undefined ? "" : relief.status === "determined" ? `: ${reliefWords(relief.relief, order)}, most at fret ${relief.at.label}` : ": relief not determined";
    return `${panel.line}${words} (${count} place${count === 1 ? "" : "s"} read)`;
  });
  const what = lines.length === 0 ? "No place is determined yet" : `Heights over the chord along ${lines.join("; ")}`;
  return `Side view of ${titleText(survey)}. ${what}. Heights are drawn ${timesTooTall(sheet)} times too tall.${markedWords(drawing.frets ?? [])}`;
}

function fileName(survey: Survey): string {
  const name = `${survey.neck.name} ${survey.sheet.stage} ${survey.sheet.date}`.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "");
  return name === "" ? "neck" : name.slice(0, 60);
}
