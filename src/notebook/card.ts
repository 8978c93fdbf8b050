import { neckFigure } from "../figures/neckFigure.js";
import { fretReport } from "../frets/report.js";
import { isChordEnd } from "../figures/chords.js";
import { placeWords } from "../figures/hover.js";
import { escaped } from "../figures/text.js";
import type { EdgeSetting, GapReading } from "../readings/reading.js";
import { SURFACE_WORDS } from "../shape/faceBow.js";
import { magnitude } from "../shape/drawn.js";
import type { Relief } from "../shape/relief.js";
import type { Survey } from "../survey/survey.js";
import { MM_PER_THOU } from "../units/length.js";
import { NORMAL_95, type Measured } from "../units/measured.js";
import { bowWords, lengthWords, measuredWords, type UnitOrder } from "../units/words.js";
import { assumedItems } from "./assumed.js";
import { CARD_STYLE } from "./cardStyle.js";
import { drawnNow } from "./drawing.js";
import { fixed } from "./table.js";
import type { Verdict } from "../advice/verdict.js";
import { wordsOf } from "./words.js";
import { htmlPage } from "./htmlPage.js";

/** A page that needs nothing but itself: no script, no request, ready to print or to send along with the neck. */
export type Card = { readonly html: string; readonly title: string };

/**
 * The card of a neck: the verdict in words first, then the drawing, reliefs, heights, what was assumed, and every reading as it was typed.
 * @param surveys one or more surveys of one neck, in order of time; the last comes first on the card
 * @param order which unit stands first; mm unless said
 * @throws {RangeError} no survey at all
 */
export function surveyCard(surveys: Survey | readonly Survey[], order: UnitOrder = "mm first"): Card {
  const all = "neck" in surveys ? [surveys] : [...surveys].reverse();
  const [latest] = all;
  if (latest === undefined) throw new RangeError("Cannot make a card: expected one survey or more, got none");
  const title = `${latest.neck.name}: survey of the neck`;
  const sections = all.map((survey, index) => surveySection(survey, order, index, all.length));
  const html = htmlPage({ title, style: CARD_STYLE, main: `<main>
<header><p class="kind">Survey of the neck</p><h1>${escaped(latest.neck.name)}</h1><p>${escaped(neckWords(latest))}</p></header>
${sections.join("\n")}
<footer><p>Height is counted away from the back of the neck. Give or take: 19 times in 20 the truth lies inside. thou: thousandths of an inch.</p></footer>
</main>` });
  return { html, title };
}

function neckWords({ neck }: Survey): string {
  const joint = neck.bodyJoint === undefined ? "" : `, body joint at fret ${neck.bodyJoint}`;
  return `Scale ${fixed(neck.scaleLengthMm, 1)} mm (${fixed(neck.scaleLengthMm / 25.4, 2)} in), ${neck.frets} frets, ${neck.zeroFret ? "zero fret" : "nut"}${joint}`;
}

function surveySection(survey: Survey, order: UnitOrder, index: number, count: number): string {
  const words = wordsOf(survey, order);
  const found = words.relief;
  const when = [survey.sheet.stage, survey.sheet.date].filter((part) => part !== "").join(", ");
  const which = count === 1 ? "" : index === 0 ? "Latest survey: " : "Earlier survey: ";
  const id = `survey-${count - index}`;
  return `<section class="survey" aria-labelledby="${id}">
<h2 id="${id}">${escaped(`${which}${when === "" ? "stage and date not stated" : when}`)}</h2>
<p class="headline">${escaped(words.headline)}</p>
${paragraphs(words.where)}
${paragraphs(words.lookAgain)}
${paragraphs(words.howSure)}
${paragraphs(words.readNext)}
${drawing(survey, found, order)}
${reliefTable(found, order)}
${fretSection(survey, order)}
${heightsSection(survey, order)}${facesSection(survey, order)}
${list("Not determined, and the reading that would fix it", survey.undetermined.map((gap) => `${gap.line}${gap.at === undefined ? "" : `, ${gap.at}`}: ${gap.what}. ${gap.need}.`).concat(twistToRead(survey, words)))}
${list("Readings that do not fit the others", survey.blunders.map((blunder) => `${blunder.source}, row ${blunder.row}, column ${blunder.column}: ${blunder.sentence}`))}
${list("Notes", survey.notes)}
${list("Assumed, because it was not given", survey.assumed.length > 0 ? assumedItems(survey.assumed) : ["Nothing: everything was given."])}
${asTyped(survey)}
</section>`;
}

