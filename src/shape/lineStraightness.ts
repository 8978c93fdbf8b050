import type { HeightTerm, Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { answered, measuredDraws } from "./drawn.js";
import type { Asked } from "./drawn.js";
import { undeterminedWords } from "./reliefWords.js";
import { allTops, lineOverChord, named, spansOf, spanWords, topOverChord } from "./span.js";
import type { Span, TopPlace } from "./span.js";
import { straightness } from "./straightness.js";
import type { ReferenceLine } from "./straightness.js";

/** Straightness of one line of the neck about one reference line: how far apart two parallel lines (or the largest deviations) lie, mm, never negative. */
export type LineStraightness =
  | {
      readonly status: "determined";
      readonly line: string;
      readonly of: "neckLine" | "fretTops";
      readonly reference: ReferenceLine;
      readonly width: Measured;
      readonly from: TopPlace;
      readonly to: TopPlace;
      readonly reached: boolean;
      readonly describe: (order?: UnitOrder) => string;
    }
  | { readonly status: "undetermined"; readonly line: string; readonly of: "neckLine" | "fretTops"; readonly reference: ReferenceLine; readonly need: string; readonly describe: () => string };

const REFERENCES = ["endPoint", "leastSquares", "minimumZone"] as const;
const WORDS = { endPoint: "about the line through its ends", leastSquares: "about the line of least squares", minimumZone: "between two parallel lines as close as can be" } as const;

/**
 * Straightness of every line that was read, from fret 1 to the body joint as far as the readings reach, about all three reference lines:
 * end points, least squares, minimum zone (ISO 12780-1, ISO 1101), at the places of the frets.
 * @param of the fret tops themselves, or the smooth neck line at the same places
 */
export function lineStraightness(survey: Survey, of: "neckLine" | "fretTops" = "fretTops"): readonly LineStraightness[] {
  return answered(survey, spansOf(survey).flatMap((span) => REFERENCES.map((reference) => asked(survey, span, of, reference))));
}

function asked(survey: Survey, span: Span, of: "neckLine" | "fretTops", reference: ReferenceLine): Asked<LineStraightness> {
  if (span.status === "undetermined") {
    const { line, need } = span;
    return { combinations: [], answer: () => ({ status: "undetermined", line, of, reference, need, describe: () => undeterminedWords(line, need) }) };
  }
  const inside = allTops(survey.neck).filter(({ fret }) => fret > span.from.fret && fret < span.to.fret);
  const form = (top: TopPlace): readonly HeightTerm[] => (of === "fretTops" ? topOverChord(span.line, span.from, span.to, top) : lineOverChord(span.line, span.from.xMm, span.to.xMm, top.xMm));
  const xMm = [span.from, ...inside, span.to].map((top) => top.xMm);
  return {
    combinations: inside.map(form),
    answer: (draws) => {
      const width = measuredDraws(draws.map((heights) => straightness(xMm, [0, ...heights, 0], reference).width));
      const found = { status: "determined", line: span.line, of, reference, width, from: span.from, to: span.to, reached: span.reached } as const;
      return { ...found, describe: (order: UnitOrder = "mm first") => `${named(span.line)}, ${spanWords(span)}: ${of === "fretTops" ? "fret tops" : "neck line"} straight within ${measuredWords(width, order)}, ${WORDS[reference]}.` };
    },
  };
}
