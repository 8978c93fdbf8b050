import type { NormalPosterior } from "./expectationPropagation.js";
import type { Left } from "./contexts.js";

/** A place among the scatters, in standard deviations of their log-normal priors. */
export type Step = readonly [roughness: number, seating: number];

/** What is seen at one place: the posterior there, and the log of prior times evidence with its slopes. */
export type Seen = { readonly at: Step; readonly posterior: NormalPosterior; readonly logDensity: number; readonly slopes: Step };

/** Looks at a place, starting from sites known elsewhere, if any; undefined where nothing proper was found. */
export type Look = (at: Step, start: Left | undefined, settledAt: number) => Seen | undefined;

/** A place with its part of the integral; the parts' logarithms are absolute, the weights sum to 1. */
export type Weighed = Seen & { readonly weight: number; readonly logWeight: number };

/** The top is looked for with sites that are only roughly settled; what is weighed is settled. */
const STEPPING = 0.25;
const ROUGHLY = 0.1;
const MOST_STEPS = 10;
/** The top is near enough when a further step would raise the logarithm of the density by less than this. */
const NEAR_TOP = 0.05;
/** Longest step towards the top along either scatter. */
const LONGEST_STEP = 1;
/** No place farther out than this is looked at: a scatter nine times or a ninth of what is usual is rather a slip in a reading. */
const FARTHEST = 2;
/** Curvatures taken for the first step on a neck of so many places, or fewer, and the least one believed: the prior alone gives 1. More places say as much more. */
const FIRST_CURVATURE: Curvature = [3, 0, 15];
const USUAL_PLACES = 23;
/** Where a step went too far, so much of it is taken instead at most. */
const MOST_OF_STEP = 0.7;
const LEAST_OF_STEP = 0.1;
const LEAST_CURVATURE = 0.7;
/** The lattice is not coarser than this allows: where the prior decides, variances grow with the roughness faster than a normal density suits. */
const LEAST_LATTICE_CURVATURE = 4;
/** Share of a standard deviation over which the curvature at the top is taken. */
const CURVATURE_STEP = 0.5;
/** From points that weigh more than this the walk goes on whatever is expected: a normal density has 0.135 beside the middle. */
const HEAVY = 0.3;

/**
 * The points are a lattice of equal triangles in standard deviations of the density at its top. The sum over such a lattice gives the integral
 * of a normal density to 0.8 %: the error is the density's Fourier transform at the reciprocal lattice,
 * 6 exp(-k^2 / 2) with k = 4 pi / (sqrt(3) spacing). Leaving out the ring after the first takes a tenth off the spread of the scatters. Sites that are nearly settled do: the evidence is stationary where they are.
 */
const USUAL: Fineness = { spacing: 2, negligible: 0.03, settled: 0.15 };

/** How finely the scatters are integrated: spacing of the lattice, the weight against the best below which points are left out, and when sites count as settled. */
export type Fineness = { readonly spacing: number; readonly negligible: number; readonly settled: number };

/**
 * Integrates over the scatters on a lattice about the top of prior times evidence, scaled by its curvature and walked outward from the top as far as it weighs something.
 * Only settled places are compared. Empty where no place has a posterior at all.
 * @param places how many places along the neck were surveyed: more of them make the density's top narrower
 */
export function integrated(look: Look, fineness: Fineness = USUAL, near?: Near, places: number = USUAL_PLACES): readonly Weighed[] {
  const top = topOf(look, places, near);
  if (top === undefined) return [];
  if (near !== undefined && top.seen.logDensity < near.least) return [{ ...top.seen, weight: 1, logWeight: top.seen.logDensity + near.logShape }];
  const lattice = latticeAbout(top, fineness.spacing);
  const seen = walked(look, top, lattice, fineness);
  const settled = seen.filter(({ posterior }) => posterior.converged);
  return weighed(settled.length > 0 ? settled : seen.slice(0, 1), lattice, Math.log(fineness.negligible));
}

