import { magnitude } from "../shape/drawn.js";
import { straightWithinWords, underStringsWords } from "../shape/wantedRelief.js";
import type { RodAdvice } from "../advice/rod/rodAdvised.js";
import type { RodProfiles } from "../advice/rod/rodProfiles.js";
import { shares } from "../advice/rod/rodProfiles.js";
import { nearestTop } from "../shape/span.js";
import type { Neck } from "../neck/neck.js";
import type { Profile } from "../shape/profile.js";
import { NORMAL_95 } from "../units/measured.js";
import { bowWords, lengthWords, measuredWords, type UnitOrder } from "../units/words.js";
import { bowAxes, fretMarks, jointMarks } from "./bowAxes.js";
import { panelPaper, panelSheet, panelWriting, type PanelSheet, type PanelSheetTexts } from "./bowSheet.js";
import { bowBeside, heightWords, placesOf, placeWords, unseen } from "./bowTraces.js";
import { rounded } from "./drawing.js";
import type { Figure, JsonObject, NarrowerLayout } from "./figure.js";
import { HOVER_TEXT_PX, INK, lineLook, PANEL, PAPER, SMALLEST_TEXT_PX, SOFT_INK, TEXT_FONT } from "./look.js";
import { CAPTION_AFTER, CAPTION_BEFORE, captionText, LEFT_PX, RIGHT_PX, xRangeMm } from "./sheet.js";
import { escaped } from "./text.js";

/** How rod advice is drawn; everything may be left out. */
export type RodFigureOptions = { /** Which unit stands first and on the left; mm unless said. */ readonly order?: UnitOrder; /** 480 to 1600; 900 unless said. */ readonly widthPx?: number };

const LEAST_WIDTH_PX = 480;
const NARROWER_PX = [780, 660, 560, LEAST_WIDTH_PX];
const PANEL_PX = 260;
const WANTED_NAME = "wanted";
const DOUBT_NAME = "where it may lie at the end";

type Drawn = { readonly neck: Neck; readonly advice: RodAdvice; readonly profiles: RodProfiles; readonly numbers: NonNullable<RodAdvice["numbers"]>; readonly order: UnitOrder };

/**
 * Rod advice as a drawing: the neck now, with the rod turned, and under strings, against the band that is wanted. Side view, nut at the left;
 * one line stands for the mean of the lines read.
 * @throws {RangeError} advice without a profile (the readings determine no relief), or a width outside 480 to 1600 px
 */
export function rodFigure(advice: RodAdvice, options: RodFigureOptions = {}): Figure {
  const widthPx = options.widthPx ?? 900;
  const order = options.order ?? "mm first";
  if (!(widthPx >= LEAST_WIDTH_PX && widthPx <= 1600)) throw new RangeError(`Cannot draw the rod advice: expected a width of ${LEAST_WIDTH_PX} to 1600 px, got ${widthPx}`);
  const { neck, profiles, numbers } = advice;
  if (profiles === undefined || numbers === undefined) throw new RangeError(`Cannot draw the rod advice: the readings determine no relief (${advice.readIfUnsure[0] ?? "read the middle of a line"})`);
  const drawn: Drawn = { neck, advice, profiles, numbers, order };
  const own = laidOut(drawn, widthPx);
  return {
    data: [wanted(drawn), ...doubt(drawn), ...stages(drawn).map((profile, index) => stageTrace(drawn, profile, index)), unseen("y2")],
    ...own, config: { displaylogo: false, displayModeBar: "hover", responsive: false, scrollZoom: false, doubleClick: "reset", showTips: false },
    alt: `Side view of ${neck.name}: ${stages(drawn).map((profile) => stageWords(drawn, profile)).join("; ")}. ${wantedWords(drawn)}. ${advice.headline}`,
    fileName: `rod ${neck.name}`.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60), heightScale: { annotation: 1, before: CAPTION_BEFORE, after: CAPTION_AFTER },
    narrower: NARROWER_PX.filter((px) => px < widthPx).map((px) => laidOut(drawn, px)),
  };
}

/** What is drawn, in order of the work. */
function stages({ profiles }: Drawn): readonly Profile[] {
  return [profiles.now, ...(profiles.after === undefined ? [] : [profiles.after]), ...(profiles.underStrings === undefined ? [] : [profiles.underStrings])];
}

function laidOut(drawn: Drawn, widthPx: number): NarrowerLayout {
  const { neck, profiles, order } = drawn;
  const y = heightRangeMm(drawn);
  const first = panelSheet(textsOf(drawn, 10_000), widthPx);
  const sheet = panelSheet(textsOf(drawn, timesTooTall(first, neck, y)), widthPx);
  const paper = panelPaper(sheet);
  const span = { fromMm: profiles.fromMm, toMm: profiles.toMm, middleMm: profiles.middleMm, middleFret: nearestTop(neck, profiles.middleMm).fret, words: "" };
  const layout: JsonObject = {
    width: sheet.widthPx, height: sheet.heightPx, autosize: false, paper_bgcolor: PAPER, plot_bgcolor: "rgba(0,0,0,0)", margin: paper.margin, legend: paper.legend,
    font: { family: TEXT_FONT, size: SMALLEST_TEXT_PX, color: INK }, hovermode: "closest", dragmode: "zoom", hoverdistance: 24,
    hoverlabel: { bgcolor: PANEL, bordercolor: INK, align: "left", namelength: 0, font: { family: TEXT_FONT, size: HOVER_TEXT_PX, color: INK } },
    annotations: [...panelWriting(sheet), ...jointMarks(sheet, { neck })], shapes: [...paper.shapes, ...fretMarks(sheet, { neck, span })], ...bowAxes(sheet, neck, y, order),
  };
  return { widthPx: sheet.widthPx, heightPx: sheet.heightPx, layout };
}

