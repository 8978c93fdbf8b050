import type { DataFrame } from "danfojs";
import type { RodAdvice } from "../advice/rod/rodAdvised.js";
import type { Verdict } from "../advice/verdict.js";
import type { BowForecast } from "../bow/forecast.js";
import { bowFigure } from "../figures/bowFigure.js";
import { comparisonFigure } from "../figures/comparisonFigure.js";
import type { Figure } from "../figures/figure.js";
import { neckFigure, type NeckFigureOptions } from "../figures/neckFigure.js";
import { rodFigure } from "../figures/rodFigure.js";
import { escaped } from "../figures/text.js";
import type { Comparison } from "../shape/comparisonResult.js";
import type { FretReport } from "../frets/report.js";
import type { Survey } from "../survey/survey.js";
import type { Card } from "./card.js";
import { frameColumns } from "./frame.js";
import { sendHtml } from "./outlet.js";
import { plainly } from "./plainly.js";
import { showFigure } from "./showFigure.js";
import { tableHtml, tableText } from "./table.js";
import { tellLines, tellVerdict, type Described } from "./tell.js";
import { wordsOf } from "./words.js";

/** What can be shown under a cell. */
export type Showable = Survey | FretReport | RodAdvice | BowForecast | Comparison | Described | Figure | DataFrame | Card | Verdict | string;

/**
 * Show something under this cell: a survey, a fret report (as the same drawing with its frets marked), a predicted bow or what changed between two surveys, a figure, a table, a card, a verdict or plain text.
 *
 *     show(survey);
 *     show(survey, { order: "thou first", lines: ["treble"], widthPx: 700 });
 *
 * @param options for a survey or a change: which unit first, which lines, how wide at most (480 to 1600)
 * @throws {Error} in one sentence where an option does not fit
 */
export function show(thing: Showable, options: NeckFigureOptions = {}): void {
  plainly(() => showThing(thing, options));
}

function showThing(thing: Showable, options: NeckFigureOptions): void {
  if (typeof thing === "string") sendHtml(`<p class="tex2jax_ignore mathjax_ignore" style="max-width:46em;white-space:pre-wrap">${escaped(thing).replace(/\n/g, "<br>")}</p>`, thing);
  else if (isSurvey(thing)) showNeck(thing, options);
  else if (isFretReport(thing)) showNeck(thing.survey, { frets: thing.frets, ...options });
  else if (isForecast(thing)) showFigure(bowFigure(thing, { ...(options.order === undefined ? {} : { order: options.order }), ...(options.widthPx === undefined ? {} : { widthPx: options.widthPx }) }));
  else if (isComparison(thing)) showFigure(comparisonFigure(thing, options));
  else if (isRodAdvice(thing)) showFigure(rodFigure(thing, { ...(options.order === undefined ? {} : { order: options.order }), ...(options.widthPx === undefined ? {} : { widthPx: options.widthPx }) }));
  else if (isFigure(thing)) showFigure(thing);
  else if (isCard(thing)) sendHtml(`<iframe title="${escaped(thing.title)}" sandbox srcdoc="${thing.html.replace(/&/g, "&amp;").replace(/"/g, "&quot;")}" style="width:100%;height:70vh;border:1px solid #b9ae96"></iframe>`, thing.title);
  else if (isVerdict(thing)) tellVerdict(thing);
  else if (isDescribed(thing)) tellLines(thing.describe(options.order), []);
  else if (isFrame(thing)) showFrame(thing);
  else throw new RangeError("Cannot show this: expected a survey, a fret report, a predicted bow, a figure, a table, a card, a verdict or text (survey = surveyNeck(neck, readings))");
}

function showNeck(survey: Survey, options: NeckFigureOptions): void {
  showFigure(neckFigure(survey, { reliefs: wordsOf(survey, options.order ?? "mm first").relief, ...options }));
}

function showFrame(frame: DataFrame): void {
  const columns = frameColumns(frame);
  sendHtml(tableHtml(columns), tableText(columns));
}

function isSurvey(thing: object): thing is Survey {
  return "heights" in thing && "linear" in thing;
}

function isFretReport(thing: object): thing is FretReport {
  return "frets" in thing && "standOuts" in thing;
}

function isForecast(thing: object): thing is BowForecast {
  return "causes" in thing && "sequence" in thing;
}

function isComparison(thing: object): thing is Comparison {
  return "earlier" in thing && "later" in thing && "surveys" in thing;
}

function isDescribed(thing: object): thing is Described {
  return "describe" in thing && typeof thing.describe === "function" && !("values" in thing);
}

function isRodAdvice(thing: object): thing is RodAdvice {
  return "decision" in thing && "neck" in thing;
}

function isFigure(thing: object): thing is Figure {
  return "layout" in thing && "fileName" in thing;
}

function isCard(thing: object): thing is Card {
  return "html" in thing && "title" in thing;
}

function isVerdict(thing: object): thing is Verdict {
  return "headline" in thing && "readNext" in thing;
}

function isFrame(thing: object): thing is DataFrame {
  return "columns" in thing && "values" in thing;
}
