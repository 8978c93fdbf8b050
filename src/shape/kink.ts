import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { distanceWords, lengthWords, measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { bendBeyondBow, bendPlaces, REACH_MM } from "./bend.js";
import { answered, magnitude, meansOf, measuredDraws, signedExtreme } from "./drawn.js";
import type { Asked } from "./drawn.js";
import { fretsBetween, needBetween } from "./placesBetween.js";
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

/** The sharpest bend of every line that was read; its interval is that of the extreme, by joint draws of a line that may have a corner at any place. */
export function kinks(survey: Survey): readonly Kink[] {
  return answered(survey, spansOf(survey).map((span) => askedKink(survey, span)));
}

/** As `kinks`, to be answered together with other questions. */
export function askedKink(survey: Survey, span: Span): Asked<Kink> {
  if (span.status === "undetermined") return { combinations: [], answer: () => undetermined(span.line, span.need) };
  const places = bendPlaces(span);
  const need = `read gaps on the ${span.line} line from fret 1 to the body joint`;
  if (places.length === 0) return { combinations: [], answer: () => undetermined(span.line, need) };
  const between = fretsBetween(survey, span.read, { fromMm: span.from.xMm, toMm: span.to.xMm, apartMm: WINDOW_MM });
  if (between.length > 0) return { combinations: [], answer: () => undetermined(span.line, needBetween(span.line, between, { what: "a kink", apartMm: WINDOW_MM }), "kink") };
  return { combinations: places.map((x) => bendBeyondBow(span, x)), answer: (draws) => kink(survey, span, places, draws) };
}

/** The bend is judged over this length, mm, so that neighbouring readings may be no farther apart. */
const WINDOW_MM = 2 * REACH_MM;

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
