import { lengthMm, MM_PER_THOU, type LengthUnit } from "../units/length.js";

/** A set of feeler leaves, thinnest first, with the tolerance of a leaf's thickness either way. */
export type LeafSet = { readonly name: string; readonly leavesMm: readonly number[]; readonly toleranceMm: number };

/** Tolerance of a leaf's thickness, mm. Common practice, no source. */
export const DEFAULT_LEAF_TOLERANCE_MM = 0.004;

const THOU_MARKS = [1.5, 2, 2.5, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 18, 20, 22, 24, 25, 28, 30, 32, 35, 40];
const METRIC_HUNDREDTHS = [3, 4, 5, 6, 7, 8, 9, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 100];

/** Leaves marked in thou, 1.5 to 40. Common practice, no source. */
export const THOU_LEAVES: LeafSet = { name: "thou set", leavesMm: THOU_MARKS.map((mark) => mark * MM_PER_THOU), toleranceMm: DEFAULT_LEAF_TOLERANCE_MM };

/** Leaves marked in mm, 0.03 to 1.00. Common practice, no source. */
export const METRIC_LEAVES: LeafSet = { name: "metric set", leavesMm: METRIC_HUNDREDTHS.map((hundredths) => hundredths / 100), toleranceMm: DEFAULT_LEAF_TOLERANCE_MM };

/** The set that is assumed for numbers in a unit where the user named none. */
export function defaultLeaves(unit: LengthUnit): LeafSet {
  return unit === "thou" || unit === "in" ? THOU_LEAVES : METRIC_LEAVES;
}

/** The set as a builder would read it out: `thou set (1.5 to 40 thou, 27 leaves, each within 0.004 mm)`. */
export function leafSetWords(set: LeafSet): string {
  const first = set.leavesMm[0] ?? 0;
  const last = set.leavesMm.at(-1) ?? 0;
  const both = `${Number(first.toFixed(4))} to ${Number(last.toFixed(4))} mm, ${thou(first)} to ${thou(last)} thou`;
  return `${set.name} (${both}, ${set.leavesMm.length} leaves, each within ${set.toleranceMm} mm, ${thou(set.toleranceMm)} thou)`;
}

function thou(mm: number): string {
  return String(Number((mm / MM_PER_THOU).toFixed(2)));
}

const MOST_LEAVES = 60;

/** What a written leaf set gives: the set and the unit its leaves are marked in, or what was expected. */
export type LeafSetReading = { readonly set: LeafSet; readonly unit: LengthUnit; readonly toleranceStated: boolean } | { readonly expected: string };

/**
 * Reads a leaf set as written in a table's head: `thou`, `metric`, `1.5 2 3 4 thou`, `0.05 0.10 mm, tolerance 0.003 mm`.
 * @param written the text after `leaves:`
 * @param plainUnit unit of leaves written without one
 * @returns the set, or what was expected where it cannot be read
 */
export function readLeafSet(written: string, plainUnit: LengthUnit): LeafSetReading {
  const [list = "", toleranceText] = written.trim().split(/[,;]?\s*(?:tolerance|within)\s+/i);
  const toleranceMm = toleranceText === undefined ? DEFAULT_LEAF_TOLERANCE_MM : lengthMm(toleranceText.trim());
  if (toleranceMm === undefined || !(toleranceMm > 0 && toleranceMm <= 0.05)) return { expected: 'a tolerance of a leaf above 0 and up to 0.05 mm, as "tolerance 0.004 mm"' };
  const rest = { toleranceMm, toleranceStated: toleranceText !== undefined };
  if (/^(the )?(usual )?thou( set)?$/i.test(list.trim())) return { set: { ...THOU_LEAVES, toleranceMm }, unit: "thou", toleranceStated: rest.toleranceStated };
  if (/^(the )?(usual )?(metric|mm)( set)?$/i.test(list.trim())) return { set: { ...METRIC_LEAVES, toleranceMm }, unit: "mm", toleranceStated: rest.toleranceStated };
  return listedLeaves(list, plainUnit, rest);
}

