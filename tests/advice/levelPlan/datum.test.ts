import { beforeAll, describe, expect, test } from "vitest";
import { carriedOut, guidesOf } from "../../../src/advice/levelPlan/carriedOut.js";
import { bearsFirstWords } from "../../../src/advice/levelPlan/firstTouched.js";
import { planBreaches } from "../../../src/advice/levelPlan/judge.js";
import { levelling, type Levelling, type LevellingAbout } from "../../../src/advice/levelPlan/levelling.js";
import { levelPlan, type LevelPlan } from "../../../src/advice/levelPlan/levelPlan.js";
import { sufficiency } from "../../../src/advice/levelPlan/sufficiency.js";
import { workingSteps } from "../../../src/advice/levelPlan/workingSteps.js";
import { diagonalSettings } from "../../../src/invented/across.js";
import { inventedNeck } from "../../../src/invented/neck.js";
import { inventedOperator } from "../../../src/invented/operator.js";
import { planFor } from "../../../src/invented/plan.js";
import { inventedReadings } from "../../../src/invented/readings.js";
import { inventedSheet } from "../../../src/invented/sheet.js";
import { inventedStream } from "../../../src/invented/stream.js";
import { contactHeightMm, type InventedTruth } from "../../../src/invented/truth.js";
import { radiusDropMm } from "../../../src/neck/surface.js";
import { loadSolver } from "../../../src/notebook/solver.js";
import type { SurveySheet } from "../../../src/readings/reading.js";
import { adjust } from "../../../src/survey/adjust.js";
import type { Survey } from "../../../src/survey/survey.js";

const seed = 6;
const TWIST_MM = 0.3;
let truth: InventedTruth;
let tied: Survey;
let along: Survey;
let plan: LevelPlan;
let posed: Levelling;

function posedOf(survey: Survey, about: LevellingAbout): Levelling {
  const found = levelling(survey, { rod: { lowMm: -0.4, highMm: 0.4 }, mayBeSeated: [], ...about });
  if (found.status !== "posed") throw new Error(found.describe());
  return found;
}

beforeAll(async () => {
  const drawn = inventedNeck(inventedStream(seed, "datum/neck", 0), "smooth");
  truth = { ...drawn, twistMm: TWIST_MM, neck: { ...drawn.neck, crownHeightMm: 1.4 } };
  const stream = inventedStream(seed, "datum/readings", 0);
  const operator = inventedOperator(stream);
  const sheet = inventedSheet(truth.neck, operator, inventedReadings(truth, operator, stream, planFor("smooth", stream)));
  const last = truth.neck.frets;
  const crossing = [...diagonalSettings(truth, operator, stream, { line: "bass", fret: 1 }, { line: "treble", fret: last }), ...diagonalSettings(truth, operator, stream, { line: "treble", fret: 1 }, { line: "bass", fret: last })];
  const off = (all: SurveySheet): SurveySheet => ({ ...all, state: { ...all.state, strings: "off" } });
  along = adjust(truth.neck, off(sheet));
  tied = adjust(truth.neck, off({ ...sheet, settings: [...sheet.settings, ...crossing] }));
  posed = posedOf(tied, { beam: "radiused" });
  const made = levelPlan(posed.problem, await loadSolver());
  if (made.status !== "planned") throw new Error(made.describe());
  plan = made;
}, 240_000);

