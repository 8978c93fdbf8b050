import { fretDistanceMm } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { amountWords } from "../bow/effect.js";
import { heightAt, type Profile } from "../shape/profile.js";
import { normalMm, NORMAL_95 } from "../units/measured.js";
import { bowWords, lengthWords, type UnitOrder } from "../units/words.js";
import type { BowSpan } from "../bow/beam/span.js";
import { panelAxes } from "./bowAxes.js";
import type { DrawnBow, DrawnCause } from "./bowDrawing.js";
import { rounded } from "./drawing.js";
import type { JsonObject } from "./figure.js";
import { sideWords } from "./hover.js";
import { INK, lineLook } from "./look.js";
import { escaped } from "./text.js";

export const SUM_NAME = "all together";
export const RANGE_NAME = "where it may lie";

/** Markers shown along one line, so that it is told apart without colour. */
const MARKERS = 7;

/** Each cause with its amount and which way, for the notes. */
export function causeWords({ cause, reliefMm }: DrawnCause, order: UnitOrder): string {
  return `${cause}: ${amountWords(reliefMm, order)}`;
}

/** One cause in the upper panel: its line, and places over the frets that answer the pointer. */
export function causeTraces({ neck, span }: DrawnBow, cause: DrawnCause, index: number, order: UnitOrder): readonly JsonObject[] {
  const look = lineLook(index);
  const shown = placesOf(neck, cause.profile);
  const axis = { type: "scatter", xaxis: "x", yaxis: panelAxes(0).mm };
  return [
    {
      ...axis, mode: "lines+markers", x: shown.map(({ x }) => rounded(x, 3)), y: shown.map(({ v }) => rounded(v, 5)), hoverinfo: "text",
      hovertext: shown.map(({ x, v }) => `<b>${escaped(cause.cause)}</b>, ${placeWords(neck, x)}<br>${heightWords(v, order)}${isWithin(span, x) && v !== 0 ? `, toward ${bowWords(-v)}` : ""}`),
      line: { color: look.colour, width: 2, dash: look.dash }, marker: { symbol: look.marker, size: 8, color: look.colour, maxdisplayed: MARKERS },
      name: escaped(cause.cause), legendgroup: `cause ${index}`,
    },
    ...(index === 0 ? [unseen(panelAxes(0).thou)] : []),
  ];
}

/** All causes together in the lower panel, with the band, and the relief as a dimension arrow. */
export function sumTraces({ neck, sum, span, relief }: DrawnBow, order: UnitOrder): readonly JsonObject[] {
  const shown = placesOf(neck, sum);
  const axis = { type: "scatter", xaxis: "x", yaxis: panelAxes(1).mm };
  const x = shown.map((place) => rounded(place.x, 3));
  const edge = (side: number): readonly number[] => shown.map(({ v, u }) => rounded(v + side * NORMAL_95 * u, 5));
  const arrowX = rounded(span.middleMm + 0.012 * neck.scaleLengthMm, 3);
  return [
    {
      ...axis, mode: "lines", x: [...x, ...[...x].reverse()], y: [...edge(1), ...[...edge(-1)].reverse()], fill: "toself", line: { color: INK, width: 0.6 }, hoverinfo: "skip",
      fillpattern: { shape: "/", size: 6, solidity: 0.14, fgcolor: INK, bgcolor: "rgba(0,0,0,0)", fillmode: "replace" }, name: RANGE_NAME, opacity: 0.75,
    },
    {
      ...axis, mode: "lines+markers", x, y: shown.map(({ v }) => rounded(v, 5)), line: { color: INK, width: 2.6 }, marker: { size: 6, opacity: 0 }, name: SUM_NAME, hoverinfo: "text",
      hovertext: shown.map(({ x: at, v, u }) => `<b>${SUM_NAME}</b>, ${placeWords(neck, at)}<br>${u < SEEN_MM ? heightWords(v, order) : sideWords(normalMm(v, u), "the chord", order)}${bowBeside(span, at, Math.abs(v) > NORMAL_95 * u ? v : 0)}`),
    },
    {
      ...axis, mode: "lines+markers", x: [arrowX, arrowX], y: [0, rounded(-relief.value, 5)], line: { color: INK, width: 1 }, hoverinfo: "skip", showlegend: false,
      marker: { size: 9, color: INK, symbol: relief.value > 0 ? ["arrow-up", "arrow-down"] : ["arrow-down", "arrow-up"] },
    },
    unseen(panelAxes(1).thou),
  ];
}

/** Less is a place where the chord lies, not one where it may lie. */
const SEEN_MM = 0.0005;

/** The bow that a height over the chord is, where it is one: within the chord, and not on it. */
export function bowBeside(span: Pick<BowSpan, "fromMm" | "toMm">, xMm: number, vMm: number): string {
  return isWithin(span, xMm) && Math.abs(vMm) >= SEEN_MM ? `<br>${bowWords(-vMm)}` : "";
}

function isWithin({ fromMm, toMm }: Pick<BowSpan, "fromMm" | "toMm">, xMm: number): boolean {
  return xMm > fromMm && xMm < toMm;
}

/** An axis without anything on it is not drawn. */
export function unseen(yaxis: string): JsonObject {
  return { type: "scatter", mode: "markers", x: [0], y: [0], xaxis: "x", yaxis, marker: { opacity: 0 }, hoverinfo: "skip", showlegend: false };
}

/** Heights at the frets and half way between them: kinks of a bow stand at the frets. */
export function placesOf(neck: Neck, profile: Profile): readonly { readonly x: number; readonly v: number; readonly u: number }[] {
  const [first, last] = [profile.xMm[0] ?? 0, profile.xMm.at(-1) ?? 0];
  const ofU = { ...profile, vMm: profile.uMm ?? profile.vMm.map(() => 0) };
  const frets = Array.from({ length: neck.frets + 1 }, (_, fret) => fretDistanceMm(neck.scaleLengthMm, fret));
  return frets.flatMap((x, index) => (index === 0 ? [x] : [((frets[index - 1] ?? 0) + x) / 2, x])).filter((x) => x >= first && x <= last)
    .map((x) => ({ x, v: heightAt(profile, x), u: Math.max(0, heightAt(ofU, x)) })); // at a chord's end rounding may take it a hair below 0
}

export function placeWords(neck: Neck, xMm: number): string {
  const fret = 12 * Math.log2(neck.scaleLengthMm / (neck.scaleLengthMm - xMm));
  return Math.abs(fret - Math.round(fret)) < 1e-6 ? (Math.round(fret) === 0 ? "at the nut" : `fret ${Math.round(fret)}`) : `between frets ${Math.floor(fret)} and ${Math.ceil(fret)}`;
}

export function heightWords(vMm: number, order: UnitOrder): string {
  return Math.abs(vMm) < SEEN_MM ? `on the chord: ${lengthWords(0, order)}` : `${vMm < 0 ? "below" : "above"} the chord by ${lengthWords(Math.abs(vMm), order)}`;
}
