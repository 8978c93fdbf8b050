import { fretDistanceMm } from "../../neck/frets.js";
import type { Neck } from "../../neck/neck.js";
import { widthMm } from "../../neck/surface.js";
import { NORMAL_95, type Measured } from "../../units/measured.js";
import { lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { woodProperties, type WoodProperties } from "../woods/woodProperties.js";
import { equilibriumMoisturePercent, type Climate } from "./equilibrium.js";

/** A layer of the neck and how much longer it wants to be, as a strain along the grain; negative when it dries. */
export type FreeStrain = { readonly alongStrain: number; readonly alongU: number; /** Share by which its stiffness changes. */ readonly modulusShare: number };

/** How far the fret ends come to stand out past the edge of the board, at each side; negative: they draw in. */
export type FretEnds = { readonly atNut: Measured; readonly atLastFret: Measured };

/** What a neck wants to do when it has come to rest in another room. */
export type SeasonalChange = {
  readonly moisturePercent: { readonly from: number; readonly to: number };
  readonly board: FreeStrain;
  readonly neck: FreeStrain;
  readonly fretEnds: FretEnds;
  readonly assumed: readonly string[];
  readonly describe: (order?: UnitOrder) => string;
};

/** Kinds of wood come to rest within about a per cent of each other in the same room (own judgement), and board and neck differ by that. */
const KINDS_DIFFER = 0.1;
/** Stiffness lost per per cent of moisture gained: 0.8 to 2.8 % (ANC-18, 1951). */
const SOFTER_PER_PERCENT = 0.018;

/**
 * The change from one season to another, once the wood has come to rest: free strains along the grain of board and neck, and how far the
 * fret ends stand out when the board dries across its width. Frets keep their length. A finish slows all of it down; weeks, not hours.
 * @param from the room in which the neck was built or last surveyed
 * @throws {RangeError} a climate outside the range of the moisture equation, or a wood that is not known
 */
export function seasonalChange(neck: Neck, from: Climate, to: Climate): SeasonalChange {
  const moisturePercent = { from: equilibriumMoisturePercent(from), to: equilibriumMoisturePercent(to) };
  const change = moisturePercent.to - moisturePercent.from;
  const woods = { board: woodProperties(neck.woods?.board, "board"), neck: woodProperties(neck.woods?.neck, "neck") };
  const found = {
    moisturePercent, board: freeStrain(woods.board, change), neck: freeStrain(woods.neck, change),
    fretEnds: { atNut: endsAt(neck, woods.board, change, 0), atLastFret: endsAt(neck, woods.board, change, fretDistanceMm(neck.scaleLengthMm, neck.frets)) },
    assumed: [
      "moisture along the grain: 0.1 to 0.2 % from green to dry, evenly likely (Wood Handbook ch. 4), board and neck independently",
      "moisture across the grain: between quarter-sawn and flat-sawn, since the cut of the board was not given",
      "the whole neck comes to rest in the new room; a finish and a short season leave less",
    ],
  };
  return { ...found, describe: (order: UnitOrder = "mm first") => seasonWords(found, order) };
}

function freeStrain(wood: WoodProperties, changePercent: number): FreeStrain {
  const { along, alongU } = wood.swellingPerPercent;
  return { alongStrain: along * changePercent, alongU: Math.abs(changePercent) * Math.hypot(alongU, along * KINDS_DIFFER), modulusShare: (1 - SOFTER_PER_PERCENT) ** changePercent - 1 };
}

/** Half the board's width times its strain across the grain, evenly likely between quarter-sawn and flat-sawn. */
function endsAt(neck: Neck, { swellingPerPercent: { radial, tangential } }: WoodProperties, changePercent: number, xMm: number): Measured {
  const halfMm = widthMm(neck, xMm) / 2;
  const middle = -halfMm * ((radial + tangential) / 2) * changePercent;
  const cut = (halfMm * Math.abs(tangential - radial) * Math.abs(changePercent)) / 2 / Math.sqrt(3);
  const u = Math.hypot(cut, middle * KINDS_DIFFER);
  return { value: middle, u, unit: "mm", low95: middle - NORMAL_95 * u, high95: middle + NORMAL_95 * u };
}

function seasonWords({ moisturePercent, fretEnds, board }: Pick<SeasonalChange, "moisturePercent" | "fretEnds" | "board">, order: UnitOrder): string {
  const { from, to } = moisturePercent;
  const way = to < from ? "dries" : "takes up moisture";
  const ends = fretEnds.atLastFret;
  const out = ends.value >= 0 ? "stand out" : "draw in";
  const size = ends.value >= 0 ? ends : { ...ends, value: -ends.value, low95: -ends.high95, high95: -ends.low95 };
  const stiffer = `${Math.abs(100 * board.modulusShare).toFixed(0)} % ${board.modulusShare >= 0 ? "stiffer" : "softer"}`;
  return `The wood ${way}, from ${from.toFixed(1)} to ${to.toFixed(1)} % moisture, and gets about ${stiffer}. At the last fret the fret ends ${out} at each side by ${measuredWords(size, order)}, at the nut by ${lengthWords(Math.abs(fretEnds.atNut.value), order)}. It takes weeks, and a finish slows it.`;
}
