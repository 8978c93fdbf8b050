import type { Neck } from "../neck/neck.js";
import { widthMm } from "../neck/surface.js";
import type { SurveySheet } from "../readings/reading.js";
import { SIGHT_MM, usualTool } from "../readings/tools.js";
import type { Explanation } from "./explanation.js";
import { covariancesOfForms, momentsOfForms } from "./functional.js";
import type { Form } from "./functional.js";
import type { Moments } from "./likelihood/normalMixture.js";
import { smallDot, smallInverse, smallProduct } from "./linear/smallSpd.js";
import { edgeSpread } from "./model/sag.js";
import { fretPlace } from "./model/stations.js";
import type { Usable } from "./model/stations.js";
import { normalNoiseMm, openReadings } from "./openReadings.js";
import type { Candidate, Hand } from "./openReadings.js";
import type { NextReading } from "./survey.js";
import { triedReadings } from "./triedReading.js";
import type { AskedForm } from "./triedReading.js";

/** A further reading is called worthwhile when it takes this share off the uncertainty. */
const WORTHWHILE = 0.08;

/** The explanations of a survey, likeliest first. */
type Explanations = readonly [Explanation, ...Explanation[]];
type Worthwhile = Extract<NextReading, { status: "worthwhile" }>;

/**
 * Of all gaps that could be read now under an edge already laid down, between the outermost places read, and all rockings, the one that sharpens the form most.
 * What is left is the mean square by which the best straight-line guess from the reading misses the form, all explanations, scatters and corners integrated: no less than the variance
 * that will be left on average. So a doubt between explanations that foresee the same reading stays.
 * @source linear least mean squares: V - c^2 / (variance of the reading + its noise), c their covariance (from memory); checked by draws in tests/survey/nextReading.test.ts
 */
export function bestNextReading(neck: Neck, usable: Usable, explanations: Explanations, { form, terms, survey = 0 }: AskedForm, hand: Hand): NextReading {
  const candidates = openReadings(neck, usable, { terms, hand, survey }).filter(({ isBeyond }) => !isBeyond);
  const now = momentsOf(explanations, form);
  const covariances = covariancesOfForms(explanations, form, now.value, candidates.map((candidate) => candidate.form));
  const left = expectedReadings(explanations, candidates).map(({ candidate, reading }, index) => Math.sqrt(Math.max(0, now.u ** 2 - (covariances[index] ?? NaN) ** 2 / (reading.u ** 2 + normalNoiseMm(candidate, reading.value) ** 2))));
  const uThenMm = Math.min(...left);
  const best = candidates[left.indexOf(uThenMm)];
  return judged(now.u, best === undefined ? undefined : { tool: best.tool, line: best.line, at: best.at, uThenMm });
}

function momentsOf(explanations: Explanations, form: Form): Moments {
  return momentsOfForms(explanations, [form])[0] ?? { value: NaN, u: NaN };
}

/** What is expected of readings does not hang on what is asked, and a report asks of many frets. */
const known = new WeakMap<Explanations, Map<string, Moments>>();

function expectedReadings(explanations: Explanations, candidates: readonly Candidate[]): readonly { readonly candidate: Candidate; readonly reading: Moments }[] {
  const found = known.get(explanations) ?? new Map<string, Moments>();
  known.set(explanations, found);
  const fresh = candidates.filter(({ key }) => !found.has(key));
  for (const [index, reading] of momentsOfForms(explanations, fresh.map(({ form }) => form)).entries()) found.set(fresh[index]?.key ?? "", reading);
  return candidates.map((candidate) => ({ candidate, reading: found.get(candidate.key) ?? { value: NaN, u: NaN } }));
}

function judged(uNowMm: number, best: Omit<Worthwhile, "status" | "uNowMm"> | undefined): NextReading {
  if (best === undefined) return { status: "little to gain", uNowMm };
  return best.uThenMm <= (1 - WORTHWHILE) * uNowMm ? { status: "worthwhile", ...best, uNowMm } : { status: "little to gain", uNowMm, best };
}

/** With more readings than this what one more tells is seen well enough by the normal approximation, and trying takes long. */
const MANY = 30;

/** As `bestNextReading`, each reading tried as it may come out, also where an edge reaches beyond what was read under it; with many readings by the normal approximation. Where little is gained, with what the edges' own bows make of it. */
export function bestTriedReading(neck: Neck, sheet: SurveySheet, usable: Usable, explanations: Explanations, asked: AskedForm): NextReading {
  const count = usable.settings.reduce((sum, { readings }) => sum + readings.length, usable.rockers.length);
  const found = count > MANY ? bestNextReading(neck, usable, explanations, asked, sheet) : tried(neck, sheet, usable, explanations, asked);
  return found.status === "little to gain" ? { ...found, ...edgePart(explanations, asked.form, found.uNowMm) } : found;
}

function tried(neck: Neck, sheet: SurveySheet, usable: Usable, explanations: Explanations, asked: AskedForm): NextReading {
  const uNowMm = momentsOf(explanations, asked.form).u;
  const [best] = triedReadings(neck, sheet, usable, explanations, asked);
  if (best === undefined) return judged(uNowMm, undefined);
  const { candidate: { tool, line, at, isBeyond }, left } = best;
  return judged(uNowMm, { tool, line, at, ...(isBeyond ? { beyond: true as const } : {}), uThenMm: left * uNowMm });
}

/**
 * How much of a form's standard uncertainty the bows of the edges make, mm, where it is more than half of the variance: what the best guess from all bows together tells of it.
 * Edges that were laid along the same line are known against each other far better than each by itself, so that their shares do not add.
 * @source linear least mean squares of several: c' V^-1 c, V the covariance of the bows, c theirs with the form (from memory)
 */
function edgePart(explanations: Explanations, form: Form, uNowMm: number): { readonly edgeMm?: number } {
  const bows = explanations[0].layout.tools.filter(({ kind }) => kind !== "rocker").map((tool): Form => (layout) => {
    const even = layout.edgeError(tool)?.even;
    return even === undefined ? { index: [], coefficient: [] } : { index: [even], coefficient: [1] };
  });
  const means = momentsOfForms(explanations, bows).map(({ value }) => value);
  const told = Float64Array.from(covariancesOfForms(explanations, form, momentsOf(explanations, form).value, bows));
  const among = smallInverse(Float64Array.from(bows.flatMap((bow, index) => covariancesOfForms(explanations, bow, means[index] ?? NaN, bows))), bows.length);
  const edge = among === undefined ? 0 : smallDot(told, smallProduct(among.inverse, told));
  return edge > 0.5 * uNowMm ** 2 ? { edgeMm: Math.sqrt(edge) } : {};
}

/** What to read where level and tilt of the lines are not determined: sighting bars, whose uncertainty is what an eye tells over the width at the last fret. */
export function sightTwist(neck: Neck): NextReading {
  const bars = usualTool("sightingBars");
  const at = fretPlace(neck, neck.frets);
  const uThenMm = (Math.hypot(SIGHT_MM, SIGHT_MM, edgeSpread(bars).evenMm) * widthMm(neck, at.xMm)) / bars.lengthMm;
  return { status: "worthwhile", tool: "sightingBars", line: neck.lines.at(-1)?.name ?? "", at, uNowMm: Infinity, uThenMm };
}
