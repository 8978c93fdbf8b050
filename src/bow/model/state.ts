import { emptySections, sectionsAlong, type SectionAlong, type WoodModuli } from "../section/stiffness.js";
import { emptyTangResult, tangPressure, type TangResult } from "../tang/pressure.js";
import type { BowUnknowns } from "../unknowns/unknowns.js";
import type { BowSetup } from "./setup.js";

/** A prepared neck with values for its unknowns: stiffnesses along it and what its slots do. All cases are worked out from it. */
export type BowState = {
  readonly setup: BowSetup;
  readonly unknowns: BowUnknowns;
  readonly moduli: WoodModuli;
  readonly sections: SectionAlong;
  readonly atSlots: SectionAlong;
  readonly tang: TangResult;
};

/** Arrays that a draw may write over. */
export type BowRoom = Pick<BowState, "sections" | "atSlots" | "tang">;

/** Arrays for the states of a prepared neck; draws that share them must not outlive each other. */
export function bowRoom(setup: BowSetup): BowRoom {
  return { sections: emptySections(setup.grid.pointMm), atSlots: emptySections(setup.atSlots.xMm), tang: emptyTangResult(setup.slots.slots.length) };
}

/**
 * A prepared neck under one set of unknowns.
 * @param room arrays to write over; new ones if absent
 */
export function bowState(setup: BowSetup, unknowns: BowUnknowns, room: BowRoom = bowRoom(setup)): BowState {
  const moduli = { boardMPa: setup.moduli.boardMPa * unknowns.boardStiffness, neckMPa: setup.moduli.neckMPa * unknowns.neckStiffness };
  const sections = sectionsAlong(setup.points, moduli, room.sections);
  const atSlots = sectionsAlong(setup.atSlots, moduli, room.atSlots);
  const load = { boardMPa: moduli.boardMPa, interferenceMm: unknowns.interferenceMm, contactNmm3: unknowns.contactStiffnessNmm3, crushingMPa: unknowns.crushingMPa, hold: setup.hold };
  return { setup, unknowns, moduli, sections, atSlots, tang: tangPressure(setup.slots, load, atSlots, room.tang) };
}
