import { mean, median, medianAbsoluteDeviation, sampleStandardDeviation } from "simple-statistics";
import { studentQuantile } from "./student.js";

/** The steps of a generalised ESD test: statistics and critical values, and which values are outliers. */
export type EsdResult = {
  /** Largest deviation from the mean in standard deviations, after 0, 1, 2 … values were taken out. */
  readonly statistics: readonly number[];
  readonly critical: readonly number[];
  /** Indices into the values, in the order taken out. */
  readonly outliers: readonly number[];
};

/**
 * Generalised extreme Studentised deviate test for one outlier or more in values that are otherwise about normal, two-sided.
 * @param values in any unit, 3 or more
 * @param most the largest number of outliers looked for
 * @param chance probability that values without outliers have one named
 * @throws {RangeError} fewer than three values, or fewer values than outliers looked for plus two
 * @source B. Rosner, Technometrics 25 (1983) 165; NIST/SEMATECH e-Handbook 1.3.5.17.3; checked in tests/published/outliers.test.ts
 * @example equal(generalisedEsd([0, 1, 2, 1, 0, 1, 2, 1, 0, 1, 2, 1, 0, 1, 2, 40], 3, 0.05).outliers, [15]);
 */
export function generalisedEsd(values: readonly number[], most: number, chance: number): EsdResult {
  const { length } = values;
  if (length < 3 || most > length - 2) throw new RangeError(`Cannot test for ${most} outliers: expected ${Math.max(3, most + 2)} values or more, got ${length}`);
  const left = [...values.keys()];
  const removed: number[] = [];
  const statistics: number[] = [];
  for (let step = 0; step < most; step++) {
    const kept = left.map((index) => values[index] ?? 0);
    const [centre, spread] = [mean(kept), sampleStandardDeviation(kept)];
    const at = farthest(kept, centre);
    statistics.push(spread > 0 ? Math.abs((kept[at] ?? centre) - centre) / spread : 0);
    removed.push(...left.splice(at, 1));
  }
  const critical = statistics.map((_, step) => criticalValue(length - step, chance));
  const count = statistics.reduce((last, statistic, step) => (statistic > (critical[step] ?? Infinity) ? step + 1 : last), 0);
  return { statistics, critical, outliers: removed.slice(0, count) };
}

/** Largest Studentised deviation that `left` normal values exceed with this chance. */
function criticalValue(left: number, chance: number): number {
  const t = studentQuantile(1 - chance / (2 * left), left - 2);
  return ((left - 1) * t) / Math.sqrt((left - 2 + t * t) * left);
}

function farthest(values: readonly number[], centre: number): number {
  return values.reduce((best, value, index) => (Math.abs(value - centre) > Math.abs((values[best] ?? centre) - centre) ? index : best), 0);
}

/** 0.75 quantile of the normal distribution, as the authors print it. */
const NORMAL_QUARTILE = 0.6745;

/**
 * Modified z-scores: 0.6745 (x - median) / MAD; beyond 3.5 either way a value is labelled a possible outlier.
 * @returns one score a value, in their order; undefined where more than half of the values are equal, so that there is no spread to judge by
 * @source B. Iglewicz and D. Hoaglin, How to Detect and Handle Outliers (ASQC 1993); NIST/SEMATECH e-Handbook 1.3.5.17; checked in tests/published/outliers.test.ts
 * @example equal(modifiedZScores([1, 1, 1, 5]), undefined);
 */
export function modifiedZScores(values: readonly number[]): readonly number[] | undefined {
  const [first] = values;
  if (first === undefined) return undefined;
  const centre = median([...values]);
  const spread = medianAbsoluteDeviation([...values]);
  return spread > 0 ? values.map((value) => (NORMAL_QUARTILE * (value - centre)) / spread) : undefined;
}
