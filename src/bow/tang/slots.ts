/** One slot as a builder can measure it; depths from the board's top, sizes in mm. */
export type Slot = {
  readonly xMm: number;
  /** Width of the board there. */
  readonly widthMm: number;
  /** Mean thickness of the board across its width. */
  readonly boardMm: number;
  readonly depthMm: number;
  /** How deep the tang bears on the slot's faces. */
  readonly contactMm: number;
  /** Share of the board's width over which the tang bears: less than 1 where its ends are cut back. */
  readonly bearingShare: number;
  /** Depth of the neck's wood below the glue line. */
  readonly neckMm: number;
};

/** Stiffness of the board across the grain and in shear, over that along the grain, and its Poisson ratio. */
export type GrainRatios = { readonly across: number; readonly shear: number; readonly poisson: number };

/** Dense hardwoods, middle of the finite-element study behind the closed form. */
export const USUAL_GRAIN: GrainRatios = { across: 0.09, shear: 0.065, poisson: 0.35 };

/**
 * What the closed form needs of a board's slots and what does not change with stiffness: made once for a neck.
 * Stiffnesses of opening are per unit width, mean opening and modulus along the grain. Numbers in names are the sections of the study's closed form.
 */
export type SlotWork = {
  readonly slots: readonly Slot[];
  /** Distance to the neighbour before and after; Infinity at the board's ends. Mean of the two (3.9). */
  readonly gapBeforeMm: Float64Array;
  readonly gapAfterMm: Float64Array;
  readonly pitchMm: Float64Array;
  /** 3.2 with 3.3: opening stiffness of a free board and of one held flat, neighbours allowed for. */
  readonly freeOverE: Float64Array;
  readonly flatOverE: Float64Array;
  /** 3.2 isolated, on a neck; its reach (3.3) still lacks R_c/(1 - D). */
  readonly gluedAloneOverE: Float64Array;
  readonly gluedReachMm: Float64Array;
  readonly shape: readonly SlotShape[];
};

/** Coefficients of 3.4 to 3.9 that depend on the slot's proportions alone. */
export type SlotShape = {
  readonly liftOff: number;
  readonly a0: number;
  readonly aOneWay: number;
  readonly aTwoWay: number;
  readonly chi: number;
  readonly chiGlued: number;
  readonly chiGluedPhi: number;
  readonly gamma: number;
};

/**
 * Prepares the slots of a board for the closed form of tang pressure.
 * @param slots from the nut on, each farther than the one before
 * @param grain ratios of the board's wood
 * @throws {RangeError} no slots, slots out of order, a slot through the board, or a contact deeper than its slot
 * @source this project's finite-element study of a slotted board, sections 3.1 to 3.3 (own study, no physical board); data and comparison in tests/published/tang-pressure.test.ts
 */
export function slotWork(slots: readonly Slot[], grain: GrainRatios = USUAL_GRAIN): SlotWork {
  checkSlots(slots);
  const q = halfSpace(grain) / halfSpace(USUAL_GRAIN);
  const gap = (from: number, to: number): number => (slots[to] === undefined || slots[from] === undefined ? Infinity : slots[to].xMm - slots[from].xMm);
  const gapBeforeMm = Float64Array.from(slots, (_, index) => gap(index - 1, index));
  const gapAfterMm = Float64Array.from(slots, (_, index) => gap(index, index + 1));
  const each = slots.map((slot, index) => stiffnessAlone(slot, q, gapBeforeMm[index] ?? Infinity, gapAfterMm[index] ?? Infinity));
  return {
    slots, gapBeforeMm, gapAfterMm,
    pitchMm: Float64Array.from(slots, (_, index) => meanGap(gapBeforeMm[index] ?? Infinity, gapAfterMm[index] ?? Infinity)),
    freeOverE: Float64Array.from(each, (one) => one.free), flatOverE: Float64Array.from(each, (one) => one.flat),
    gluedAloneOverE: Float64Array.from(each, (one) => one.glued), gluedReachMm: Float64Array.from(each, (one) => one.gluedReach),
    shape: slots.map(slotShape),
  };
}

