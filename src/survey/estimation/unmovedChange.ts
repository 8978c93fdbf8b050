import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { solveArrow } from "../linear/arrow.js";
import type { SparseRow } from "../linear/arrow.js";
import { normalCdf, normalQuantile } from "../likelihood/normal.js";
import { MM_PER_THOU } from "../../units/length.js";
import { TOUCH_U_MM } from "../../readings/gap.js";
import type { GapReading, RockerReading } from "../../readings/reading.js";
import type { Equation } from "../model/equations.js";
import type { Layout, PlacedBody } from "../model/layout.js";
import { mannerOf } from "../model/paths.js";
import { priorOf } from "../model/prior.js";
import type { PlacedSetting } from "../model/stations.js";
import { along, normalPosterior } from "./expectationPropagation.js";
import type { NormalPosterior } from "./expectationPropagation.js";
import { problemOf } from "./problem.js";
import { readingSite, sitesBeforehand } from "./scatterGrid.js";
import type { GridPoint } from "./scatterGrid.js";
import { intervalMoments } from "./sites.js";
import type { Context } from "./sites.js";

/** No change at all, as near as the matrix can be told: standard deviation of what is held together, mm. */
const HELD_MM = 1e-4;
/** The posterior without a change starts from sites that suit one with a change. */
const SETTLED = 0.1;
/** A reading may come out so many steps beside what was read. */
const STEPS = 4;
/** Step of a set of leaves where the interval read is wider (common practice, no source). */
const STEP_MM = MM_PER_THOU;
/** So many places of a height within a step are looked at. */
const PHASES = 16;
/** Of the uncertainty of what was seen touching, the share that is another the second time: the rest is what light does not show of the same gap (own judgement). */
const SEEN_AGAIN = 1 / 3;
/** What comes out less often than this is left out. */
const NEVER = 1e-5;
/** What estimates reckoned one reading after the other are off, mm. */
const ROUNDED_MM = 0.0005;

/**
 * Draws of what estimates of linear forms would come to, by chance alone, if two surveys had read a neck that did not change between them: each is the posterior mean with a change, followed linearly.
 * Readings come in steps, and of an unmoved neck the same gap is read twice at the same place within a step, so that both err alike. The posterior leaves every reading its whole interval
 * and is wider; and where a prior pulls an estimate toward none, the estimate strays less than what it is an estimate of. Where a height lies within the steps is drawn anew for each draw, the same for both surveys.
 * What an estimate strays beside that, because the two surveys read other places, has the covariance V - V P V less that of the readings' own noise: V the posterior's, P the precision of the change's prior.
 * @returns one array a draw, in the order of the rows, about zero; undefined where nothing settled
 */
export function unmovedEstimates(layout: Layout, equations: readonly Equation[], settings: readonly PlacedSetting[], point: GridPoint, rows: readonly SparseRow[], pair: readonly [number, number], count: number, seed: number): readonly Float64Array[] | undefined {
  const still = withoutChange(layout, equations, settings.length, point, pair);
  if (still === undefined) return undefined;
  const columns = rows.map((row) => solveArrow(point.posterior.factor, dense(row, point.posterior.mean.length)));
  const readings = readingsAgain(equations, settings, point, still, columns);
  return drawnEstimates(rows.length, readings, rootOf(beyondNoise(layout, settings.length, point, rows, columns, readings)), count, seed);
}

/** A reading taken again: how its form strays, which height it reads, how the estimates answer to its form, and what its site says. */
type Repeated = { readonly again: ReadingAgain; readonly height: string; readonly response: Float64Array; readonly precision: number; readonly variance: number };

function readingsAgain(equations: readonly Equation[], settings: readonly PlacedSetting[], { posterior }: GridPoint, still: NormalPosterior, columns: readonly Float64Array[]): readonly Repeated[] {
  return equations.flatMap((equation, index) => {
    const [context, variance, formMm] = [posterior.contexts[index], posterior.sites.covariance[index], still.sites.formMean[index]];
    const again = context === undefined || formMm === undefined ? undefined : readingAgain(equation, settings, context, formMm);
    return again === undefined || variance === undefined ? [] : [{ again, height: heightOf(equation, index), response: Float64Array.from(columns, (column) => along(equation.row, column) / variance), precision: posterior.sites.precision[index] ?? 0, variance }];
  });
}

