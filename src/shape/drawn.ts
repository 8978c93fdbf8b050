import { quantileSorted, sampleStandardDeviation } from "simple-statistics";
import type { HeightTerm, Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";

const DRAWS = 2000;
const SEED = 20_26;

/** A number that is worked out from several combinations of heights, some of them not linear in the heights (extremes). */
export type Asked<T> = { readonly combinations: readonly (readonly HeightTerm[])[]; readonly answer: (draws: readonly Float64Array[]) => T };

/** The answers to several questions from the same joint draws: drawing is what takes time, so it is done once. */
export function answered<T>(survey: Pick<Survey, "draws">, questions: readonly Asked<T>[]): readonly T[] {
  const combinations = questions.flatMap((question) => question.combinations);
  if (combinations.length === 0) return questions.map((question) => question.answer([]));
  const draws = survey.draws(combinations, DRAWS, SEED);
  let start = 0;
  return questions.map((question) => {
    const from = start;
    start += question.combinations.length;
    return question.answer(draws.map((draw) => draw.subarray(from, from + question.combinations.length)));
  });
}

/** Median, spread and central 95 % of drawn values, mm. */
export function measuredDraws(values: readonly number[]): Measured {
  const sorted = [...values].sort((a, b) => a - b);
  return { value: quantileSorted(sorted, 0.5), u: sampleStandardDeviation(sorted), unit: "mm", low95: quantileSorted(sorted, 0.025), high95: quantileSorted(sorted, 0.975) };
}

/** The value farthest from zero, with its sign; 0 of none. */
export function signedExtreme(values: ArrayLike<number>): number {
  let extreme = 0;
  for (let index = 0; index < values.length; index++) {
    const value = values[index] ?? 0;
    if (Math.abs(value) > Math.abs(extreme)) extreme = value;
  }
  return extreme;
}

/** Mean of each combination over the draws. */
export function meansOf(draws: readonly Float64Array[]): readonly number[] {
  const count = draws[0]?.length ?? 0;
  return Array.from({ length: count }, (_, at) => draws.reduce((sum, draw) => sum + (draw[at] ?? 0), 0) / draws.length);
}

/** The same with its sign turned, so that the words can carry the sign. */
export function magnitude(measured: Measured): Measured {
  return measured.value < 0 ? turned(measured) : measured;
}

/** The value with its sign turned. */
export function turned(measured: Measured): Measured {
  return { ...measured, value: -measured.value, low95: -measured.high95, high95: -measured.low95 };
}

/** Whether the interval holds both signs. */
export function isOpen({ low95, high95 }: Measured): boolean {
  return low95 < 0 && high95 > 0;
}
