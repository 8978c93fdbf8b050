import type { SectionAlong } from "../section/stiffness.js";
import { withNeighbours, type SlotWork } from "./slots.js";

/** How a tang holds: `one way` may lift off the slot's face (a plain tang), `two ways` is held by its barbs. */
export type TangHold = "one way" | "two ways";

/** What the pressure of the tangs depends on besides the slots. */
export type TangLoad = {
  /** Stiffness along the grain of the board, MPa. */
  readonly boardMPa: number;
  /** Tang less slot at each slot, mm, or one value for all; nothing presses where it is 0 or below. */
  readonly interferenceMm: number | Float64Array;
  /** Of one slot face under its tang, N/mm³; Infinity is rigid. */
  readonly contactNmm3: number;
  /** Mean pressure at which a slot's face yields, MPa; Infinity if never. */
  readonly crushingMPa: number;
  readonly hold: TangHold;
};

/**
 * What every slot does, per slot. Rotations are of the neck's two sides against each other, above 0 toward back bow (the study's own sign);
 * lengthening is of the board's mid-plane (free) or of the elastic axis' neighbour, the board's mid-plane (pressed after).
 */
export type TangResult = {
  readonly freeRad: Float64Array;
  readonly freeStretchMm: Float64Array;
  readonly freeOpeningMm: Float64Array;
  readonly flatOpeningMm: Float64Array;
  readonly flatStretchMm: Float64Array;
  /** After gluing flat and release. */
  readonly gluedRad: Float64Array;
  readonly afterRad: Float64Array;
  readonly afterStretchMm: Float64Array;
  readonly afterOpeningMm: Float64Array;
  /** How much each slot yields under a later load on the glued neck: rotation toward forward bow per N mm of moment toward forward bow, and per N of axial compression. */
  readonly yieldPerNmm: Float64Array;
  readonly yieldPerN: Float64Array;
  /** EI of the free board with its slots' compliance in it, N mm² (EI_b* of 3.9). */
  readonly boardStarNmm2: Float64Array;
  /** Largest mean pressure on a slot's face while the free board stands, and while it is held flat, MPa. */
  readonly pressureFreeMPa: Float64Array;
  readonly pressureFlatMPa: Float64Array;
};

/** Room for the results of `count` slots. */
export function emptyTangResult(count: number): TangResult {
  const room = (): Float64Array => new Float64Array(count);
  return {
    freeRad: room(), freeStretchMm: room(), freeOpeningMm: room(), flatOpeningMm: room(), flatStretchMm: room(), gluedRad: room(), afterRad: room(),
    afterStretchMm: room(), afterOpeningMm: room(), yieldPerNmm: room(), yieldPerN: room(), boardStarNmm2: room(), pressureFreeMPa: room(), pressureFlatMPa: room(),
  };
}

/**
 * The closed form of tang pressure: three states of every slot (free board; bowed board glued flat and let go; pressed after glue-up), and
 * how the slots soften a glued neck for what comes later.
 * @param work the slots, from `slotWork`
 * @param atSlots stiffnesses at the slots' places
 * @param into where to write; made anew if absent
 * @throws {RangeError} stiffnesses given at other places than the slots
 * @source this project's finite-element study, sections 3.3 to 3.9 and 3.11; the softening of a glued neck is its EI_c* (3.9) taken slot by slot, extended to axial load by reciprocity
 */
export function tangPressure(work: SlotWork, load: TangLoad, atSlots: SectionAlong, into: TangResult = emptyTangResult(work.slots.length)): TangResult {
  if (atSlots.xMm.length !== work.slots.length) throw new RangeError(`Cannot work out tang pressure: expected stiffnesses at the ${work.slots.length} slots, got ${atSlots.xMm.length}`);
  for (let index = 0; index < work.slots.length; index++) slotResult(work, load, atSlots, index, into);
  return into;
}

