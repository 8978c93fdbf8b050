import { quantileSorted } from "simple-statistics";
import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { radiusDropMm } from "../../neck/surface.js";
import { normalQuantile } from "../../survey/likelihood/normal.js";
import type { HeightTerm } from "../../survey/survey.js";
import { carriedOut, guidesOf, type CarriedOut, type Guides } from "./carriedOut.js";
import { overDatum } from "./datum.js";
import { firstTouched, type FirstTouched } from "./firstTouched.js";
import type { LevelPlan } from "./levelPlan.js";
import { countedLowerMm, type Levelling } from "./levelling.js";

/** How far a plan can be trusted, given the readings: each draw of the survey is a neck that the readings allow, and the plan is carried out on it. */
export type Sufficiency = {
  /** Probability that taking off what was planned, and no more, leaves every top within the tolerance. */
  readonly probability: number;
  /** So much more off the guides, as a crown gauge reads it, is enough 19 times in 20, mm; rounded up to a hundredth, as it is printed and measured. */
  readonly allowanceMm: number;
  /** Probability that every crown keeps its least height when each line is filed until every top is met, crowns about as high as they were read; necks that need most metal count as any other. */
  readonly probabilityCrowns: number;
  /** How many necks that the readings allow were tried. */
  readonly necks: number;
  /** Frets that are to be seated though no gap was seen under them: the numbers here take it that they go down all the same. */
  readonly unseenGaps: readonly number[];
  readonly guides: readonly Guides[];
  /** The tops whose crowns come nearest to the limit, most pressing first (indices into the problem's tops). */
  readonly tight: readonly number[];
  readonly first: readonly FirstTouched[];
};

const DRAWS = 1000;
const SEED = 8;
const ENOUGH = 0.95;
const GAUGED_MM = 0.01;

/**
 * Carries a plan out on every neck that the readings allow. A reseated fret is taken to come to rest on the neck line, give or take the scatter of pressed frets, which is
 * a condition where no gap was seen under it (`unseenGaps`); a rod is set no better than relief is read.
 * @param count number of draws
 */
export function sufficiency(posed: Levelling, plan: LevelPlan, count: number = DRAWS, seed: number = SEED): Sufficiency {
  const { problem } = posed;
  const guides = guidesOf(problem, plan);
  const drawn = drawnHeights(posed, plan, count, seed);
  const outcomes = drawn.map((heights) => carriedOut(problem, plan, guides, heights));
  const read = furtherAsRead(outcomes, seed).sort((a, b) => a - b);
  const allowanceMm = Math.ceil(quantileSorted(read, ENOUGH) / GAUGED_MM - 1e-9) * GAUGED_MM;
  const spareMm = drawnSpare(posed, seed);
  const kept = outcomes.filter(({ cutMm }) => {
    const spare = spareMm();
    return cutMm.every((mm, index) => mm <= (spare[index] ?? 0));
  });
  return {
    probability: outcomes.filter(({ furtherMm }) => furtherMm <= EXACT_MM).length / count, allowanceMm, probabilityCrowns: kept.length / count, necks: count, unseenGaps: plan.reseat.filter((fret) => !posed.gapSeen.includes(fret)),
    guides, tight: tightest(posed, plan, outcomes), first: firstTouched(problem, plan, drawn),
  };
}

/** What a crown gauge says came off a guide strays by this much from what did, mm (common practice, no source): without it a beam is taken off a guide that only reads low. */
const GAUGE_U_MM = 0.01;

/** What each neck's guides seem to lose beyond the plan, the most of them. */
function furtherAsRead(outcomes: readonly CarriedOut[], seed: number): number[] {
  const normal = normalsOf(seed + 1);
  return outcomes.map(({ guidesMm }) => Math.max(0, ...guidesMm.map((mm) => mm + GAUGE_U_MM * normal())));
}

/** What the crowns can really give, one draw a call: the plan counts each lower than it was read, the truth lies about the reading. */
function drawnSpare({ problem, crowns }: Levelling, seed: number): () => readonly number[] {
  const normal = normalsOf(seed + 2);
  return () => problem.tops.map(({ spareMm }, index) => spareMm + countedLowerMm(crowns[index]) + (crowns[index]?.uMm ?? 0) * normal());
}

function normalsOf(seed: number): () => number {
  const random = xoroshiro128plus(seed);
  return () => normalQuantile(Math.max(uniformFloat64(random), Number.MIN_VALUE));
}

/** A rod is set by reading the relief again, which repeats to this, mm (common practice, no source). */
const ROD_SET_U_MM = 0.01;
const EXACT_MM = 1e-6;
/** Crowns watched beside those of the guides, at least and at most. */
const WATCHED = [3, 8] as const;

/** Crowns that get too low in some neck that the readings allow, most often first, and those that are left least. */
function tightest({ problem }: Levelling, plan: LevelPlan, outcomes: readonly CarriedOut[]): readonly number[] {
  const left = problem.tops.map(({ spareMm }, index) => ({ index, leftMm: spareMm - (plan.removals[index]?.removeMm ?? 0), broken: outcomes.filter(({ cutMm }) => (cutMm[index] ?? 0) > spareMm).length }));
  const sorted = left.sort((a, b) => (b.broken === a.broken ? a.leftMm - b.leftMm : b.broken - a.broken));
  const endangered = sorted.filter(({ broken }) => broken > 0).length;
  return sorted.slice(0, Math.min(WATCHED[1], Math.max(WATCHED[0], endangered))).map(({ index }) => index);
}

/** Heights of all tops after seating, as the beam meets them, one array a draw. */
function drawnHeights({ problem, survey, beam }: Levelling, plan: LevelPlan, count: number, seed: number): readonly Float64Array[] {
  const drops = problem.tops.map((top) => {
    const line = survey.neck.lines.find(({ name }) => name === top.line);
    return beam === "straight" && line !== undefined ? radiusDropMm(survey.neck, line, top.xMm) : 0;
  });
  const forms = problem.tops.map((top) => {
    const seated: HeightTerm = plan.reseat.includes(top.fret) ? { of: "neckLine", line: top.line, xMm: top.xMm, weight: 1 } : { of: "fretTop", line: top.line, fret: top.fret, weight: 1 };
    return overDatum(survey, problem.datum, { line: { name: top.line }, xMm: top.xMm }, [seated]);
  });
  const normal = normalsOf(seed);
  const isTurned = problem.rod.lowMm !== problem.rod.highMm;
  return survey.draws(forms, count, seed).map((heights) => {
    const reseated = new Map(plan.reseat.map((fret) => [fret, survey.spreads.seating.valueMm * normal()]));
    const rodMm = isTurned ? ROD_SET_U_MM * normal() : 0;
    return heights.map((mm, index) => mm + (drops[index] ?? 0) + (reseated.get(problem.tops[index]?.fret ?? -1) ?? 0) - rodMm * (problem.tops[index]?.reliefShare ?? 0));
  });
}
