import { bowState, prepareBow, readNeck, unknownsAt, bowPriors, valueOrThrow, type BowInputs, type BowSetup, type BowState, type BowUnknowns, type Neck } from "neck-survey";

/** A neck of rectangular section and flat board: sizes at the nut and at the last fret, mm. For checks against closed forms. */
export type Box = { readonly boardMm: number; readonly totalMm: readonly [number, number]; readonly widthMm: readonly [number, number]; readonly scaleMm: number; readonly frets: number; readonly joint?: number };

/** A back so boxy that it is a rectangle. */
const RECTANGLE = 1e9;

/** The neck of a box; what the neck file would refuse as no neck is put in afterwards. */
export function boxNeck({ boardMm, totalMm, widthMm, scaleMm, frets, joint }: Box): Neck {
  const plain = valueOrThrow(readNeck({ name: "box", scaleLength: 648, frets, fingerboardRadius: "flat", rod: { works: "none" }, ...(joint === undefined ? {} : { bodyJoint: joint }) }), "box");
  const endMm = scaleMm * (1 - 2 ** (-frets / 12));
  return {
    ...plain, scaleLengthMm: scaleMm, widthMm: { nut: widthMm[0], lastFret: widthMm[1] }, backShape: RECTANGLE,
    thickness: { board: [{ at: "nut", xMm: 0, mm: boardMm }], total: [{ at: "nut", xMm: 0, mm: totalMm[0] }, { at: "lastFret", xMm: endMm, mm: totalMm[1] }] },
    slots: { widthMm: 0.5, depthMm: boardMm / 2 }, tangs: { thicknessMm: 0.5, contactDepthMm: (boardMm / 2) * 0.8 },
  };
}

/** The box under the middles of its unknowns, its tangs rigid so that the slots do not soften it; `over` changes unknowns. */
export function boxState(neck: Neck, inputs: BowInputs, over: Partial<BowUnknowns> = {}): BowState {
  const setup: BowSetup = prepareBow(neck, inputs);
  return bowState(setup, { ...unknownsAt(bowPriors(neck)), contactStiffnessNmm3: Infinity, interferenceMm: 0, ...over });
}
