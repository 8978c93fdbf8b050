import type { Comparison } from "../shape/comparisonResult.js";
import { magnitude } from "../shape/drawn.js";
import type { LineChange } from "../shape/lineChange.js";
import type { Survey } from "../survey/survey.js";
import { bowWords, lengthWords, measuredWords, type UnitOrder } from "../units/words.js";
import { boardStrip } from "./boardStrip.js";
import { changeTraces, SURE_NAME } from "./changeTraces.js";
import { lineIndex, stripAxis, type Drawing } from "./drawing.js";
import type { Figure, NarrowerLayout } from "./figure.js";
import { layout } from "./layout.js";
import { lineLook } from "./look.js";
import { laidOut, type Told } from "./place.js";
import { timesTooTall } from "./sheet.js";
import { heightScale, writing } from "./writing.js";

const LEAST_WIDTH_PX = 480;
/** Widths for which a figure is laid out anew where a page is narrower. */
const NARROWER_PX = [780, 660, 560, LEAST_WIDTH_PX];

/** How a comparison is drawn; everything may be left out. */
export type ComparisonFigureOptions = {
  /** Which unit stands first and on the left; mm unless said. */
  readonly order?: UnitOrder;
  /** Names of the lines to draw; all that were compared unless said. */
  readonly lines?: readonly string[];
  /** 480 to 1600; 900 unless said. */
  readonly widthPx?: number;
};

type Compared = Extract<LineChange, { status: "compared" }>;

/**
 * What changed between two surveys, line by line: the change of the neck line over its chord with its 95 % band, thick where the band leaves
 * no doubt that something changed; below it the board from above with the places read in the later survey. Up is up.
 * @param comparison what `compareSurveys` gave
 * @throws {RangeError} a width outside 480 to 1600 px, or a line that the neck does not have
 */
export function comparisonFigure(comparison: Comparison, options: ComparisonFigureOptions = {}): Figure {
  const widthPx = options.widthPx ?? 900;
  if (!(widthPx >= LEAST_WIDTH_PX && widthPx <= 1600)) throw new RangeError(`Cannot draw the comparison: expected a width of ${LEAST_WIDTH_PX} to 1600 px, got ${widthPx}`);
  const order = options.order ?? "mm first";
  const changes = drawnChanges(comparison, options.lines);
  const told = toldOf(comparison, changes, order);
  const survey = asSurvey(comparison.surveys[1], changes);
  const lines = changes.map(({ line }) => line);
  const drawnAt = (px: number): Drawing => ({ survey, order, reliefs: [], chords: { datum: SURE_NAME, told: [] }, sheet: laidOut({ survey, lines, reliefs: [], order, panelPx: undefined, told }, px) });
  const drawing = drawnAt(widthPx);
  const annotations = writing(drawing);
  return {
    data: [...changes.flatMap((change, index) => changeTraces(drawing, change, index)), ...boardStrip(comparison.surveys[1], lines, stripAxis(drawing.sheet))],
    layout: layout(drawing, annotations),
    config: { displaylogo: false, displayModeBar: "hover", responsive: false, scrollZoom: false, doubleClick: "reset", showTips: false },
    alt: `${told.title}. ${[...told.headings.values()].join("; ")}. Changes are drawn ${timesTooTall(drawing.sheet)} times too tall.`,
    fileName: `${comparison.neck} change ${comparison.earlier.stage} to ${comparison.later.stage}`.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60),
    widthPx, heightPx: drawing.sheet.heightPx, heightScale: heightScale(annotations),
    narrower: NARROWER_PX.filter((px) => px < widthPx).map((px) => narrower(drawnAt(px))),
  };
}

function narrower(drawing: Drawing): NarrowerLayout {
  return { widthPx: drawing.sheet.widthPx, heightPx: drawing.sheet.heightPx, layout: layout(drawing, writing(drawing)) };
}

function drawnChanges(comparison: Comparison, asked: readonly string[] | undefined): readonly Compared[] {
  const known = comparison.surveys[1].neck.lines.map(({ name }) => name);
  const unknown = (asked ?? []).find((line) => !known.includes(line));
  if (unknown !== undefined) throw new RangeError(`Cannot draw line ${unknown}: the lines of this neck are ${known.join(", ")}`);
  if (comparison.status === "undetermined") return [];
  return comparison.lines.flatMap((line) => (line.status === "compared" && (asked === undefined || asked.includes(line.line)) ? [line] : []));
}

/** The changes in the place of heights, so that one sheet serves both drawings. */
function asSurvey(survey: Survey, changes: readonly Compared[]): Survey {
  return {
    ...survey, heights: [], zones: [], blunders: [],
    lines: changes.map(({ line, xMm, changeMm, uMm }) => ({ line, xMm, heightMm: changeMm, uMm })),
    datum: changes.map(({ line, from, to }) => ({ line, from, to })),
  };
}

function toldOf(comparison: Comparison, changes: readonly Compared[], order: UnitOrder): Told {
  const { neck, surveys: [, after] } = comparison;
  const joint = after.neck.bodyJoint === undefined ? "" : `J: body joint, fret ${after.neck.bodyJoint}. `;
  const unread = comparison.status === "undetermined" ? [comparison.need] : comparison.lines.flatMap((line) => (line.status === "not compared" ? [`Not drawn: ${line.line}. ${line.need}.`] : []));
  return {
    title: `${neck}: changes ${sinceWords(comparison)}`,
    headings: new Map(changes.length === 0 ? [["", "The two surveys cannot be compared yet"]] : changes.map((change) => [change.line, heading(after, change, order)])),
    notes: [`${joint}What is drawn is how far the neck line went up or down over the chord of ${chordWords(changes)}; in the middle down is toward forward bow (middle low), up toward back bow (middle high). Hatching: 19 times in 20 the truth lies inside.`, ...unread],
  };
}

/** From which survey to which, the earlier first; as much of it as was stated. */
function sinceWords({ earlier, later }: Comparison): string {
  const named = ({ stage, date }: Comparison["earlier"]): string => [stage, date === "" ? "" : `(${date})`].filter((part) => part !== "").join(" ");
  if (named(later) === "") return `since ${named(earlier) === "" ? "the earlier survey" : named(earlier)}`;
  return `from ${named(earlier) === "" ? "the earlier survey" : named(earlier)} to ${named(later)}`;
}

function chordWords(changes: readonly Compared[]): string {
  const spans = [...new Set(changes.map(({ from, to }) => `frets ${from.label} and ${to.label}`))];
  return spans.length === 1 ? (spans[0] ?? "") : "the frets that both surveys reach";
}

function heading(survey: Survey, { line, bow }: Compared, order: UnitOrder): string {
  const sign = lineLook(lineIndex(survey, line)).sign;
  const isOpen = bow.low95 < 0 && bow.high95 > 0;
  if (isOpen) return `${sign} ${line}: no sure change of bow; at most ${lengthWords(Math.max(-bow.low95, bow.high95), order)}`;
  const much = measuredWords(magnitude(bow), order);
  return `${sign} ${line}: toward ${bowWords(bow.value)}, ${much}`;
}