function slotResult(work: SlotWork, load: TangLoad, atSlots: SectionAlong, index: number, into: TangResult): void {
  const slot = work.slots[index];
  const shape = work.shape[index];
  if (slot === undefined || shape === undefined) return;
  const { boardMPa: E, contactNmm3, crushingMPa, hold } = load;
  const { boardMm: t, depthMm: d, contactMm: h, widthMm: width, bearingShare } = slot;
  const asked = Math.max(0, typeof load.interferenceMm === "number" ? load.interferenceMm : (load.interferenceMm[index] ?? 0));
  // a tang cut back at its ends bears, and crushes, over less of the width: force per width of board goes down with it
  const bears = h * bearingShare;
  const ks = (contactNmm3 * bears) / 2;
  const free = E * (work.freeOverE[index] ?? 0);
  const flat = E * (work.flatOverE[index] ?? 0);

  const ea = (atSlots.composite.eaN[index] ?? 0) / width;
  const ei = (atSlots.composite.eiNmm2[index] ?? 0) / width;
  const eiBoard = (atSlots.board.eiNmm2[index] ?? 0) / width;
  const ybar = atSlots.composite.zbarMm[index] ?? 0;
  const arm = t - d / 2 - ybar;
  const reach = (work.gluedReachMm[index] ?? 0) * (1 - (E * d) / ea - (E * d * arm * arm) / ei);
  const glued = E * withNeighbours(work.gluedAloneOverE[index] ?? 0, reach, work.gapBeforeMm[index] ?? Infinity, work.gapAfterMm[index] ?? Infinity);

  // 3.11: a face yields at a mean pressure; the force on it is the interference over the two compliances in series
  const inFree = Math.min(asked, crushingMPa * bears * (1 / free + 1 / ks));
  const inFlat = Math.min(inFree, crushingMPa * bears * (1 / flat + 1 / ks));
  const inAfter = Math.min(asked, crushingMPa * bears * (1 / glued + 1 / ks));

  const phi = shareOfOpening(ks, free);
  const linear = phi - 0.15 * phi * phi * (1 - phi);
  const phi4 = phi ** 4;
  const opening = hold === "one way" ? linear + shape.liftOff * phi4 ** 5 : linear;
  const a = shape.a0 * (1 + phi * phi * (hold === "one way" ? shape.aOneWay : shape.aTwoWay));
  const aHeld = shape.a0 * (1 + phi * phi * shape.aTwoWay);
  const chi = shape.chi + 0.023 * phi * phi;
  const freeOpening = inFree * opening;
  into.freeOpeningMm[index] = freeOpening;
  into.freeRad[index] = (a * freeOpening) / t;
  into.freeStretchMm[index] = (chi * d * freeOpening) / t;
  into.pressureFreeMPa[index] = (free * freeOpening) / bears;

  const flatOpening = inFlat * openedHeld(shareOfOpening(ks, flat));
  into.flatOpeningMm[index] = flatOpening;
  into.flatStretchMm[index] = (1.03 * chi * d * flatOpening) / t;
  into.pressureFlatMPa[index] = (flat * flatOpening) / bears;

  const phiGlued = shareOfOpening(ks, glued);
  const chiGlued = shape.chiGlued + shape.chiGluedPhi * phiGlued * phiGlued;
  const lam = (chiGlued * E * d * arm) / ei;
  const afterOpening = inAfter * openedHeld(phiGlued);
  into.afterOpeningMm[index] = afterOpening;
  into.afterRad[index] = lam * afterOpening;
  into.afterStretchMm[index] = 1.026 * chiGlued * E * d * afterOpening * (1 / ea + (arm * (t / 2 - ybar)) / ei);

  const pitch = work.pitchMm[index] ?? Infinity;
  const boardStar = eiBoard / (1 + (eiBoard * (aHeld / t) ** 2) / ((free + ks) * pitch));
  into.boardStarNmm2[index] = boardStar * width;
  const compositeStar = ei / (1 + (ei * lam * lam) / ((glued + ks) * pitch));
  into.gluedRad[index] = shape.gamma * (aHeld / t) * inFlat * linear * (boardStar / compositeStar);

  const compliance = 1 / ((glued + ks) * width);
  into.yieldPerNmm[index] = lam * lam * compliance;
  into.yieldPerN[index] = ((lam * chiGlued * E * d) / ea) * compliance;
}

/** 3.4: the share of the interference that opens the slot; a rigid contact gives all of it. */
function shareOfOpening(ks: number, K: number): number {
  return Number.isFinite(ks) ? ks / (ks + K) : 1;
}

/** 3.4, flat and after. */
function openedHeld(phi: number): number {
  return phi - 0.07 * phi * phi * (1 - phi);
}
