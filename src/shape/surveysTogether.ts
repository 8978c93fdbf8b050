import type { HeightTerm, Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { NORMAL_95 } from "../units/measured.js";

/** A term of a combination of heights of several surveys of one neck: which survey, counted from 0 in order of time. */
export type TogetherTerm = HeightTerm & { readonly survey: number };

/** Two or more surveys of one neck, asked jointly, so that what they share (one edge, the same frets) is not counted twice. */
export type SurveysTogether = {
  /** In order of time. */
  readonly surveys: readonly Survey[];
  /** Value and uncertainty of a combination of heights of any of the surveys, mm. */
  readonly linear: (terms: readonly TogetherTerm[]) => Measured;
  /** Joint draws of several such combinations: one array a draw, in their order. */
  readonly draws: (combinations: readonly (readonly TogetherTerm[])[], count: number, seed: number) => readonly Float64Array[];
};

/** Surveys as if nothing were shared between them: what one edge adds to both counts twice, so that a change is told more cautiously than need be. */
export function surveysApart(surveys: readonly Survey[]): SurveysTogether {
  const ofSurvey = (terms: readonly TogetherTerm[], survey: number): readonly HeightTerm[] => terms.filter((term) => term.survey === survey);
  return {
    surveys,
    linear: (terms) => {
      const parts = surveys.flatMap((survey, index) => (ofSurvey(terms, index).length === 0 ? [] : [survey.linear(ofSurvey(terms, index))]));
      const value = parts.reduce((sum, part) => sum + part.value, 0);
      const u = Math.hypot(...parts.map((part) => part.u));
      return { value, u, unit: "mm", low95: value - NORMAL_95 * u, high95: value + NORMAL_95 * u };
    },
    draws: (combinations, count, seed) => {
      const parts = surveys.map((survey, index) => survey.draws(combinations.map((terms) => ofSurvey(terms, index)), count, seed + index));
      return Array.from({ length: Math.min(...parts.map((draws) => draws.length)) }, (_, at) => Float64Array.from(combinations, (_terms, form) => parts.reduce((sum, draws) => sum + (draws[at]?.[form] ?? 0), 0)));
    },
  };
}