/** Estimates of so many forms about zero: each height at one place within the steps for all who read it, and what they stray otherwise. */
function drawnEstimates(forms: number, readings: readonly Repeated[], otherwise: readonly Float64Array[], count: number, seed: number): readonly Float64Array[] {
  const heights = [...new Set(readings.map(({ height }) => height))];
  const phaseOf = readings.map(({ height }) => heights.indexOf(height));
  const random = xoroshiro128plus(seed);
  const uniform = (): number => uniformFloat64(random);
  const normal = (): number => normalQuantile(Math.max(uniform(), Number.MIN_VALUE));
  return Array.from({ length: count }, () => {
    const estimate = Float64Array.from({ length: forms }, () => ROUNDED_MM * normal());
    const add = (by: number, column: ArrayLike<number>): void => {
      if (by !== 0) for (let k = 0; k < estimate.length; k++) estimate[k] = (estimate[k] ?? 0) + by * (column[k] ?? 0);
    };
    const phases = heights.map(() => Math.floor(PHASES * uniform()));
    for (const [at, { again, response }] of readings.entries()) add(again(phases[phaseOf[at] ?? 0] ?? 0, uniform()), response);
    for (const column of otherwise) add(normal(), column);
    return estimate;
  });
}

function dense({ index, coefficient }: SparseRow, size: number): Float64Array {
  const column = new Float64Array(size);
  for (const [position, at] of index.entries()) column[at] = coefficient[position] ?? 0;
  return column;
}

/** The posterior of the same readings at the same scatters, the neck line held to be the same in both surveys. */
function withoutChange(layout: Layout, equations: readonly Equation[], settings: number, { scatters, posterior }: GridPoint, pair: readonly [number, number]): NormalPosterior | undefined {
  const sites = [...equations.map(readingSite), ...sitesBeforehand(layout, scatters)];
  const prior = priorOf(layout, settings);
  const held = heldTogether(layout, pair).map((row) => ({ row, weight: 1 / HELD_MM ** 2, of: "fixed" as const }));
  return normalPosterior(problemOf({ ...prior, terms: [...prior.terms, ...held] }, sites), { roughnessMm: scatters.roughnessMm, sites }, posterior.sites, SETTLED);
}

/** What is nothing if the neck line did not change from one survey to another: each unknown of its change since the first survey, or the difference of two. */
function heldTogether(layout: Layout, [earlier, later]: readonly [number, number]): readonly SparseRow[] {
  const [before, after] = [earlier, later].map((survey) => layout.bodies.find((body) => body.of === "change" && body.survey === survey));
  const [one, other] = after === undefined ? [before, undefined] : [after, before];
  if (one === undefined) return [];
  const lines = one.lines.filter((line) => other === undefined || other.lines.includes(line));
  const others = other === undefined ? undefined : unknownsOf(layout, other, lines);
  return unknownsOf(layout, one, lines).map((at, k): SparseRow => (others === undefined ? { index: [at], coefficient: [1] } : { index: [at, others[k] ?? at], coefficient: [1, -1] }));
}

function unknownsOf(layout: Layout, body: PlacedBody, lines: readonly string[]): readonly number[] {
  const tracks = lines.map((line) => body.firstTrack + body.lines.indexOf(line));
  return [
    ...layout.sharedBends(body.index),
    ...tracks.flatMap((track) => {
      const states = [...layout.stations.keys()].flatMap((station) => layout.smooth(track, station) ?? []);
      return [layout.ownBow(track), ...states.flatMap(({ height, slope }) => [height, slope])];
    }),
  ];
}

/** Covariance of estimates where nothing changed, less what the noise of the readings makes of it. */
function beyondNoise(layout: Layout, settings: number, { scatters }: GridPoint, rows: readonly SparseRow[], columns: readonly Float64Array[], readings: readonly Repeated[]): Matrix {
  const changes = new Set(layout.bodies.filter(({ of }) => of === "change").flatMap((body) => unknownsOf(layout, body, body.lines)));
  const terms = priorOf(layout, settings).terms.filter(({ row }) => row.index.length > 0 && row.index.every((at) => changes.has(at)));
  const left = Matrix.zeros(rows.length, rows.length);
  for (const [i, row] of rows.entries()) for (let j = 0; j < rows.length; j++) left.set(i, j, along(row, columns[j] ?? new Float64Array()));
  const less = (weight: number, at: ArrayLike<number>): void => {
    for (let i = 0; i < rows.length; i++) for (let j = 0; j < rows.length; j++) left.set(i, j, left.get(i, j) - weight * (at[i] ?? 0) * (at[j] ?? 0));
  };
  for (const { row, weight, of } of terms) less(of === "fixed" ? weight : weight / scatters.roughnessMm ** 2, columns.map((column) => along(row, column)));
  for (const { response, precision, variance } of readings) less(precision * variance ** 2, response);
  return left;
}

/** Columns whose sum of squares is the nearest covariance to a matrix that should be one. */
function rootOf(matrix: Matrix): readonly Float64Array[] {
  if (matrix.rows === 0) return [];
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(matrix, { assumeSymmetric: true });
  const largest = Math.max(...realEigenvalues);
  return realEigenvalues.flatMap((value, k) => (value > 1e-6 * largest && value > 0 ? [Float64Array.from(eigenvectorMatrix.getColumn(k), (entry) => Math.sqrt(value) * entry)] : []));
}

