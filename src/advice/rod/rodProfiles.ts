import { allTops } from "../../shape/span.js";
import { heightAt, overChord, type Profile } from "../../shape/profile.js";
import type { Survey } from "../../survey/survey.js";
import type { MiddleRelief } from "./middleRelief.js";
import type { RodQuestion } from "./rodQuestion.js";

type Determined = Extract<MiddleRelief, { status: "determined" }>;

/** The neck before and after the turning, as one line: the mean of the lines read, over the chord of what all of them reach. */
export type RodProfiles = {
  readonly now: Profile;
  /** With the rod turned; absent where it is not to be turned. */
  readonly after?: Profile;
  /** At the end, strings at pitch; absent where none are to be added. */
  readonly underStrings?: Profile;
  readonly fromMm: number;
  readonly toMm: number;
  /** The lines whose mean it is. */
  readonly lines: readonly string[];
  /** The place that counts as the middle. */
  readonly middleMm: number;
};

/**
 * The profiles of rod advice.
 * @param middle the relief that is judged, with its lines and chord
 * @param changeMm relief that turning is to add at the middle, mm; undefined where the rod is left
 * @returns undefined where no line was read over a common stretch
 */
export function rodProfiles(survey: Survey, middle: Determined, changeMm: number | undefined, question: Pick<RodQuestion, "shape" | "strings" | "stringsShape">): RodProfiles | undefined {
  const { relief, fromMm, toMm, atMm: middleMm } = middle;
  const lines = survey.lines.filter(({ line }) => middle.lines.includes(line)).map((line): Profile => ({ of: line.line, xMm: line.xMm, vMm: line.heightMm }));
  const xMm = [...new Set([fromMm, ...allTops(survey.neck).map((top) => top.xMm).filter((x) => x > fromMm && x < toMm), toMm])];
  if (lines.length === 0 || xMm.length < 3) return undefined;
  const mean = overChord(xMm, xMm.map((x) => lines.reduce((sum, line) => sum + heightAt(line, x) / lines.length, 0)));
  const share = (shape: Profile | undefined): readonly number[] => shares(xMm, shape, middleMm);
  const bent = (from: Profile, mm: number, shape: Profile | undefined, of: string, u: number): Profile => {
    const each = share(shape);
    return { of, xMm, vMm: from.vMm.map((v, index) => v - mm * (each[index] ?? 0)), uMm: each.map((one) => Math.abs(one) * u) };
  };
  const now: Profile = { of: "now", xMm, vMm: mean, uMm: shares(xMm, undefined, middleMm).map((one) => one * relief.u) };
  const after = changeMm === undefined ? undefined : bent(now, changeMm, question.shape, "rod turned", relief.u);
  const underStrings = question.strings === undefined ? undefined : bent(after ?? now, question.strings.value, question.stringsShape, "strings at pitch", Math.hypot(relief.u, question.strings.u));
  return { now, lines: middle.lines, fromMm, toMm, middleMm, ...(after === undefined ? {} : { after }), ...(underStrings === undefined ? {} : { underStrings }) };
}

/**
 * A shape over the chord of these places, as a share of its depth at the middle; a parabola where none is given.
 * @throws {RangeError} a shape that does not move the middle
 */
export function shares(xMm: readonly number[], shape: Profile | undefined, middleMm: number): readonly number[] {
  const [first, last] = [xMm[0] ?? 0, xMm.at(-1) ?? 1];
  const inside = (x: number): number => (shape === undefined ? (x - first) * (last - x) : heightAt(shape, Math.min(shape.xMm.at(-1) ?? x, Math.max(shape.xMm[0] ?? x, x))));
  const over = (x: number): number => inside(x) - ((last - x) * inside(first) + (x - first) * inside(last)) / (last - first);
  const middle = over(middleMm);
  if (!(Math.abs(middle) > 0)) throw new RangeError(`Cannot take "${shape?.of ?? "a bow"}" for a bow's shape: expected one that moves the middle of the neck`);
  return xMm.map((x) => over(x) / middle);
}
