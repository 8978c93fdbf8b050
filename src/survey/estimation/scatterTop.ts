import type { Left } from "./contexts.js";
import { noFlatterThan } from "./curvature.js";
import type { Curvature } from "./curvature.js";
import type { NormalPosterior } from "./expectationPropagation.js";

/** A place among the scatters, in standard deviations of their log-normal priors. */
export type Step = readonly [roughness: number, seating: number];

/** What is seen at one place: the posterior there, and the log of prior times evidence with its slopes. */
export type Seen = { readonly at: Step; readonly posterior: NormalPosterior; readonly logDensity: number; readonly slopes: Step };

/** Looks at a place, starting from sites known elsewhere, if any; undefined where nothing proper was found. */
export type Look = (at: Step, start: Left | undefined, settledAt: number) => Seen | undefined;

/** Where a like problem had its top, with its sites; and the log density that the top must reach to be worth more than this one look. */
export type Near = { readonly at: Step; readonly sites: Left; readonly least: number };

/** The highest place, the curvature there, and what was seen a little beside it. */
export type Top = { readonly seen: Seen; readonly curvature: Curvature; readonly beside: readonly Seen[] };

/** No place farther out than this is looked at: a scatter nine times or a ninth of what is usual is rather a slip in a reading. */
export const FARTHEST = 2;
/** Necks of so many places, or fewer, have the curvature that is taken for the first step. */
export const USUAL_PLACES = 23;

/** The top is looked for with sites that are only roughly settled. */
const STEPPING = 0.25;
const ROUGHLY = 0.1;
const MOST_STEPS = 10;
/** The top is near enough when a further step would raise the logarithm of the density by less than this. */
const NEAR_TOP = 0.05;
/** Longest step towards the top along either scatter. */
const LONGEST_STEP = 1;
/** Curvatures taken for the first step, roughness and seating, and the least one believed: the prior alone gives 1. More places say as much more. */
const FIRST_CURVATURE: Curvature = [3, 0, 15];
const LEAST_CURVATURE = 0.7;
/** Where a step went too far, so much of it is taken instead at most. */
const MOST_OF_STEP = 0.7;
const LEAST_OF_STEP = 0.1;
/** Share of a standard deviation over which the curvature at the top is taken. */
const CURVATURE_STEP = 0.5;

/**
 * The highest place, found by steps along the slopes with curvatures learnt on the way.
 * @returns undefined where no place has a posterior
 */
export function topOf(look: Look, places: number, near?: Near): Top | undefined {
  let here = look(near?.at ?? [0, 0], near?.sites, STEPPING);
  if (here === undefined) return undefined;
  let curvature = firstCurvature(places);
  let by = limited(here.at, solved(curvature, here.slopes));
  for (let step = 0; step < MOST_STEPS && 0.5 * rise(here, by) >= NEAR_TOP; step++) {
    const next: Seen | undefined = look([here.at[0] + by[0], here.at[1] + by[1]], here.posterior.sites, STEPPING);
    if (next === undefined) break;
    curvature = learnt(curvature, by, [here.slopes[0] - next.slopes[0], here.slopes[1] - next.slopes[1]]);
    if (next.logDensity < here.logDensity - NEAR_TOP) {
      by = shortened(by, rise(here, by), rise(next, by));
      continue;
    }
    here = next;
    by = limited(here.at, solved(curvature, here.slopes));
  }
  if (near !== undefined && here.logDensity < near.least) return { seen: here, curvature, beside: [] };
  return curvedTop(look, here, curvature);
}

function firstCurvature(places: number): Curvature {
  const [roughness, mixed, seating] = FIRST_CURVATURE;
  const more = Math.max(1, places / USUAL_PLACES);
  return [roughness * more, mixed, seating * more];
}

/** How fast the density rises along a step, from where it begins. */
function rise({ slopes }: Seen, [roughness, seating]: Step): number {
  return slopes[0] * roughness + slopes[1] * seating;
}

/** A step that led down, as far as to where the slopes at both its ends place the top between them. */
function shortened([roughness, seating]: Step, from: number, to: number): Step {
  const share = Math.max(LEAST_OF_STEP, Math.min(MOST_OF_STEP, to < from ? from / (from - to) : 0.5));
  return [share * roughness, share * seating];
}

/** Takes the curvature along the seating, which the number of frets decides, from the slopes a little beside the top; along the roughness what was learnt does. */
function curvedTop(look: Look, seen: Seen, [roughness, mixed, seating]: Curvature): Top {
  const by = CURVATURE_STEP / Math.sqrt(Math.max(1, seating));
  const beside = look([seen.at[0], seen.at[1] + by], seen.posterior.sites, ROUGHLY);
  if (beside === undefined) return { seen, curvature: noFlatterThan(LEAST_CURVATURE, [roughness, mixed, seating]), beside: [] };
  const [first, second] = [(seen.slopes[0] - beside.slopes[0]) / by, (seen.slopes[1] - beside.slopes[1]) / by];
  return { seen, curvature: noFlatterThan(LEAST_CURVATURE, [roughness, first, second]), beside: [beside] };
}

function limited(at: Step, [roughness, seating]: Step): Step {
  const limit = (from: number, step: number): number => Math.max(-FARTHEST - from, Math.min(FARTHEST - from, Math.max(-LONGEST_STEP, Math.min(LONGEST_STEP, step))));
  return [limit(at[0], roughness), limit(at[1], seating)];
}

function solved([a, b, c]: Curvature, [x, y]: Step): Step {
  const determinant = a * c - b * b;
  return [(c * x - b * y) / determinant, (a * y - b * x) / determinant];
}

/** The curvature that agrees with how the slopes changed over a step; steeper where they say that the density is hollow. @source Broyden, Fletcher, Goldfarb and Shanno's formula (from memory) */
function learnt([a, b, c]: Curvature, [x, y]: Step, [dx, dy]: Step): Curvature {
  const along = dx * x + dy * y;
  const [hx, hy] = [a * x + b * y, b * x + c * y];
  const known = hx * x + hy * y;
  if (!(along > 0.05 * known)) return [a * 2, b * 2, c * 2];
  return noFlatterThan(LEAST_CURVATURE, [a + (dx * dx) / along - (hx * hx) / known, b + (dx * dy) / along - (hx * hy) / known, c + (dy * dy) / along - (hy * hy) / known]);
}
