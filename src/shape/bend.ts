import type { HeightTerm } from "../survey/survey.js";
import { lineOverChord, scaled } from "./span.js";
import type { Span } from "./span.js";

/** How far before and after a place the straight line goes over which a bend is judged, mm: a short straightedge in the hand (own choice, no source). */
export const REACH_MM = 50;
/** Places at which the even bow of the neck is taken. */
const PLACES = 16;

type Read = Extract<Span, { status: "read" }>;

/** Places between fret 1 and the body joint whose straight line stays between those two; none on a stretch that is too short. */
export function bendPlaces({ from, to }: Read): readonly number[] {
  const [first, last] = [from.xMm + REACH_MM, to.xMm - REACH_MM];
  return last - first < REACH_MM ? [] : Array.from({ length: PLACES + 1 }, (_, at) => first + ((last - first) * at) / PLACES);
}

/** How far the line at a place stands over the straight line from `REACH_MM` before it to `afterMm` after it, less what an even bow of the neck would. */
export function bendBeyondBow(span: Read, xMm: number, afterMm: number = REACH_MM): readonly HeightTerm[] {
  const places = bendPlaces(span);
  // a parabola stands over its chord by curvature times both distances over two
  const share = -afterMm / (REACH_MM * places.length);
  return [...lineOverChord(span.line, xMm - REACH_MM, xMm + afterMm, xMm), ...places.flatMap((x) => scaled(share, lineOverChord(span.line, x - REACH_MM, x + REACH_MM, x)))];
}