/** Twist is asked for wherever the neck has lines enough to show it. */
function twistToRead({ neck }: Survey, { twist }: Verdict): readonly string[] {
  return twist.status === "undetermined" && neck.lines.length > 1 ? [`twist: ${twist.need}.`] : [];
}

/** What to do with each fret, in the order of work, and what can hurt at it. */
function fretSection(survey: Survey, order: UnitOrder): string {
  if (!survey.heights.some(({ surface }) => surface === "fretTops")) return "";
  const words = fretReport(survey).words(order);
  return `<h3>Frets, and what to do with each</h3>\n<p>${escaped(words.headline)}</p>\n${paragraphs([...words.frets, ...words.work, ...words.seating, ...words.cautions])}`;
}

function paragraphs(sentences: readonly string[]): string {
  return sentences.map((sentence) => `<p>${escaped(sentence)}</p>`).join("\n");
}

function list(heading: string, items: readonly string[]): string {
  if (items.length === 0) return "";
  return `<h3>${escaped(heading)}</h3>\n<ul>${items.map((item) => `<li>${escaped(item)}</li>`).join("")}</ul>`;
}

/** Low enough for three lines to fit under the verdict on the first printed page. */
const PANEL_PX = 120;

function drawing(survey: Survey, found: readonly Relief[], order: UnitOrder): string {
  const figure = neckFigure(survey, { order, reliefs: found, frets: fretReport(survey).frets, widthPx: 900, ...(survey.lines.length > 1 ? { panelPx: PANEL_PX } : {}) });
  const svg = drawnNow(figure).replace(/^<svg /, `<svg role="img" aria-label="${escaped(figure.alt)}" `);
  return `<figure>${svg}</figure>`;
}

function reliefTable(found: readonly Relief[], order: UnitOrder): string {
  if (found.length === 0) return "";
  const rows = found.map((relief) => (relief.status === "determined" ? reliefRow(relief, order) : `<tr><th scope="row">${escaped(relief.line)}</th><td colspan="4">not determined: ${escaped(relief.need)}</td></tr>`));
  return `<h3>Relief: the smooth neck line against its chord</h3>
<table><thead><tr><th scope="col">Line</th><th scope="col">Which way</th><th scope="col">How much</th><th scope="col">19 times in 20 between (+ forward bow, − back bow)</th><th scope="col">Chord, and where most</th></tr></thead>
<tbody>${rows.join("")}</tbody></table>`;
}

function reliefRow(relief: Extract<Relief, { status: "determined" }>, order: UnitOrder): string {
  const { relief: measured } = relief;
  const isOpen = measured.low95 < 0 && measured.high95 > 0;
  const way = isOpen ? `straight within what was read, best estimate ${bowWords(measured.value)}` : bowWords(measured.value);
  const much = measuredWords(magnitude(measured), order);
  return `<tr><th scope="row">${escaped(relief.line)}</th><td>${escaped(way)}</td><td>${escaped(much)}</td><td>${escaped(rangeWords(measured, order))}</td><td>fret ${escaped(relief.from.label)} to fret ${escaped(relief.to.label)}, most at fret ${escaped(relief.at.label)}</td></tr>`;
}

/** Ends of the interval with their sign, forward bow positive. */
function rangeWords(measured: Measured, order: UnitOrder): string {
  const mm = `${signed(measured.low95, 2)} and ${signed(measured.high95, 2)} mm`;
  const thou = `${signed(measured.low95 / MM_PER_THOU, 1)} and ${signed(measured.high95 / MM_PER_THOU, 1)} thou`;
  return order === "mm first" ? `${mm} (${thou})` : `${thou} (${mm})`;
}

function signed(value: number, decimals: number): string {
  const text = fixed(value, decimals);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}

