import type { UnitOrder } from "../units/words.js";
import type { HeightTerm, Survey } from "../survey/survey.js";
import { answered, meansOf, measuredDraws, signedExtreme } from "./drawn.js";
import type { Asked } from "./drawn.js";
import { gapUnderEdge } from "./edgeAtRest.js";
import { RELIEF_DEFINITIONS } from "./reliefDefinition.js";
import type { Relief, ReliefDefinition } from "./reliefDefinition.js";
import { reliefWords, undeterminedWords } from "./reliefWords.js";
import { allTops, lineOverChord, nearestTop, scaled, spansOf, topOverChord } from "./span.js";
import type { Span, TopPlace } from "./span.js";

export type { Relief, ReliefDefinition } from "./reliefDefinition.js";

type Read = Extract<Span, { status: "read" }>;

/** Places along the span at which the line is compared with its chord. */
const STEPS = 32;

/**
 * Relief of every line that was read, by one definition. The chord runs from fret 1 (a zero fret is apart) to the body joint, or to the
 * last fret where no joint was stated, as far as the readings reach; the tongue beyond the joint is told apart (`tongues`).
 * The value is the median, the interval the central 95 % of joint draws of the signed extreme, so that an almost
 * straight neck is not called bowed by the choice of its largest deviation.
 * @param survey what `adjust` gave
 * @param definition which of the four reliefs; the smooth neck line unless said
 */
export function reliefs(survey: Survey, definition: ReliefDefinition = "neckLine"): readonly Relief[] {
  const spans = spansOf(survey);
  return answered(survey, spans.map((span) => askedRelief(survey, span, definition)));
}

/** All four reliefs of every line, line by line, in the order of the definitions; worked out from the same draws. */
export function allReliefs(survey: Survey): readonly Relief[] {
  return answered(survey, spansOf(survey).flatMap((span) => RELIEF_DEFINITIONS.map((definition) => askedRelief(survey, span, definition))));
}

function askedRelief(survey: Survey, span: Span, definition: ReliefDefinition): Asked<Relief> {
  const without: Relief = { status: "undetermined", line: span.line, definition, need: span.status === "undetermined" ? span.need : "", describe: () => undeterminedWords(span.line, span.status === "undetermined" ? span.need : "") };
  if (span.status === "undetermined") return { combinations: [], answer: () => without };
  const { forms, value, places } = formsOf(survey, span, definition);
  const probabilityForward = (draws: readonly Float64Array[]): number => draws.filter((draw) => signedExtreme(draw) > 0).length / draws.length;
  return {
    combinations: forms,
    answer: (draws) => determinedRelief(survey, span, definition, { places, values: draws.map(value), means: meansOf(draws), probabilityForward: probabilityForward(draws) }),
  };
}

/** What a relief is worked out from. */
export type Forms = {
  /** Depth below the chord at each place, positive below. */
  readonly forms: readonly (readonly HeightTerm[])[];
  readonly places: readonly number[];
  readonly value: (depths: Float64Array) => number;
};

/** The relief of a line's smooth neck line as a survey is asked for it: depths below the chord, mm, and the relief that they make. */
export function neckLineRelief({ line, from, to }: Read): Forms {
  const places = Array.from({ length: STEPS - 1 }, (_, index) => from.xMm + ((to.xMm - from.xMm) * (index + 1)) / STEPS);
  return { places, forms: places.map((x) => scaled(-1, lineOverChord(line, from.xMm, to.xMm, x))), value: signedExtreme };
}

function formsOf(survey: Survey, span: Read, definition: ReliefDefinition): Forms {
  const { line, from, to } = span;
  if (definition === "neckLine") return neckLineRelief(span);
  const inside = allTops(survey.neck).filter(({ fret }) => fret > from.fret && fret < to.fret);
  const tops = definition === "fret1ToJointMiddle" ? [middleTop(from, to, inside)] : inside;
  const places = tops.map(({ xMm }) => xMm);
  const forms = tops.map((top) => scaled(-1, topOverChord(line, from, to, top)));
  const ends = [from.xMm, ...places, to.xMm];
  return { places, forms, value: definition === "gapBelow" ? (depths) => gapUnderEdge(ends, [0, ...Array.from(depths, (depth) => -depth), 0]).gapMm : signedExtreme };
}

/** The fret nearest to mid-way between two others, by distance. */
function middleTop(from: TopPlace, to: TopPlace, inside: readonly TopPlace[]): TopPlace {
  const middleMm = (from.xMm + to.xMm) / 2;
  return inside.reduce((best, top) => (Math.abs(top.xMm - middleMm) < Math.abs(best.xMm - middleMm) ? top : best), inside[0] ?? from);
}

type Found = { readonly places: readonly number[]; readonly values: readonly number[]; readonly means: readonly number[]; readonly probabilityForward: number };

function determinedRelief(survey: Survey, span: Read, definition: ReliefDefinition, { places, values, means, probabilityForward }: Found): Relief {
  const deepest = means.indexOf(signedExtreme(means));
  const found = {
    status: "determined", line: span.line, definition, relief: measuredDraws(values), from: span.from, to: span.to, reached: span.reached,
    at: nearestTop(survey.neck, places[deepest] ?? span.from.xMm),
    probabilityForward,
  } as const;
  return { ...found, describe: (order: UnitOrder = "mm first") => reliefWords(found, order) };
}
