import type { UnitOrder } from "../../units/words.js";

/**
 * One fret top under the levelling beam. Heights of one line share a level and a tilt that carry no meaning.
 */
export type LevelTop = {
  readonly fret: number;
  readonly line: string;
  readonly xMm: number;
  /** Distance of the line from the middle of the board there, positive toward treble; used only where all lines are levelled to one plane. */
  readonly yMm: number;
  /** As the beam meets it, positive away from the neck's back. */
  readonly heightMm: number;
  /** How far the top comes down when its fret is reseated, 0 or more; absent where the fret is not to be reseated. */
  readonly dropMm?: number;
  /** Most that may come off here: crown less the least crown that must be left. Negative where the crown is too low already. */
  readonly spareMm: number;
  /** By how much this place comes down when the rod gives 1 mm more relief. */
  readonly reliefShare: number;
  /** How far below the straight line this top is wanted, 0 or more. */
  readonly fallAwayMm: number;
};

/** What is to be planned, in mm. */
export type LevelProblem = {
  readonly tops: readonly LevelTop[];
  /**
   * Readings along the neck see neither twist nor how high one line lies against another, and a straight beam laid along one line
   * takes that line for itself: then each line has a level and tilt of its own. `one plane` only where the lines' heights
   * are known against each other and all lines are to be cut to one plane (over the radius).
   */
  readonly datum: "each line its own" | "one plane";
  /** Tops may lie this far under the target. */
  readonly toleranceMm: number;
  /** Most frets to reseat first. */
  readonly reseatMax: number;
  /** By how much the rod may change the relief, positive toward forward bow (middle low), mm at the middle. */
  readonly rod: { readonly lowMm: number; readonly highMm: number };
  /** Where the rod stood when the neck was read, as written; absent where it was not stated. */
  readonly rodStood?: string;
  /** Why the lines are taken as they are, in a builder's words; absent where there is one line or the problem was not posed from a survey. */
  readonly linesSaid?: (order: UnitOrder) => string;
};

/** The line the beam follows on one line of the neck: level at the nut and rise per mm, the rod as read. */
export type BeamLine = { readonly line: string; readonly levelMm: number; readonly tiltMmPerMm: number; /** Rise per mm across. */ readonly acrossMmPerMm: number };

/**
 * Height of the target at a top: straight, over what the rod changes, less the fall-away, mm.
 * T = a + b x + c y + rho g(x) - fall-away
 */
export function targetMm(top: LevelTop, beam: BeamLine, reliefChangeMm: number): number {
  return beam.levelMm + beam.tiltMmPerMm * top.xMm + beam.acrossMmPerMm * top.yMm + reliefChangeMm * top.reliefShare - top.fallAwayMm;
}

/** The lines of a problem in order of appearance. */
export function linesOf({ tops }: Pick<LevelProblem, "tops">): readonly string[] {
  return [...new Set(tops.map(({ line }) => line))];
}

/** Frets that may be reseated, in order of appearance. */
export function reseatable({ tops }: Pick<LevelProblem, "tops">): readonly number[] {
  return [...new Set(tops.filter(({ dropMm = 0 }) => dropMm > 0).map(({ fret }) => fret))];
}

/**
 * Refuses a problem that cannot be meant.
 * @throws {RangeError} no tops, a line with fewer than three, a number that is not finite, a negative drop, tolerance, fall-away or count, a rod range upside down
 */
export function checkProblem(problem: LevelProblem): void {
  const { tops, toleranceMm, reseatMax, rod } = problem;
  const wrong = (what: string, found: unknown): never => {
    throw new RangeError(`Cannot plan a levelling: expected ${what}, got ${String(found)}`);
  };
  if (tops.length === 0) wrong("one fret top or more", 0);
  for (const line of linesOf(problem)) {
    const count = tops.filter((top) => top.line === line).length;
    if (count < 3) wrong(`three tops or more on line ${line}`, count);
  }
  for (const top of tops) {
    const numbers = [top.xMm, top.yMm, top.heightMm, top.reliefShare, top.fallAwayMm, top.dropMm ?? 0];
    if (!numbers.every(Number.isFinite) || Number.isNaN(top.spareMm)) wrong(`finite numbers at fret ${top.fret}, ${top.line}`, [...numbers, top.spareMm].join(", "));
    if ((top.dropMm ?? 0) < 0 || top.fallAwayMm < 0) wrong(`a drop and a fall-away of 0 or more at fret ${top.fret}, ${top.line}`, `${top.dropMm ?? 0} and ${top.fallAwayMm}`);
  }
  if (!(toleranceMm >= 0 && Number.isFinite(toleranceMm))) wrong("a tolerance of 0 or more", toleranceMm);
  if (!(Number.isInteger(reseatMax) && reseatMax >= 0)) wrong("a whole number of frets to reseat, 0 or more", reseatMax);
  if (!(rod.lowMm <= rod.highMm && Number.isFinite(rod.lowMm) && Number.isFinite(rod.highMm))) wrong("a range of the rod from low to high", `${rod.lowMm} to ${rod.highMm}`);
}