describe(`lines that diagonals tie to each other, under a block of the board's radius (invented neck, seed ${seed})`, () => {
  test("one plane is posed, and its tops stand over it as they do on the truth, twist and all", () => {
    expect(posed.problem.datum).toBe("one plane");
    const over = (heights: readonly number[]): readonly number[] => residuals(posed, heights);
    const lineOf = (name: string) => truth.neck.lines.find((line) => line.name === name) ?? truth.neck.lines[0];
    const found = over(posed.problem.tops.map(({ heightMm }) => heightMm));
    const real = over(posed.problem.tops.map(({ line, fret, xMm }) => contactHeightMm(truth, line, fret) - radiusDropMm(truth.neck, lineOf(line), xMm)));
    const apart = found.map((mm, index) => mm - (real[index] ?? NaN));
    expect(Math.hypot(...apart) / Math.sqrt(apart.length)).toBeLessThan(0.02);
    // the twist is there to be found: without it the tops of this neck would stand much nearer to a plane
    expect(Math.hypot(...real) / Math.sqrt(real.length)).toBeGreaterThan(0.03);
  });

  test("its beam lines lie in one plane, the judge finds nothing, and it says that a twist comes off", () => {
    expect(planBreaches(posed.problem, plan)).toEqual([]);
    expect(new Set(plan.beam.map(({ tiltMmPerMm }) => tiltMmPerMm)).size).toBe(1);
    expect(plan.describe()).toContain("all are taken to one plane over the board's radius, and a twist comes off with them");
    expect(posed.notes.join(" ")).not.toContain("not tied");
  });

  test("carried out on the heights that it was made from, it takes no more than planned, and every top is met", () => {
    const heights = posed.problem.tops.map(({ heightMm }) => heightMm);
    const { cutMm } = carriedOut(posed.problem, plan, guidesOf(posed.problem, plan), heights);
    expect(cutMm.reduce((sum, mm) => sum + mm, 0)).toBeGreaterThan(plan.sumMm - 1e-6);
    const left = residuals(posed, heights.map((mm, index) => mm - (cutMm[index] ?? NaN) - plan.reliefChangeMm * (posed.problem.tops[index]?.reliefShare ?? NaN) + (posed.problem.tops[index]?.fallAwayMm ?? NaN)));
    expect(Math.max(...left) - Math.min(...left)).toBeLessThan(2 * posed.problem.toleranceMm);
  });

  test("the block bears first on three tops of all lines; a line without any says so", () => {
    const sure = sufficiency(posed, plan, 100);
    expect(sure.first.flatMap(({ pair }) => pair)).toHaveLength(3);
    expect(bearsFirstWords({ frets: [], pair: [] })).toBe("does not bear here first");
    expect(workingSteps(posed, plan, sure).headline).toMatch(/^(Level: at most|Read first what is open, then level: at most|Do not start)/);
  });
});

describe("lines that are not taken to one plane", () => {
  test("a block on lines that nothing ties: each its own, and the note says what is not seen and what would show it", () => {
    const apart = posedOf(along, { beam: "radiused" });
    expect(apart.problem.datum).toBe("each line its own");
    expect(apart.notes[0]).toMatch(/^The lines are not tied to each other.*Gaps read along both diagonals would tie the lines\.$/);
  });

  test("a straight beam takes each line for itself, tied or not, and says that a twist stays", () => {
    for (const survey of [along, tied]) {
      const { problem, notes } = posedOf(survey, {});
      expect(problem.datum).toBe("each line its own");
      expect(problem.linesSaid?.("mm first")).toBe("A straight beam takes each line straight for itself: it leaves a twist as it is.");
      expect(notes.join(" ")).not.toContain("tied");
    }
  });
});

/** Heights over the least-squares plane through them. */
function residuals({ problem: { tops } }: Levelling, heights: readonly number[]): readonly number[] {
  const design = tops.map(({ xMm, yMm }) => [1, xMm / 100, yMm / 100] as const);
  const sums = (k: number, l: number): number => design.reduce((sum, row) => sum + (row[k] ?? 0) * (row[l] ?? 0), 0);
  const right = [0, 1, 2].map((k) => design.reduce((sum, row, index) => sum + (row[k] ?? 0) * (heights[index] ?? NaN), 0));
  const matrix = [0, 1, 2].map((k) => [sums(k, 0), sums(k, 1), sums(k, 2)]);
  const det = (m: readonly (readonly number[])[]): number => {
    const at = (i: number, j: number): number => m[i]?.[j] ?? NaN;
    return at(0, 0) * (at(1, 1) * at(2, 2) - at(1, 2) * at(2, 1)) - at(0, 1) * (at(1, 0) * at(2, 2) - at(1, 2) * at(2, 0)) + at(0, 2) * (at(1, 0) * at(2, 1) - at(1, 1) * at(2, 0));
  };
  const fit = [0, 1, 2].map((k) => det(matrix.map((row, i) => row.map((value, j) => (j === k ? (right[i] ?? NaN) : value)))) / det(matrix));
  return heights.map((mm, index) => mm - (design[index] ?? []).reduce((sum, value, k) => sum + value * (fit[k] ?? NaN), 0));
}