/**
 * Where a like problem had its top, with its sites; the log density that the top must reach to be worth more than one point; and the logarithm of the like
 * problem's integral over its density at the top, with which a single point stands for its surroundings.
 */
export type Near = { readonly at: Step; readonly sites: Left; readonly least: number; readonly logShape: number };

/** Second derivatives of minus the log density: roughness, mixed, seating. */
type Curvature = readonly [number, number, number];

type Top = { readonly seen: Seen; readonly curvature: Curvature };

/** The highest place, found by steps along the slopes with curvatures learnt on the way, and the curvature there. */
function topOf(look: Look, places: number, near?: Near): Top | undefined {
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
  if (near !== undefined && here.logDensity < near.least) return { seen: here, curvature };
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

/** Takes the curvature from the slopes a little beside the top. */
function curvedTop(look: Look, seen: Seen, guess: Curvature): Top {
  const by: Step = [CURVATURE_STEP / Math.sqrt(Math.max(1, guess[0])), CURVATURE_STEP / Math.sqrt(Math.max(1, guess[2]))];
  const beside = (at: Step): Seen | undefined => look(at, seen.posterior.sites, ROUGHLY);
  const [first, second] = [beside([seen.at[0] + by[0], seen.at[1]]), beside([seen.at[0], seen.at[1] + by[1]])];
  if (first === undefined || second === undefined) return { seen, curvature: bounded(guess) };
  const mixed = ((seen.slopes[1] - first.slopes[1]) / by[0] + (seen.slopes[0] - second.slopes[0]) / by[1]) / 2;
  return { seen, curvature: bounded([(seen.slopes[0] - first.slopes[0]) / by[0], mixed, (seen.slopes[1] - second.slopes[1]) / by[1]]) };
}

function limited(at: Step, [roughness, seating]: Step): Step {
  const limit = (from: number, step: number): number => Math.max(-FARTHEST - from, Math.min(FARTHEST - from, Math.max(-LONGEST_STEP, Math.min(LONGEST_STEP, step))));
  return [limit(at[0], roughness), limit(at[1], seating)];
}

function solved([a, b, c]: Curvature, [x, y]: Step): Step {
  const determinant = a * c - b * b;
  return [(c * x - b * y) / determinant, (a * y - b * x) / determinant];
}

/** The curvature that agrees with how the slopes changed over a step; unchanged where they say that the density is hollow. @source Broyden, Fletcher, Goldfarb and Shanno's formula (from memory) */
function learnt([a, b, c]: Curvature, [x, y]: Step, [dx, dy]: Step): Curvature {
  const along = dx * x + dy * y;
  const [hx, hy] = [a * x + b * y, b * x + c * y];
  const known = hx * x + hy * y;
  if (!(along > 0.05 * known)) return [a * 2, b * 2, c * 2];
  return bounded([a + (dx * dx) / along - (hx * hx) / known, b + (dx * dy) / along - (hx * hy) / known, c + (dy * dy) / along - (hy * hy) / known]);
}

/** The nearest curvature in which neither direction is flatter than the prior leaves it. */
function bounded([a, b, c]: Curvature, least: number = LEAST_CURVATURE): Curvature {
  const [middle, half] = [(a + c) / 2, Math.hypot((a - c) / 2, b)];
  const [low, high] = [middle - half, middle + half];
  if (low >= least) return [a, b, c];
  const top = Math.max(high, least);
  const angle = 0.5 * Math.atan2(2 * b, a - c);
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  return [top * cos * cos + least * sin * sin, (top - least) * cos * sin, top * sin * sin + least * cos * cos];
}

type Lattice = {
  readonly place: (i: number, j: number) => Step;
  /** Share of the cell about a place that lies no farther out than `FARTHEST`. */
  readonly inside: (at: Step) => number;
  readonly curvature: Curvature;
  readonly logCell: number;
};

/** Steps i along one side of the triangles, j along another, turned and stretched so that the density at its top is round. */
function latticeAbout({ seen, curvature }: Top, spacing: number): Lattice {
  const [a, b, c] = bounded(curvature, LEAST_LATTICE_CURVATURE);
  const l11 = Math.sqrt(a);
  const l21 = b / l11;
  const l22 = Math.sqrt(c - l21 * l21);
  const place = (i: number, j: number): Step => {
    const v = (Math.sqrt(3) / 2) * spacing * j;
    const seating = v / l22;
    return [seen.at[0] + (spacing * (i + j / 2) - l21 * seating) / l11, seen.at[1] + seating];
  };
  const inside = (x: number, width: number): number => Math.max(0, Math.min(1, 0.5 + (FARTHEST - Math.abs(x)) / width));
  return { place, inside: ([x, y]) => inside(x, spacing / l11) * inside(y, ((Math.sqrt(3) / 2) * spacing) / l22), curvature, logCell: Math.log(((Math.sqrt(3) / 2) * spacing * spacing) / (l11 * l22)) };
}

/** Places beside one, those with the same seating first. */
const BESIDE = [[1, 0], [-1, 0], [0, 1], [0, -1], [1, -1], [-1, 1]] as const;

/** The lattice's points, walked from the middle outward while they can weigh something; the middle first. */
function walked(look: Look, top: Top, lattice: Lattice, { negligible, settled }: Fineness): readonly Seen[] {
  const found = new Map<string, Seen>();
  const visited = new Set(["0,0"]);
  const waiting: (readonly [i: number, j: number])[] = [[0, 0]];
  let best = -Infinity;
  for (let turn = waiting.shift(); turn !== undefined; turn = waiting.shift()) {
    const [i, j] = turn;
    const seen = i === 0 && j === 0 && top.seen.posterior.move < settled ? top.seen : look(lattice.place(i, j), startBeside(found, i, j, top.seen), settled);
    if (seen === undefined) continue;
    found.set(`${i},${j}`, seen);
    if (seen.posterior.converged) best = Math.max(best, seen.logDensity);
    for (const [di, dj] of BESIDE) {
      const key = `${i + di},${j + dj}`;
      const next = lattice.place(i + di, j + dj);
      const worthALook = seen.logDensity > best + Math.log(HEAVY) || expectedAt(seen, next, lattice.curvature) > best + Math.log(negligible);
      if (visited.has(key) || !worthALook || lattice.inside(next) === 0) continue;
      visited.add(key);
      waiting.push([i + di, j + dj]);
    }
  }
  return [...found.values()];
}

/** Sites from which to start: rather those of a place with the same seating, since frets change their kind with it. */
function startBeside(found: ReadonlyMap<string, Seen>, i: number, j: number, otherwise: Seen): Left {
  const [beside] = BESIDE.flatMap(([di, dj]) => found.get(`${i + di},${j + dj}`) ?? []);
  return (beside ?? otherwise).posterior.sites;
}

/** Log density expected at a place from the slopes at another and the curvature at the top. */
function expectedAt({ at, logDensity, slopes }: Seen, [roughness, seating]: Step, [a, b, c]: Curvature): number {
  const [x, y] = [roughness - at[0], seating - at[1]];
  return logDensity + slopes[0] * x + slopes[1] * y - 0.5 * (a * x * x + 2 * b * x * y + c * y * y);
}

function weighed(seen: readonly Seen[], { inside, logCell }: Lattice, logNegligible: number): readonly Weighed[] {
  // the constant is that of the two standard normal priors
  const all = seen.map((one) => ({ ...one, logWeight: one.logDensity + Math.log(inside(one.at)) + logCell - Math.log(2 * Math.PI) }));
  const best = Math.max(...all.map(({ logWeight }) => logWeight));
  const kept = all.filter(({ logWeight }) => logWeight >= best + logNegligible);
  const sum = kept.reduce((total, { logWeight }) => total + Math.exp(logWeight - best), 0);
  return kept.map((one) => ({ ...one, weight: Math.exp(one.logWeight - best) / sum }));
}
