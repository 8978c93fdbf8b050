import { eigenstrained } from "../cases/eigenstrain.js";
import { boardFaceStraining, clampStraining, neckFaceStraining, uniformCurvature, type Clamp } from "../cases/gluing.js";
import { rodStraining } from "../cases/rod.js";
import { stringStraining } from "../cases/strings.js";
import { freeBoard, gluedBoard, pressedAfter } from "../cases/tangCases.js";
import type { Straining } from "../effect.js";
import type { BowSetup } from "../model/setup.js";
import type { BowState } from "../model/state.js";
import { unsoundWork, type NamedExtra, type OrderOfWork, type StageName } from "./work.js";

/** One cause in an order of work: at which stage it comes, what it is called, and how it strains the neck (or the free board). */
export type Cause = {
  readonly stage: StageName;
  readonly of: string;
  readonly on: "board" | "neck";
  /** Stays on the neck for good, so that it settles with the years. */
  readonly lasting: boolean;
  readonly strain: (state: BowState, into: Straining) => Straining;
};

/**
 * The causes of an order of work, in order. The free board's bow stands apart: it does not add to the neck, gluing turns it into what is left.
 * @throws {RangeError} a number that is none, or a caul that follows a fretted board where frets are pressed after glue-up
 */
export function causesOf(setup: BowSetup, work: OrderOfWork): readonly Cause[] {
  const unsound = unsoundWork(work);
  if (unsound !== undefined) throw new RangeError(`Cannot work through this order of work: ${unsound}`);
  const before = work.frets === "before glue-up";
  const clamp = work.clamp ?? { kind: "flat" };
  if (!before && clamp.kind === "caul") throw new RangeError('Cannot glue on a caul that follows the bow of a fretted board: the frets are pressed after glue-up (give the clamp as { kind: "bent", reliefMm })');
  return [
    ...(before ? [cause("fretted board", "tang pressure in the free board", freeBoard, "board")] : []),
    cause("glue-up", "the neck's own gluing face", (state, into) => neckFaceStraining(state, state.unknowns.neckFaceBowMm, into)),
    ...ownBow(work.boardReliefMm ?? 0),
    ...(before ? [cause("glue-up", "the fretted board's bow, glued flat", gluedBoard)] : []),
    ...(clamp.kind === "flat" ? [] : [cause("glue-up", clampWords(clamp), (state, into) => clampStraining(state, clamp, into))]),
    ...(before ? [] : [cause("frets pressed", "tang pressure of frets pressed after glue-up", pressedAfter)]),
    ...rodCauses(work.rodTurns ?? 0),
    ...(work.strings === true ? [{ ...cause("strings", `strings, ${setup.pull === undefined ? "none known" : `${setup.pull.tensionN.toFixed(0)} N in all`}`, stringStraining), lasting: true }] : []),
    ...(work.season === true ? [cause("season", "the season's moisture", (state, into) => eigenstrained(state, state.unknowns.boardSeasonStrain, state.unknowns.neckSeasonStrain, into))] : []),
    ...(work.extras ?? []).map((extra) => cause("own cause", extra.named, (state, into) => extraStraining(state, extra, into))),
  ];
}

function cause(stage: StageName, of: string, strain: Cause["strain"], on: Cause["on"] = "neck"): Cause {
  return { stage, of, on, lasting: false, strain };
}

function ownBow(reliefMm: number): readonly Cause[] {
  return reliefMm === 0 ? [] : [cause("glue-up", "the board's own bow, glued flat", (state, into) => boardFaceStraining(state, reliefMm, into))];
}

function rodCauses(turns: number): readonly Cause[] {
  if (turns === 0) return [];
  const way = turns > 0 ? "tighter, toward back bow (middle high)" : "the other way, toward forward bow (middle low)";
  return [{ ...cause("rod", `rod, ${Math.abs(turns)} turns ${way}`, (state, into) => rodStraining(state, turns, into)), lasting: true }];
}

function clampWords(clamp: Exclude<Clamp, { kind: "flat" }>): string {
  return clamp.kind === "caul" ? `a caul that follows ${(100 * clamp.shareOfBoardBow).toFixed(0)} % of the board's bow` : "a clamp that bends the neck";
}

function extraStraining(state: BowState, extra: NamedExtra, into: Straining): Straining {
  if ("boardStrain" in extra) return eigenstrained(state, extra.boardStrain, extra.neckStrain, into);
  into.kinkRad.fill(0);
  into.axialStrain.fill(0);
  into.curvaturePerMm.fill(uniformCurvature(extra.reliefMm, state.setup.span));
  return into;
}