/** Readings of one fret on one line read the same height. */
function heightOf({ from }: Equation, index: number): string {
  if (from.kind === "rocker") return `${from.reading.line} rocked ${from.reading.frets[1]}`;
  return from.kind === "gap" && from.reading.line !== "" ? `${from.reading.line} ${from.reading.place.label}` : String(index);
}

/** By how much the mean of a reading's form, in its context, strays if the reading is taken again: drawn with a number from 0 to 1, the height lying at one of so many places within a step. */
type ReadingAgain = (phase: number, uniform: number) => number;

/** Undefined of what is no reading: that an edge cuts into no crown cannot come out otherwise. */
function readingAgain(equation: Equation, settings: readonly PlacedSetting[], context: Context, formMm: number): ReadingAgain | undefined {
  const variance = context.covariance[0] ?? NaN;
  if (equation.from.kind === "contact" || !(variance > 0)) return undefined;
  return equation.lowMm === equation.highMm ? shownAgain(equation, variance, isSeenTouching(equation, settings)) : withinStepsAgain(equation, equation.from, context, formMm);
}

/** An edge on what it lies on, no light between: not any number that happens to be 0, which a dial shows as well as another. */
function isSeenTouching({ from }: Equation, settings: readonly PlacedSetting[]): boolean {
  const setting = from.kind === "gap" ? settings[from.setting] : undefined;
  if (from.kind !== "gap" || setting === undefined || mannerOf(setting) !== "edge") return false;
  const { gap } = from.reading;
  return gap.kind === "exact" && gap.gapMm === 0 && gap.uMm <= TOUCH_U_MM;
}

function shownAgain({ sMm }: Equation, variance: number, isTouching: boolean): ReadingAgain {
  const strayMm = (variance / (variance + sMm * sMm)) * (isTouching ? SEEN_AGAIN : 1) * sMm;
  return (_, uniform) => strayMm * normalQuantile(Math.max(uniform, Number.MIN_VALUE));
}

function withinStepsAgain({ lowMm, highMm, sMm, knownMm }: Equation, from: Exclude<Equation["from"], { readonly kind: "contact" }>, context: Context, formMm: number): ReadingAgain {
  const [mean, variance] = [context.mean[0] ?? NaN, context.covariance[0] ?? NaN];
  const handMm = Math.sqrt(Math.max(0.25 * sMm * sMm, sMm * sMm - leafUMm(from.reading) ** 2));
  const ends = ladder(lowMm, highMm, from.kind === "gap").map((mm) => mm - knownMm);
  const phases = Array.from({ length: PHASES }, (_, phase) => {
    const shifted = ends.map((end) => end - ((phase + 0.5) / PHASES - 0.5) * Math.min(STEP_MM, highMm - lowMm));
    const upTo = shifted.map((end) => normalCdf((end - formMm) / handMm));
    const [first = 0, last = 1] = [upTo[0], upTo.at(-1)];
    const means = shifted.slice(1).map((high, k) => ((upTo[k + 1] ?? 0) - (upTo[k] ?? 0) > NEVER ? (intervalMoments(shifted[k] ?? NaN, high, sMm, 1 / variance, mean / variance)?.mean ?? mean) : mean));
    return last > first ? { upTo: upTo.map((share) => (share - first) / (last - first)), means } : { upTo: [0, 1], means: [mean] };
  });
  const middle = phases.reduce((sum, { upTo, means }) => sum + means.reduce((inner, one, k) => inner + one * ((upTo[k + 1] ?? 0) - (upTo[k] ?? 0)), 0), 0) / PHASES;
  return (phase, uniform) => {
    const { upTo, means } = phases[phase] ?? { upTo: [0, 1], means: [middle] };
    return (means[upTo.findIndex((share) => uniform < share) - 1] ?? middle) - middle;
  };
}

/** The leaves' own thickness is the same both times. */
function leafUMm(reading: GapReading | RockerReading): number {
  if ("deltaMm" in reading) return reading.endsUMm;
  return reading.gap.kind === "interval" ? reading.gap.endsUMm : 0;
}

/** Ends of the intervals beside the one read, from low to high; a gap is not below nothing. */
function ladder(lowMm: number, highMm: number, isGap: boolean): readonly number[] {
  const stepMm = Math.min(STEP_MM, highMm - lowMm);
  const steps = Array.from({ length: STEPS }, (_, k) => k + 1);
  const lower = isGap ? [...new Set(steps.map((k) => Math.max(0, lowMm - k * stepMm)))].filter((mm) => mm < lowMm) : steps.map((k) => lowMm - k * stepMm);
  return [...(Number.isFinite(lowMm) ? lower.reverse() : []), lowMm, highMm, ...(Number.isFinite(highMm) ? steps.map((k) => highMm + k * stepMm) : [])];
}
