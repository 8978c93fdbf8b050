import { reliefOf, unstrained } from "../cases/straining.js";
import type { Straining } from "../effect.js";
import { bowRoom, bowState, type BowRoom } from "../model/state.js";
import type { BowSetup } from "../model/setup.js";
import type { BowUnknowns } from "../unknowns/unknowns.js";
import { causesOf, type Cause } from "./causes.js";
import type { OrderOfWork } from "./work.js";

/** An order of work made ready for many draws: its causes and room for one draw at a time. */
export type PreparedWork = {
  readonly setup: BowSetup;
  readonly work: OrderOfWork;
  /** With `years` the last one is the growth of what lasts. */
  readonly causes: readonly Cause[];
  readonly room: BowRoom;
  /** Strainings of the causes at the last draw. */
  readonly strainings: readonly Straining[];
  /** Reliefs of the causes at the last draw, mm, each at the middle fret of its span. */
  readonly reliefMm: Float64Array;
};

/**
 * Makes an order of work ready.
 * @throws {RangeError} an order that contradicts itself (see `causesOf`)
 */
export function prepareWork(setup: BowSetup, work: OrderOfWork): PreparedWork {
  const causes = [...causesOf(setup, work), ...(work.years === true ? [YEARS] : [])];
  return { setup, work, causes, room: bowRoom(setup), strainings: causes.map(() => unstrained(setup.grid)), reliefMm: new Float64Array(causes.length) };
}

/** Its straining is a share of the lasting ones', so it is worked out from theirs. */
const YEARS: Cause = { stage: "years", of: "settling of what rod and strings did", on: "neck", lasting: false, strain: (_, into) => into };

/**
 * One draw of the whole order of work: strainings and reliefs of all causes, written over those of the draw before.
 * @returns `prepared.reliefMm`
 * @throws {RangeError} what the cases throw: a rod turned where there is none, a pull under which the neck gives way
 */
export function drawWork(prepared: PreparedWork, unknowns: BowUnknowns): Float64Array {
  const { setup, causes, strainings, reliefMm, room } = prepared;
  const state = bowState(setup, unknowns, room);
  for (let index = 0; index < causes.length; index++) {
    const [cause, straining] = [causes[index], strainings[index]];
    if (cause === undefined || straining === undefined) continue;
    if (cause === YEARS) growth(prepared, unknowns.settling - 1, straining);
    else cause.strain(state, straining);
    reliefMm[index] = reliefOf(cause.on === "board" ? setup.boardInfluence : setup.influence, straining);
  }
  return reliefMm;
}

function growth({ causes, strainings }: PreparedWork, share: number, into: Straining): void {
  into.curvaturePerMm.fill(0);
  into.kinkRad.fill(0);
  into.axialStrain.fill(0);
  for (const [index, { lasting }] of causes.entries()) {
    const from = strainings[index];
    if (lasting && from !== undefined) addShare(from, share, into);
  }
}

function addShare(from: Straining, share: number, into: Straining): void {
  for (let index = 0; index < into.curvaturePerMm.length; index++) {
    into.curvaturePerMm[index] = (into.curvaturePerMm[index] ?? 0) + share * (from.curvaturePerMm[index] ?? 0);
    into.axialStrain[index] = (into.axialStrain[index] ?? 0) + share * (from.axialStrain[index] ?? 0);
  }
  for (let index = 0; index < into.kinkRad.length; index++) into.kinkRad[index] = (into.kinkRad[index] ?? 0) + share * (from.kinkRad[index] ?? 0);
}

/**
 * Relief after a stage, mm at the middle fret: of the neck the sum of what came so far; of the fretted board its own.
 * @param stage the last one where absent
 * @throws {RangeError} a stage that this order of work does not have
 */
export function reliefAfter(prepared: PreparedWork, unknowns: BowUnknowns, stage?: Cause["stage"]): number {
  const { causes } = prepared;
  const last = stage === undefined ? causes.length - 1 : causes.map((cause) => cause.stage).lastIndexOf(stage);
  if (last < 0) throw new RangeError(`Cannot give the bow at the stage "${stage ?? ""}": this order of work has ${[...new Set(causes.map((cause) => cause.stage))].join(", ")}`);
  const reliefs = drawWork(prepared, unknowns);
  const on = causes[last]?.on;
  let sum = 0;
  for (let index = 0; index <= last; index++) if (causes[index]?.on === on) sum += reliefs[index] ?? 0;
  return sum;
}
