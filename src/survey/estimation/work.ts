import { mixtureWork } from "./mixtureMoments.js";
import type { MixtureWork } from "./mixtureMoments.js";
import type { Problem } from "./problem.js";
import type { Site } from "./sites.js";

/** The scatters at which a problem is looked at: the roughness, and the sites with their classes there. */
export type AtScatters = { readonly roughnessMm: number; readonly sites: readonly Site[] };

/** Everything that one run of the iteration writes into. */
export type Work = Room & { readonly at: AtScatters; readonly sites: readonly Site[]; /** What the roughness' part of the prior's precision is taken times. */ readonly roughScale: number; readonly logPrior: number };

type Room = {
  readonly problem: Problem;
  /** Mean by places, and what all sites say of each form. */
  readonly mean: Float64Array;
  readonly formMean: Float64Array;
  readonly covariance: Float64Array;
  readonly mixtures: Map<number, MixtureRoom>;
  /** Share of its wanted step that each site takes, and the last step of each form. */
  readonly shares: Float64Array;
  readonly lastStep: Float64Array;
  /** How far each site moves, and lately moved. */
  readonly moves: Float64Array;
  readonly restless: Float64Array;
  /** Of each site: logarithm of the constant with which its normal stands for it. */
  readonly logScale: Float64Array;
  /** Sum over the sites of how their integrals change with the seating. */
  readonly slopes: { seating: number };
};

/** Room for the update of a site with several forms. */
export type MixtureRoom = { readonly work: MixtureWork; readonly marginal: Float64Array; readonly marginalShift: Float64Array; readonly after: Float64Array };

/** Share of its wanted step that a site takes at first. */
export const FIRST_SHARE = 1;

/** Room for a run at these scatters. */
export function workFor(problem: Problem, at: AtScatters): Work {
  const room = rooms.get(problem) ?? roomOf(problem);
  rooms.set(problem, room);
  const roughScale = 1 / at.roughnessMm ** 2;
  const { shares, lastStep } = room;
  shares.fill(FIRST_SHARE);
  lastStep.fill(0);
  room.restless.fill(0);
  return { ...room, at, sites: at.sites, roughScale, logPrior: problem.logPrior + problem.roughRank * Math.log(roughScale) };
}

/** Room is kept from look to look at the same problem: new large arrays cost as much as filling them. */
const rooms = new WeakMap<Problem, Room>();

function roomOf(problem: Problem): Room {
  const { pattern, forms, sites } = problem;
  const ofForms = (): Float64Array => new Float64Array(forms.entryStart.length - 1);
  return {
    problem, mean: new Float64Array(pattern.place.length),
    formMean: ofForms(), covariance: new Float64Array(forms.termStart.length - 1),
    mixtures: new Map(), shares: new Float64Array(sites.length), lastStep: ofForms(), moves: new Float64Array(sites.length), restless: new Float64Array(sites.length), logScale: new Float64Array(sites.length), slopes: { seating: 0 },
  };
}

/** Room for sites of this many forms. */
export function mixtureRoom({ mixtures }: Work, size: number): MixtureRoom {
  const known = mixtures.get(size);
  if (known !== undefined) return known;
  const made = { work: mixtureWork(size), marginal: new Float64Array(size * size), marginalShift: new Float64Array(size), after: new Float64Array(size * size) };
  mixtures.set(size, made);
  return made;
}
