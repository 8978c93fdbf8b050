import { fretDistanceMm } from "../../neck/frets.js";
import type { Neck } from "../../neck/neck.js";
import { bowGrid, nodeAt, type BowGrid } from "../beam/grid.js";
import { boardSpan, neckSpan, type BowSpan } from "../beam/span.js";
import type { StringPull } from "../cases/stringPull.js";
import { neckSizes, type NeckSizes } from "../section/assumed.js";
import { geometryAlong, type GeometryAlong } from "../section/geometry.js";
import type { WoodModuli } from "../section/stiffness.js";
import { slotWork, USUAL_GRAIN, type GrainRatios, type SlotWork } from "../tang/slots.js";
import type { TangHold } from "../tang/pressure.js";
import { slotsOf } from "./neckSlots.js";
import { rodGeometry, type RodGeometry } from "./rodGeometry.js";

/** What a bow model is prepared from, besides the neck itself. */
export type BowInputs = {
  /** Stated stiffnesses along the grain, MPa, before the unknown factors. */
  readonly moduli: WoodModuli;
  /** The strings, if there are any. */
  readonly pull?: StringPull;
  readonly grain?: GrainRatios;
  /** How a tang holds in its slot; a plain tang, which may lift off the slot's face, where not said. */
  readonly hold?: TangHold;
  /** From where the body takes the rest of the bending; `free` where the neck is alone or its strings end on a jig at the saddle's place. */
  readonly held?: "from the joint" | "free";
  /** Longest cell of the grid, mm. */
  readonly stepMm?: number;
};

/** A neck prepared for the bow model: everything that no unknown changes. Made once, used for every draw. */
export type BowSetup = {
  readonly neck: Neck;
  readonly sizes: NeckSizes;
  readonly grid: BowGrid;
  /** Geometry at the grid's points, and at the slots. */
  readonly points: GeometryAlong;
  readonly atSlots: GeometryAlong;
  readonly slots: SlotWork;
  /** The grid's node of each slot, and of the body joint. */
  readonly slotNode: Int32Array;
  readonly jointNode: number;
  readonly span: BowSpan;
  readonly boardSpan: BowSpan;
  readonly influence: Influence;
  readonly boardInfluence: Influence;
  readonly moduli: WoodModuli;
  readonly pull?: StringPull;
  readonly rod?: RodGeometry;
  readonly hold: TangHold;
  readonly held: "from the joint" | "free";
  readonly assumed: readonly string[];
};

/** What curvature at each point and a kink at each node do to the relief at a span's middle: relief is their sum of products. */
export type Influence = { readonly pointMm2: Float64Array; readonly nodeMm: Float64Array };

const STEP_MM = 8;
/** The board runs on a little past its last fret. */
const BEYOND_LAST_MM = 10;

/**
 * Prepares a neck for the bow model.
 * @param neck a neck from `readNeck`
 * @param inputs stiffnesses of the woods, the strings' pull and choices
 * @throws {RangeError} sizes that make no neck: thicknesses, channel, slots that contradict each other
 */
export function prepareBow(neck: Neck, inputs: BowInputs): BowSetup {
  const sizes = neckSizes(neck);
  const fretMm = Array.from({ length: neck.frets }, (_, index) => fretDistanceMm(neck.scaleLengthMm, index + 1));
  const endMm = (fretMm.at(-1) ?? 0) + BEYOND_LAST_MM;
  const rod = rodGeometry(neck.rod, sizes.jointMm);
  const corners = [...sizes.board, ...sizes.total].map(({ xMm }) => xMm);
  const ends = [rod?.fromMm, rod?.toMm, sizes.channel?.fromMm, sizes.channel?.toMm, ...(neck.bars ?? []).flatMap((bar) => [bar.fromMm, bar.toMm])];
  const breaks = [...corners, ...ends].filter((x) => x !== undefined && x > 0 && x < endMm).map(Number);
  const grid = bowGrid([0, ...fretMm, endMm, ...breaks], inputs.stepMm ?? STEP_MM);
  const atSlots = geometryAlong(neck, Float64Array.from(fretMm), sizes);
  const cut = slotsOf(neck, atSlots);
  const [span, board] = [neckSpan(neck), boardSpan(neck)];
  return {
    neck, sizes, grid, atSlots, span, boardSpan: board,
    points: geometryAlong(neck, grid.pointMm, sizes),
    slots: slotWork(cut.slots, inputs.grain ?? USUAL_GRAIN),
    slotNode: Int32Array.from(fretMm, (x) => nodeAt(grid, x)),
    jointNode: nodeAt(grid, sizes.jointMm),
    influence: influenceOf(grid, span), boardInfluence: influenceOf(grid, board),
    moduli: inputs.moduli, hold: inputs.hold ?? "one way", held: inputs.held ?? "from the joint",
    ...(inputs.pull === undefined ? {} : { pull: inputs.pull }),
    ...(rod === undefined ? {} : { rod }),
    assumed: [...sizes.assumed, ...cut.assumed, ...(rod?.assumed ?? [])],
  };
}

/** Relief at the span's middle is the integral of curvature times a triangle over the span: from the chord, integrated by parts. */
export function influenceOf(grid: BowGrid, { fromMm, toMm, middleMm }: BowSpan): Influence {
  const triangle = (x: number): number => {
    if (x <= fromMm || x >= toMm) return 0;
    return x <= middleMm ? ((x - fromMm) * (toMm - middleMm)) / (toMm - fromMm) : ((toMm - x) * (middleMm - fromMm)) / (toMm - fromMm);
  };
  const halfCell = (point: number): number => ((grid.nodeMm[(point >> 1) + 1] ?? 0) - (grid.nodeMm[point >> 1] ?? 0)) / 2;
  return { pointMm2: grid.pointMm.map((x, point) => triangle(x) * halfCell(point)), nodeMm: grid.nodeMm.map(triangle) };
}