function checkSlots(slots: readonly Slot[]): void {
  if (slots.length === 0) throw new RangeError("Cannot work out tang pressure: expected one slot or more, got none");
  for (const [index, { xMm, boardMm, depthMm, contactMm, bearingShare, neckMm }] of slots.entries()) {
    const before = slots[index - 1];
    if (before !== undefined && !(xMm > before.xMm)) throw new RangeError(`Cannot work out tang pressure: slot ${index + 1} at ${xMm} mm is not beyond the one before it, at ${before.xMm} mm`);
    if (!(depthMm > 0 && depthMm < boardMm)) throw new RangeError(`Cannot work out tang pressure: slot ${index + 1} is ${depthMm} mm deep in a board ${boardMm.toFixed(2)} mm thick; expected wood left below it (check slots.depth and thicknesses.board)`);
    if (!(contactMm > 0 && contactMm <= depthMm)) throw new RangeError(`Cannot work out tang pressure: the tang bears ${contactMm} mm deep in slot ${index + 1}, which is ${depthMm} mm deep (check tangs.contactDepth and slots.depth)`);
    if (!(bearingShare > 0 && bearingShare <= 1)) throw new RangeError(`Cannot work out tang pressure: the tang in slot ${index + 1} bears on ${(100 * bearingShare).toFixed(0)} % of the board's width (check tangs.cutBack and widths)`);
    if (!(neckMm > depthMm)) throw new RangeError(`Cannot work out tang pressure: under slot ${index + 1} the neck has ${neckMm.toFixed(2)} mm of wood, no more than the slot is deep; that is no neck (check thicknesses)`);
  }
}

/** 3.1: a half space loaded along the grain, E* over E. */
function halfSpace({ across, shear, poisson }: GrainRatios): number {
  return 2 / Math.sqrt(2 / Math.sqrt(across) - 2 * poisson + 1 / shear);
}

/** 3.3: two sides in series, each stiffened by a neighbour near by. */
export function withNeighbours(alone: number, reachMm: number, beforeMm: number, afterMm: number): number {
  return (2 * alone) / (Math.tanh(beforeMm / reachMm) + Math.tanh(afterMm / reachMm));
}

function meanGap(before: number, after: number): number {
  if (!Number.isFinite(before)) return after;
  return Number.isFinite(after) ? (before + after) / 2 : before;
}

/** 3.2 and 3.3. */
function stiffnessAlone(slot: Slot, q: number, before: number, after: number): { readonly free: number; readonly flat: number; readonly glued: number; readonly gluedReach: number } {
  const { D, Z, X } = proportions(slot);
  const free = 0.1064 * q * (1 - D) ** 2 * Math.exp(1.205 * X - 0.197 * Z - 1.118 * Z * Z);
  const flat = 0.0889 * q * Math.exp(1.11 * X - 0.33 * Z);
  const glued = flat * (1.014 + 0.159 * Z - (0.729 * slot.depthMm) / slot.neckMm);
  const freeReach = (1.22 * slot.boardMm) / q;
  const flatReach = (slot.boardMm * (2.4 + 2.7 * Z - 5.5 * Z * Z)) / q;
  return {
    free: withNeighbours(free, freeReach, before, after),
    flat: withNeighbours(flat, flatReach, before, after),
    glued, gluedReach: ((flatReach / (1 - D)) * flat) / glued,
  };
}

function proportions({ depthMm, contactMm, boardMm }: Slot): { readonly D: number; readonly Z: number; readonly X: number } {
  const D = depthMm / boardMm;
  return { D, Z: D - 0.4, X: contactMm / depthMm - 0.8 };
}

/** Coefficients of 3.4 (lift-off), 3.5 (a, chi), 3.7 (chi_c) and 3.9 (gamma). */
function slotShape(slot: Slot): SlotShape {
  const { D, Z, X } = proportions(slot);
  return {
    liftOff: 2.9 * D ** 4.5 * (1 + 2.2 * X),
    a0: 1.45 + 0.829 * X + (707 * X * X) / 1000 + 1.889 * Z - 3.057 * Z * Z + 1.133 * X * Z,
    aOneWay: -(0.031 + 0.191 * X + 0.082 * Z + 0.053 * X * Z),
    aTwoWay: -0.045 - 0.308 * X - 0.387 * Z - 1.159 * X * Z - 0.537 * Z * Z,
    chi: 0.886 + 0.567 * X - 0.103 * Z,
    chiGlued: 0.917 + 0.592 * X,
    chiGluedPhi: 0.013 - 0.1 * X,
    gamma: 1.047 - 0.111 * X - 0.011 * Z - 0.157 * (slot.boardMm / slot.neckMm - 0.4),
  };
}
