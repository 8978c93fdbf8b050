import { smallInverse } from "../linear/smallSpd.js";
import type { Mixture, NormalClass } from "./normalClass.js";
import { DEVIATION_BASE_MM } from "./scatters.js";
import type { Scatters } from "./scatters.js";

/** One way a fret can stand, as a normal distribution of its deviations from the smooth line on all lines read. */
export type FretClass = NormalClass & {
  readonly name: "as intended" | "whole fret high" | "whole fret low" | "end lifted";
  /** Index of the line whose end is lifted; absent for the other classes. */
  readonly line?: number;
};

/** Share of the seating scatter by which one place of a fret differs from the whole: a fret is one piece of wire (own judgement, chosen on invented necks, whose frets are straight but for their lifted ends). */
const OWN_SHARE = 0.2;

/** Far-out frets (common practice, no source): how many, how far, how spread. */
const WHOLE_HIGH = { weight: 0.065, meanMm: 0.08, sdMm: 0.035 } as const;
/** Not pressed home at all. */
const FAR_UP = { weight: 0.006, meanMm: 0.25, sdMm: 0.1 } as const;
const WHOLE_LOW = { weight: 0.015, meanMm: -0.04, sdMm: 0.03 } as const;
const END_LIFTED = { weight: 0.015, meanMm: 0.08, sdMm: 0.035 } as const;
/** A far-out fret need not be level across. */
const UNEVEN_MM = 0.008;

/** No kind of fret is wider than this, nor centred farther out than this beyond the outermost kind. */
const WIDEST_MM = 0.1;
const BEYOND_MM = 0.035;

/** What is known of a fret in a study that knows more than the readings say. */
export type FretKind = "as intended" | "far out";

/** The classes of a fret over the wide normal base of its deviations; only those of one kind where that is known. */
export function fretMixture(lines: number, ends: readonly number[], scatters: Scatters, known?: FretKind): Mixture {
  const classes = fretClasses(lines, ends, scatters);
  return mixtureOfFrets(known === undefined ? classes : classes.filter(({ name }) => (name === "as intended") === (known === "as intended")), DEVIATION_BASE_MM);
}

/** The same for classes that stand already. */
export function mixtureOfFrets(classes: readonly FretClass[], baseSd: number): Mixture {
  return { classes, baseSd, widest: WIDEST_MM, beyond: BEYOND_MM };
}

/**
 * The classes a fret is drawn from: most as intended, few far out, mostly high.
 * @param lines number of lines read
 * @param ends indices of those lines that run along an end of the frets
 */
export function fretClasses(lines: number, ends: readonly number[], scatters: Scatters): readonly FretClass[] {
  const seating: Spread = { common: scatters.seatingMm ** 2, own: (OWN_SHARE * scatters.seatingMm) ** 2 };
  const more = (commonMm: number, ownMm: number): Spread => ({ common: commonMm ** 2, own: ownMm ** 2 });
  const liftedEnd = (line: number, { weight, meanMm, sdMm }: { readonly weight: number; readonly meanMm: number; readonly sdMm: number }): FretClass => {
    const mean = new Float64Array(lines);
    mean[line] = meanMm;
    return fretClass({ name: "end lifted", line, weight }, mean, seating, more(0, 0), { line, sdMm });
  };
  const lifted = ends.flatMap((line) => [liftedEnd(line, END_LIFTED), liftedEnd(line, FAR_UP)]);
  const flat = (height: number): Float64Array => new Float64Array(lines).fill(height);
  const far = [
    fretClass({ name: "whole fret high", weight: WHOLE_HIGH.weight }, flat(WHOLE_HIGH.meanMm), seating, more(WHOLE_HIGH.sdMm, UNEVEN_MM)),
    fretClass({ name: "whole fret low", weight: WHOLE_LOW.weight }, flat(WHOLE_LOW.meanMm), seating, more(WHOLE_LOW.sdMm, UNEVEN_MM)),
    fretClass({ name: "whole fret high", weight: FAR_UP.weight }, flat(FAR_UP.meanMm), seating, more(FAR_UP.sdMm, UNEVEN_MM)),
    ...lifted,
  ];
  const weight = 1 - far.reduce((sum, one) => sum + one.weight, 0);
  return [fretClass({ name: "as intended", weight }, flat(0), seating, more(0, 0)), ...far];
}

/** Variance that all places of a fret share, and that each has for itself. */
type Spread = { readonly common: number; readonly own: number };

/** @param seating the part of the spread that goes with the square of the seating scatter @param more what comes to it @param at a line whose place stands out, and how widely */
function fretClass(head: Pick<FretClass, "name" | "weight" | "line">, mean: Float64Array, seating: Spread, more: Spread, at?: { readonly line: number; readonly sdMm: number }): FretClass {
  const size = mean.length;
  const covariance = new Float64Array(size * size).fill(seating.common + more.common);
  for (let i = 0; i < size; i++) covariance[i * (size + 1)] = (covariance[i * (size + 1)] ?? 0) + seating.own + more.own + (at?.line === i ? at.sdMm ** 2 : 0);
  const inverse = smallInverse(covariance, size);
  if (inverse === undefined) throw new RangeError("Cannot describe a fret: expected positive scatters");
  return { ...head, mean, precision: inverse.inverse, logPrecision: -inverse.logDeterminant, change: changeWith(seating, inverse.inverse, size) };
}

/** Change of a precision P with the logarithm of the seating scatter, whose part of the covariance C changes by twice itself: -P dC P, and -trace(P dC) of its log determinant. */
function changeWith({ common, own }: Spread, precision: Float64Array, size: number): NonNullable<NormalClass["change"]> {
  const sums = Float64Array.from({ length: size }, (_, i) => precision.subarray(i * size, (i + 1) * size).reduce((sum, value) => sum + value, 0));
  const change = new Float64Array(size * size);
  let trace = 0;
  for (let i = 0; i < size; i++) {
    trace += common * (sums[i] ?? 0) + own * (precision[i * (size + 1)] ?? 0);
    for (let j = 0; j < size; j++) {
      let squared = 0;
      for (let k = 0; k < size; k++) squared += (precision[i * size + k] ?? 0) * (precision[k * size + j] ?? 0);
      change[i * size + j] = -2 * (common * (sums[i] ?? 0) * (sums[j] ?? 0) + own * squared);
    }
  }
  return { precision: change, logPrecision: -2 * trace };
}