function textsOf(drawn: Drawn, times: number): PanelSheetTexts {
  const { neck, numbers } = drawn;
  const joint = neck.bodyJoint === undefined ? "" : `J: body joint, fret ${neck.bodyJoint}. `;
  return {
    title: `${neck.name}  ·  the rod`, caption: captionText(times),
    headings: [`At fret ${numbers.at}: ${stages(drawn).map((profile) => stageWords(drawn, profile)).join("; ")}`],
    panelPx: PANEL_PX, axis: "fret, at its true place", legend: [WANTED_NAME, DOUBT_NAME, ...stages(drawn).map(({ of }) => of)], sliderPx: 0,
    notes: [`${joint}${wantedWords(drawn)}: the shaded band. One line stands for the mean of the lines read; heights are counted from its chord. Below the chord is forward bow (middle low), above it back bow (middle high). Hatching: 19 times in 20 the truth lies inside.`],
  };
}

function wantedWords({ numbers, order }: Drawn): string {
  const [lowMm, highMm] = numbers.targetMm;
  return `Wanted: ${lowMm === -highMm ? straightWithinWords(highMm, order) : underStringsWords(lowMm, highMm, order)}`;
}

/** Relief of one stage at the middle, from the numbers of the advice. */
function stageWords({ numbers, profiles, order }: Drawn, profile: Profile): string {
  if (profile === profiles.now) return `now: ${amount(numbers.now.value, measuredWords(magnitude(numbers.now), order))}`;
  const added = profile === profiles.underStrings ? numbers.underStrings.value - numbers.now.value : 0;
  const relief = numbers.now.value + added + (profiles.after === undefined ? 0 : numbers.change.value);
  return `${profile.of}: ${amount(relief, lengthWords(Math.abs(relief), order))}`;
}

function amount(reliefMm: number, words: string): string {
  return `${bowWords(reliefMm)}, ${words}`;
}

function wanted({ profiles, numbers }: Drawn): JsonObject {
  const { xMm } = profiles.now;
  const x = xMm.map((mm) => rounded(mm, 3));
  const edge = (reliefMm: number): readonly number[] => shares(xMm, undefined, profiles.middleMm).map((share) => rounded(-reliefMm * share, 5));
  return {
    type: "scatter", mode: "lines", xaxis: "x", yaxis: "y", x: [...x, ...[...x].reverse()], y: [...edge(numbers.targetMm[0]), ...[...edge(numbers.targetMm[1])].reverse()],
    fill: "toself", fillcolor: "rgba(138,117,80,0.28)", line: { color: SOFT_INK, width: 1, dash: "dot" }, hoverinfo: "skip", name: WANTED_NAME,
  };
}

function doubt(drawn: Drawn): readonly JsonObject[] {
  const last = stages(drawn).at(-1);
  if (last?.uMm === undefined) return [];
  const shown = placesOf(drawn.neck, last);
  const x = shown.map((place) => rounded(place.x, 3));
  const edge = (side: number): readonly number[] => shown.map(({ v, u }) => rounded(v + side * NORMAL_95 * u, 5));
  return [{
    type: "scatter", mode: "lines", xaxis: "x", yaxis: "y", x: [...x, ...[...x].reverse()], y: [...edge(1), ...[...edge(-1)].reverse()], fill: "toself", line: { color: INK, width: 0.6 }, hoverinfo: "skip",
    fillpattern: { shape: "/", size: 6, solidity: 0.14, fgcolor: INK, bgcolor: "rgba(0,0,0,0)", fillmode: "replace" }, name: DOUBT_NAME, opacity: 0.75,
  }];
}

function stageTrace({ neck, profiles, order }: Drawn, profile: Profile, index: number): JsonObject {
  const look = lineLook(index);
  const shown = placesOf(neck, profile);
  return {
    type: "scatter", xaxis: "x", yaxis: "y", mode: "lines+markers", x: shown.map(({ x }) => rounded(x, 3)), y: shown.map(({ v }) => rounded(v, 5)), hoverinfo: "text",
    hovertext: shown.map(({ x, v }) => `<b>${escaped(profile.of)}</b>, ${placeWords(neck, x)}<br>${heightWords(v, order)}${bowBeside(profiles, x, v)}`),
    line: { color: look.colour, width: 2.4, dash: look.dash }, marker: { symbol: look.marker, size: 8, color: look.colour, maxdisplayed: 9 }, name: escaped(profile.of),
  };
}

function heightRangeMm(drawn: Drawn): readonly [number, number] {
  const each = stages(drawn).flatMap(({ vMm, uMm }) => vMm.flatMap((v, index) => [v - NORMAL_95 * (uMm?.[index] ?? 0), v + NORMAL_95 * (uMm?.[index] ?? 0)]));
  const [low, high] = [Math.min(-0.04, -drawn.numbers.targetMm[1], ...each), Math.max(0.04, -drawn.numbers.targetMm[0], ...each)];
  return [low - 0.07 * (high - low), high + 0.07 * (high - low)];
}

function timesTooTall(sheet: PanelSheet, neck: Neck, y: readonly [number, number]): number {
  const x = xRangeMm(neck);
  return Number((PANEL_PX / (y[1] - y[0]) / ((sheet.widthPx - LEFT_PX - RIGHT_PX) / (x[1] - x[0]))).toPrecision(2));
}