function heightsSection(survey: Survey, order: UnitOrder): string {
  if (survey.heights.length === 0) return "";
  const lines = survey.neck.lines.map((line) => line.name).filter((line) => survey.heights.some((height) => height.line === line));
  const places = [...new Map([...survey.heights].sort((a, b) => a.place.xMm - b.place.xMm).map((height) => [height.at, height.place])).values()];
  const units = order === "mm first" ? ["mm", "thou"] : ["thou", "mm"];
  const groups = lines.map((line) => `<th scope="colgroup" colspan="3">${escaped(line)}</th>`).join("");
  const heads = lines.map(() => `<th scope="col">${units[0]}</th><th scope="col">give or take</th><th scope="col">${units[1]}</th>`).join("");
  const rows = places.map((place) => `<tr><th scope="row">${escaped(placeWords(place))}</th>${lines.map((line) => heightCells(survey, line, place.label, order)).join("")}</tr>`);
  return `<h3>Heights over the chord of each line</h3>
<table class="numbers"><thead><tr><th scope="col" rowspan="2">Place</th>${groups}</tr><tr>${heads}</tr></thead><tbody>${rows.join("")}</tbody></table>
<p class="small">${escaped(survey.datum.map((datum) => `${datum.line}: chord from ${placeWords(datum.from)} to ${placeWords(datum.to)}`).join("; "))}. Minus is below the chord; its ends have height 0 by agreement.</p>`;
}

/** What was read beside the surface of the table of heights, each over its own chord. */
function facesSection(survey: Survey, order: UnitOrder): string {
  if (survey.faces.length === 0) return "";
  const words = (mm: number): string => lengthWords(mm, order);
  const rows = survey.faces.flatMap((face) => face.heights.map((height, index) => {
    const isEnd = index === 0 || index === face.heights.length - 1;
    const cells = isEnd ? '<td colspan="2" class="end">end of the chord</td>' : `<td>${words(height.heightMm)}</td><td>${words(NORMAL_95 * height.uMm)}</td>`;
    return `<tr><th scope="row">${escaped(`${SURFACE_WORDS[face.surface]}, ${face.line}, ${placeWords(height.place)}`)}</th>${cells}</tr>`;
  }));
  return `<h3>Heights of other surfaces, each over its own chord</h3>
<table class="numbers"><thead><tr><th scope="col">Place</th><th scope="col">height</th><th scope="col">give or take</th></tr></thead><tbody>${rows.join("")}</tbody></table>`;
}

function heightCells(survey: Survey, line: string, at: string, order: UnitOrder): string {
  const height = survey.heights.find((candidate) => candidate.line === line && candidate.at === at);
  if (height === undefined) return "<td>–</td><td>–</td><td>–</td>";
  if (isChordEnd(survey, height)) return `<td colspan="3" class="end">end of the chord</td>`;
  const inUnit = { mm: (mm: number) => fixed(mm, 3), thou: (mm: number) => fixed(mm / MM_PER_THOU, 1) };
  const [first, second] = order === "mm first" ? [inUnit.mm, inUnit.thou] : [inUnit.thou, inUnit.mm];
  return `<td>${first(height.heightMm)}</td><td>${first(NORMAL_95 * height.uMm)}</td><td>${second(height.heightMm)}</td>`;
}

function asTyped(survey: Survey): string {
  const settings = survey.sheet.settings.map((setting) => `<tr><th scope="row">${escaped(setting.label)}</th><td>${escaped(setting.tool.name)}</td><td>${escaped(setting.readings.map((reading) => gapWords(setting, reading)).join("; "))}</td></tr>`);
  const rockers = [...new Set(survey.sheet.rockers.map((rocker) => rocker.line))].map((line) => {
    const read = survey.sheet.rockers.filter((rocker) => rocker.line === line).map((rocker) => `${rocker.frets.join("-")} ${rocker.written}`);
    return `<tr><th scope="row">rocker, ${escaped(line)}</th><td>rocker</td><td>${escaped(read.join("; "))}</td></tr>`;
  });
  if (settings.length + rockers.length === 0) return "";
  return `<h3>Readings as typed</h3>
<table><thead><tr><th scope="col">Setting</th><th scope="col">Tool</th><th scope="col">Readings</th></tr></thead><tbody>${[...settings, ...rockers].join("")}</tbody></table>`;
}

function gapWords(setting: EdgeSetting, reading: GapReading): string {
  const line = setting.path.kind === "along" ? "" : ` ${reading.line}`;
  return `${placeWords(reading.place)}${line}: ${reading.written}`;
}