function listedLeaves(list: string, plainUnit: LengthUnit, rest: { readonly toleranceMm: number; readonly toleranceStated: boolean }): LeafSetReading {
  const unitText = /\s*(mm|um|thou|in)\s*$/.exec(list)?.[1];
  const unit = unitText === "mm" || unitText === "um" || unitText === "thou" || unitText === "in" ? unitText : plainUnit;
  const words = list.replace(/\s*(mm|um|thou|in)\s*$/, "").split(/[;\s]+|,\s+/).filter((word) => word !== "");
  const leaves = words.map((word) => lengthMm(word, unit));
  const leavesMm = leaves.filter((mm) => mm !== undefined).sort((a, b) => a - b);
  const good = leavesMm.length === words.length && leavesMm.every((mm, index) => mm >= 0.01 && mm <= 5 && mm !== leavesMm[index - 1]);
  if (!good || leavesMm.length < 1 || leavesMm.length > MOST_LEAVES) {
    return { expected: `"thou", "metric", or 1 to ${MOST_LEAVES} different leaves from 0.01 to 5 mm with their unit at the end, as "1.5 2 3 4 5 thou, tolerance 0.004 mm"` };
  }
  return { set: { name: "own set of leaves", leavesMm, toleranceMm: rest.toleranceMm }, unit, toleranceStated: rest.toleranceStated };
}

/** A choice of one to three different leaves whose thicknesses add up. */
export type Stack = readonly [number, ...number[]];

/** Leaves are told apart by their marks; sums of marks in binary differ from them by rounding alone. */
const ROUNDING_MM = 1e-6;

/**
 * The stack that makes up a thickness: fewest leaves, then largest leaf first; a leaf counts once.
 * @param valueMm thickness, mm
 * @param slackMm how far a single leaf may lie from the value (a leaf marked in the other unit), mm
 * @returns leaves from thick to thin, or `undefined` where no stack of up to three makes it
 */
export function stackOf(set: LeafSet, valueMm: number, slackMm: number = ROUNDING_MM): Stack | undefined {
  const single = set.leavesMm.filter((leaf) => Math.abs(leaf - valueMm) <= slackMm).sort((a, b) => Math.abs(a - valueMm) - Math.abs(b - valueMm))[0];
  if (single !== undefined) return [single];
  return pairOf(set.leavesMm, valueMm, Number.POSITIVE_INFINITY) ?? tripleOf(set.leavesMm, valueMm);
}

/** Two different leaves thinner than `belowMm`, thick one first. */
function pairOf(leavesMm: readonly number[], sumMm: number, belowMm: number): Stack | undefined {
  let thin = 0;
  for (let thick = leavesMm.length - 1; thick > thin; thick -= 1) {
    const thickMm = leavesMm[thick] ?? 0;
    if (thickMm >= belowMm) continue;
    while (thin < thick && thickMm + (leavesMm[thin] ?? 0) < sumMm - ROUNDING_MM) thin += 1;
    const thinMm = leavesMm[thin] ?? 0;
    if (thin < thick && Math.abs(thickMm + thinMm - sumMm) <= ROUNDING_MM) return [thickMm, thinMm];
  }
  return undefined;
}

function tripleOf(leavesMm: readonly number[], sumMm: number): Stack | undefined {
  for (let index = leavesMm.length - 1; index >= 0; index -= 1) {
    const thickMm = leavesMm[index] ?? 0;
    const pair = pairOf(leavesMm, sumMm - thickMm, thickMm);
    if (pair !== undefined) return [thickMm, ...pair];
  }
  return undefined;
}

/**
 * What the stack with the next thicker leaf in place of its thinnest would make. A pair of the thickest leaves has none left to exchange, and who stacks
 * two lays the thinnest on top next; Infinity for the thickest leaf alone, on which nothing was stacked, and for the thickest three.
 */
export function nextStackMm(set: LeafSet, stack: Stack): number {
  const thinnestMm = Math.min(...stack);
  const others = stack.filter((leaf) => leaf !== thinnestMm);
  const next = set.leavesMm.find((leaf) => leaf > thinnestMm && !others.includes(leaf));
  if (next !== undefined) return others.reduce((sum, leaf) => sum + leaf, next);
  const onTop = stack.length === 2 ? set.leavesMm.find((leaf) => !stack.includes(leaf)) : undefined;
  return onTop === undefined ? Number.POSITIVE_INFINITY : stack.reduce((sum, leaf) => sum + leaf, onTop);
}
