import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { distanceWords, lengthWords, measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { bendBeyondBow, bendPlaces, REACH_MM } from "./bend.js";
import { answered, magnitude, meansOf, measuredDraws, signedExtreme } from "./drawn.js";
import type { Asked } from "./drawn.js";
import { undeterminedWords } from "./reliefWords.js";
import { named, nearestTop, spansOf } from "./span.js";
import type { Span, TopPlace } from "./span.js";

/**
 * The sharpest bend of a neck line between fret 1 and the body joint: how far it stands over a straight line from 50 mm before the place to
 * 50 mm after it, beyond what the even bow of the neck would; mm, positive is a corner that points up. The joint itself is told apart (`jointHumps`).
 */
export type Kink =
  | { readonly status: "corner up" | "corner down" | "none seen"; readonly line: string; readonly up: Measured; readonly at: TopPlace; readonly describe: (order?: UnitOrder) => string }
  | { readonly status: "undetermined"; readonly line: string; readonly need: string; readonly describe: () => string };

/** The sharpest bend of every line that was read; its interval is that of the extreme, by joint draws. */
export function kinks(survey: Survey): readonly Kink[] {
  return answered(survey, spansOf(survey).map((span) => askedKink(survey, span)));
}

/** As `kinks`, to be answered together with other questions. */
export function askedKink(survey: Survey, span: Span): Asked<Kink> {
  if (span.status === "undetermined") return { combinations: [], answer: () => undetermined(span.line, span.need) };
  const places = bendPlaces(span);
  const need = `read gaps on the ${span.line} line from fret 1 to the body joint`;
  if (places.length === 0) return { combinations: [], answer: () => undetermined(span.line, need) };
  const between = fretsToRead(survey, span);
  if (between.length > 0) return { combinations: [], answer: () => undetermined(span.line, needBetween(span.line, between), "kink") };
  return { combinations: places.map((x) => bendBeyondBow(span, x)), answer: (draws) => kink(survey, span, places, draws) };
}

/** The bend is judged over this length, mm: where neighbouring readings are farther apart it would only be believed to be none, since necks are smooth. */
const WINDOW_MM = 2 * REACH_MM;

/** Frets evenly between read places that are too far apart. */
function fretsToRead({ neck }: Survey, { from, to, read }: Extract<Span, { status: "read" }>): readonly number[] {
  const xMm = read.map((place) => place.xMm).sort((a, b) => a - b);
  const wide = xMm.slice(1).map((end, at) => ({ start: xMm[at] ?? end, end })).filter(({ start, end }) => end > from.xMm && start < to.xMm && end - start > WINDOW_MM);
  return [...new Set(wide.flatMap(({ start, end }) => {
    const parts = Math.ceil((end - start) / WINDOW_MM);
    return Array.from({ length: parts - 1 }, (_, part) => nearestTop(neck, start + ((end - start) * (part + 1)) / parts).fret);
  }))];
}

function needBetween(line: string, frets: readonly number[]): string {
  const which = frets.length === 1 ? `fret ${frets.join("")}` : `frets ${frets.slice(0, -1).join(", ")} and ${frets.at(-1) ?? ""}`;
  return `read gaps at ${which} on the ${line} line too, under the edge that read the others: a kink hides where neighbouring readings are more than ${distanceWords(WINDOW_MM)} apart`;
}

function kink(survey: Survey, span: Extract<Span, { status: "read" }>, places: readonly number[], draws: readonly Float64Array[]): Kink {
  const up = measuredDraws(draws.map(signedExtreme));
  const means = meansOf(draws);
  const at = nearestTop(survey.neck, places[means.indexOf(signedExtreme(means))] ?? span.from.xMm);
  const status = up.low95 > 0 ? "corner up" : up.high95 < 0 ? "corner down" : "none seen";
  const found = { status, line: span.line, up, at } as const;
  return { ...found, describe: (order: UnitOrder = "mm first") => words(found, order) };
}

function undetermined(line: string, need: string, what = ""): Kink {
  return { status: "undetermined", line, need, describe: () => undeterminedWords(line, need, what) };
}

function words({ status, line, up, at }: Omit<Extract<Kink, { up: Measured }>, "describe">, order: UnitOrder): string {
  const over = `over ${distanceWords(WINDOW_MM, order)}`;
  if (status === "none seen") return `${named(line)}: no kink seen; one of more than ${lengthWords(Math.max(up.high95, -up.low95), order)} ${over} is ruled out.`;
  return `${named(line)}: bends most sharply near fret ${at.label}, ${status === "corner up" ? "a corner that points up" : "a corner that points down"}, ${measuredWords(magnitude(up), order)} ${over}, beyond the even bow of the neck.`;
}
